"""What there is to choose from: stones, coatings, venues, swatches and cuts, a row each."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.fields import Entry
from planner.catalogue.lamp import Lamp
from planner.catalogue.own import GROUPS, Whose, in_groups, whose
from planner.catalogue.palette import Palette, commonly_sold
from planner.catalogue.palette_file import entry_data
from planner.catalogue.sizes import sizes_in_short
from planner.catalogue.stone import Stone
from planner.catalogue.swatch import Swatch
from planner.catalogue.venue import Spectrum, Venue
from planner.refusal import Refusal
from planner.say.document import Column, Document, Literally, Part, Patch, Row, Section, Sentence, Table

_DIFFER = ((0.02, "little"), (0.05, "visibly"), (float("inf"), "a good deal"))
"""How batches differ, by the relative spread of thickness up to which it is called so (our choice)."""

_HIDDEN = "The demo's are hidden: --all lists them too, and planner demo --show shows them again everywhere."


def listing_document(palette: Palette, kind: str, *, origin: bool, patches: bool = False) -> Document:
    """Return all entries of a `kind`, hers first; with file and line of each if `origin` is asked for.

    With `patches` stones, coatings and swatches are shown with their colours, which takes a moment.
    """
    groups = in_groups(palette, kind)
    shown = {id(one) for entries in groups.values() for one in entries}
    data = {
        "schema": "planner list 1",
        "kind": kind,
        "entries": [
            _data(one, kind, palette) for one in palette.entries(kind).values() if id(one) in shown
        ],
    }  # fmt: skip
    return Document("", tuple(_parts(palette, kind, groups, origin=origin, patches=patches)), data,
                    entered=True)  # fmt: skip


def _parts(
    palette: Palette, kind: str, groups: Mapping[Whose, Sequence[Entry]], *, origin: bool, patches: bool
) -> Iterator[Part]:
    if not groups:
        yield Sentence(f"There is no {kind} in your palettes.")
    columns = (Column("id"), Column("name, basis"))
    for group, entries in groups.items():
        rows = tuple(_row(one, palette, kind, origin=origin, patches=patches) for one in entries)
        table = Table(columns, rows)
        yield Section(GROUPS[group], (table,)) if len(groups) > 1 or group == "demo" else table
    if kind == "coating":
        yield Sentence("Uncoated is always there too: for that, say none.")
        if patches:
            yield Sentence("Patches of coatings are as they look on jet, by the window.")
    if palette.mine and sum(map(len, groups.values())) < len(palette.entries(kind)):
        yield Sentence(_HIDDEN)


def _row(one: Entry, palette: Palette, kind: str, *, origin: bool, patches: bool) -> Row:
    where = (Literally(str(palette.origin(kind, one.id))),) if origin else ()
    name, seen = f"{one.name} ({one.basis})", _hex(one, palette) if patches else None
    return Row((one.id, Patch(name, seen) if seen else name), (Sentence(about(one, palette)), *where))


def _hex(entry: Entry, palette: Palette) -> str | None:
    """Return what a stone, or jet with a coating, looks like by the window, or a swatch in daylight."""
    from planner.colour.screen import lab_to_srgb, to_hex
    from planner.fitting.by_window import hexes
    from planner.reading.question import swatch_colour

    if isinstance(entry, Stone | Coating):
        return hexes(entry, palette)[0]
    if not isinstance(entry, Swatch):
        return None
    try:
        return to_hex(lab_to_srgb(swatch_colour(entry).lab)[0])
    except Refusal:
        return None


def _data(entry: Entry, kind: str, palette: Palette) -> dict[str, Any]:
    origin = palette.origin(kind, entry.id)
    return {
        **entry_data(entry),
        "about": about(entry, palette),
        "whose": whose(palette, kind, entry.id),
        "origin": {"file": str(origin.path), "line": origin.line},
    }


def about(entry: Entry, palette: Palette) -> str:
    """Return what matters of an entry."""
    if isinstance(entry, Stone):
        return _stone(entry, palette)
    if isinstance(entry, Coating):
        return _coating(entry)
    if isinstance(entry, Venue):
        return _venue(entry)
    if isinstance(entry, Swatch):
        return _swatch(entry)
    return _cut(entry) if isinstance(entry, Cut) else ""


def _stone(stone: Stone, palette: Palette) -> str:
    if stone.colourants:
        body = " + ".join(stone.colourants)
    elif stone.spectrum:
        body = "measured glass"
    elif stone.colour:
        body = f"seen as {stone.colour}"
    else:
        body = "jet" if stone.opaque else "clear"
    back = f"no foil, {stone.back}" if stone.foil == "none" else f"{stone.foil} foil"
    sizes = sizes_in_short(stone.sizes)
    facets = "+".join(str(row.facets) for row in palette.cuts[stone.cut].rows)
    return f"{stone.material}, {body}, {back}, {facets} facets; in {sizes}"


def _coating(coating: Coating) -> str:
    many = len(coating.layers)
    what = "a film of one layer" if many == 1 else f"{many} layers"
    where = {"crown": "", "foil": ", under the foil", "both": ", on crown and foil"}[coating.where]
    differ = next(word for most, word in _DIFFER if coating.lot_spread <= most)
    range_ = any(isinstance(one, Coating) and one.layers == coating.layers for one in commonly_sold())
    if range_ and coating.basis == "estimated":
        return "a range: any aurora film that is sold, until a look at a sample narrows it"
    return f"{what}{where}; batches differ {differ}"


def _venue(venue: Venue) -> str:
    lamps = [f"{one.name} ({one.number} × {_spectrum(one.spectrum)}, {one.lux:g} lx)" for one in venue.lights]
    return "; ".join([*lamps, f"usually seen from {venue.distance:g} m"])


def _spectrum(spectrum: Spectrum) -> str:
    if spectrum.illuminant:
        return spectrum.illuminant
    if spectrum.kelvin:
        return f"filament {spectrum.kelvin:g} K"
    if spectrum.lamp:
        return _lamp(spectrum.lamp)
    return f"daylight {spectrum.daylight:g} K" if spectrum.daylight else "measured lamp"


def _lamp(lamp: Lamp) -> str:
    white = lamp.colour or f"{lamp.kelvin:g} K"
    dimmed = "" if lamp.dim == 1.0 else f", {100 * lamp.dim:.0f} % light"
    gel = (
        ""
        if lamp.filter is None
        else f", filter {lamp.filter if isinstance(lamp.filter, str) else 'measured'}"
    )
    return f"{lamp.kind} {white}{dimmed}{gel}"


def _swatch(swatch: Swatch) -> str:
    from planner.colour.names import name_of
    from planner.reading.question import swatch_colour

    try:
        colour = swatch_colour(swatch)
    except Refusal as problem:
        return str(problem)
    lightness, a, b = colour.lab
    sure = f"±{colour.uncertainty:g} ΔE00" if colour.uncertainty else "exact"
    kind = "" if swatch.cloth is None else f"; {swatch.cloth.kind}"
    neon = "; fluorescent" if swatch.fluorescent else ""
    return f"{name_of(colour.lab)}, L* {lightness:.0f} a* {a:.0f} b* {b:.0f}; {sure}{kind}{neon}"


def _cut(cut: Cut) -> str:
    rows = ", then ".join(f"{row.facets} facets at {row.angle:g}°" for row in cut.rows)
    return f"{rows}; table {100 * cut.rows[-1].inner:.0f} % wide, {100 * cut.height:.0f} % tall"
