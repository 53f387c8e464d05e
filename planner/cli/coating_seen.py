"""What a sample card says of its coating, for ``planner coating``."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click

from planner.catalogue.errors import show as quoted
from planner.catalogue.fields import Entry
from planner.catalogue.palette import Palette
from planner.cli import as_json, telling, text
from planner.cli.ask import called, palette_of
from planner.cli.keeping import check, keep, kept
from planner.cli.seeing import seen_as, sight_data
from planner.cli.stone_photos import Photos, data, places_of, print_proposal, told
from planner.colour.names import FLASH_FAMILIES, name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.coating import Fitted, Order, coatings, fit_coating, nearest_off
from planner.fitting.films import MATERIALS, films
from planner.fitting.foresee import LEAST_GAIN, Foreseen, Telling, foresee, further_samples
from planner.fitting.foresee import telling as most_telling
from planner.fitting.photo.marked import Found, Mark, Read
from planner.fitting.sight import Placed, Sample, Source
from planner.fitting.sparkles import FlashSeen
from planner.refusal import Refusal
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area

_SCHEMA = "planner coating 1"


def show(
    *, on: tuple[str, ...], photos: tuple[Path, ...], white: tuple[Area, ...], grey: float | None,
    light: Light, lamplit: tuple[int, ...], flash: tuple[str, ...], venue: str | None, source: Source,
    size: str, others: tuple[str, ...], save: str | None, to: Path | None, name: str | None,
    palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print the films that fit a sample card, and save them if asked."""
    to = check(save, name, to, "coating", palettes)
    palette = palette_of(palettes)
    taken = Photos(photos, white, grey, light)
    found = taken.found()
    if found and not on:
        print_proposal(found, "--on STONE=NUMBER (or 1-4), or --on STONE=x,y,w,h", _SCHEMA, as_data=as_data)
        return
    card = _card(_pairs("--on", on, palette, size), source, taken, found, lamplit)
    if not card.samples:
        raise click.UsageError(
            "--on: is missing; the planner needs the colour of at least one coated stone, best on jet: "
            "--on STONE=COLOUR"
        )
    flashes = [*_flashes(flash, venue, palette, size), *_photographed(card, venue, palette, size)]
    foreseen_on = [_placed("--foresee", one, palette, size) for one in others]
    try:
        fitted = fit_coating(card.samples, flashes)
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--venue") from None
    saved, where = None, ""
    if save is not None and to is not None:
        saved = keep(coatings(fitted, save, name or save), to, palette)
        where = kept(saved, to, palettes)
    said = foresee(fitted, foreseen_on)
    tell = most_telling(fitted, further_samples(palette, card.samples), "photo" if found else source)
    if as_data:
        click.echo(as_json.dumps({**_data(fitted, said, tell, saved), **card.data()}))
    else:
        click.echo("\n\n".join(part for part in (card.told(), _told(fitted, said, tell, where)) if part))


@dataclass(frozen=True, eq=False)
class _Card:
    """The stones of a card, typed or off photographs."""

    samples: list[Sample]
    read: Read | None
    """Photographs in even light."""
    lit: Read | None
    """Photographs under lamps: their flashes alone count."""

    def told(self) -> str:
        return "\n\n".join(told(one) for one in (self.read, self.lit) if one is not None)

    def data(self) -> dict[str, Any]:
        return {} if self.read is None else data(self.read)


def _card(
    pairs: Sequence[tuple[Placed, str]], source: Source, taken: Photos, found: Sequence[Found],
    lamplit: Sequence[int],
) -> _Card:  # fmt: skip
    """Return the samples of a card: each --on is a place on a photograph or a colour."""
    if any(one > len(found) for one in lamplit):
        raise click.BadParameter(
            f"found {max(lamplit)}; photographs are numbered from 1 to {len(found)}", param_hint="--lamplit"
        )
    by_id = {at.stone.id: at for at, _ in pairs}
    marks: list[Mark] = []
    samples = []
    for at, seen in pairs:
        here = places_of(at.stone.id, seen, len(found), "--on") if found else ()
        marks += here
        if not here:
            samples.append(Sample(at, seen_as(seen, source, "--on")))
    even = _of_photos(taken, found, marks, [n for n in range(1, len(found) + 1) if n not in lamplit])
    lit = _of_photos(taken, found, marks, lamplit)
    kinds = {} if even is None else even.kinds
    samples += [Sample(by_id[name], kind.seen) for name, kind in kinds.items()]
    return _Card(samples, even, lit)


def _of_photos(
    taken: Photos, found: Sequence[Found], marks: Sequence[Mark], numbers: Sequence[int]
) -> Read | None:
    """Return what some of the photographs say, by their numbers; None for none of them."""
    if not numbers or not found:
        return None
    place = {number: new for new, number in enumerate(sorted(set(numbers)), 1)}
    own = [replace(one, photo=place[one.photo]) for one in marks if one.photo in place]
    return taken.read([found[number - 1] for number in place], own)


def _photographed(card: _Card, venue: str | None, palette: Palette, size: str) -> list[FlashSeen]:
    """Return the main hues of flashes that photographs under the venue's lamps show."""
    if card.lit is None:
        return []
    if venue is None:
        raise click.UsageError(
            "--venue: is missing; say under whose lamps the --lamplit photograph was taken"
        )
    place = called("venue", venue, palette.venues)
    return [
        FlashSeen(_placed("--on", name, palette, size), place, kind.flash)
        for name, kind in card.lit.kinds.items()
        if kind.flash is not None
    ]


def _pairs(option: str, given: Sequence[str], palette: Palette, size: str) -> list[tuple[Placed, str]]:
    """Return stones and what stands after the = of each."""
    found = []
    for one in given:
        stone_id, equals, seen = one.partition("=")
        if not equals or not seen.strip():
            raise click.BadParameter(
                f"found {quoted(one)}; it is typed as STONE=COLOUR, such as tackle-jet=3a2f6b, or with a "
                "photograph as STONE=x,y,w,h",
                param_hint=option,
            )
        found.append((_placed(option, stone_id.strip(), palette, size), seen))
    return found


def _placed(option: str, stone_id: str, palette: Palette, size: str) -> Placed:
    try:
        found = called("stone", stone_id, palette.stones)
    except click.BadParameter as problem:
        raise click.BadParameter(problem.message, param_hint=option) from None
    return Placed(found, palette.cuts[found.cut], size)


def _flashes(given: Sequence[str], venue: str | None, palette: Palette, size: str) -> list[FlashSeen]:
    if not given:
        return []
    if venue is None:
        raise click.UsageError("--venue: is missing; a flash belongs to a lamp, so say where it was seen")
    place = called("venue", venue, palette.venues)
    found = []
    for at, family in _pairs("--flash", given, palette, size):
        if family.strip().lower() not in FLASH_FAMILIES:
            raise click.BadParameter(
                f"found {quoted(family)}; the main hue of a flash is one of {', '.join(FLASH_FAMILIES)}",
                param_hint="--flash",
            )
        found.append(FlashSeen(at, place, family.strip().lower()))
    return found


def _told(fitted: Fitted, said: Sequence[Foreseen], tell: Sequence[Telling], where: str) -> str:
    parts = [text.wrap(_lead(fitted))]
    parts.append("\n".join(_order(place, one) for place, one in enumerate(fitted.orders, 1)))
    off = [
        f"{one.placed.stone.id} ΔE00 {apart:.0f}"
        for one, apart in zip(fitted.samples, fitted.apart, strict=True)
        if apart is not None
    ]
    if off:
        parts.append(text.wrap(f"The likeliest film is off by: {', '.join(off)}."))
    if said:
        parts.append(
            telling.block("In even daylight it would make of", "\n".join(_foretold(one) for one in said))
        )
    parts.append(telling.block("Next", text.wrap(_next(tell), 2)))
    if where:
        parts.append(where)
    return "\n\n".join(parts)


def _lead(fitted: Fitted) -> str:
    count = len(fitted.samples) + len(fitted.flashes)
    seen = f"{count} colour{'s' if count > 1 else ''} seen"
    if not fitted.fits:
        return (
            f"{seen}. None of {len(films().nm)} films of {len(MATERIALS)} materials gives just that: the "
            f"nearest is off by ΔE00 {nearest_off(fitted):.0f}, so errors are taken {fitted.wider:.1f} times "
            "as large as told, and what follows is as wide. It may have several layers, or lie under the "
            "foil; or look whether each stone is named rightly. The nearest:"
        )
    kinds = len(fitted.orders)
    which = "all much alike" if kinds == 1 else f"of {kinds} kinds"
    few = " One sample alone leaves much open." if len(fitted.samples) == 1 else ""
    return f"{seen}. Of {len(films().nm)} films tried {len(fitted.kept)} fit, {which}.{few}"


def _order(place: int, one: Order) -> str:
    like = f", or one like it ({', '.join(one.materials[1:])})" if len(one.materials) > 1 else ""
    low, high = one.range_nm
    said = (
        f"{_share(one.share)} in 100: {one.nm:.0f} nm of {one.material} ({low:.0f} to {high:.0f}){like}; "
        f"evenness {one.evenness:.1f} ± {one.evenness_spread:.1f}"
    )
    return text.wrap(said, 4, f"{place:>3} ")


def _share(share: float) -> str:
    return "under 1" if share < 0.01 else f"{100 * share:.0f}"


def _foretold(one: Foreseen) -> str:
    hex_ = to_hex(lab_to_srgb(one.lab)[0])
    patch = text.patch(hex_)
    return f"  {patch}{one.placed.stone.id}: {name_of(one.lab)} ({hex_}), within ΔE00 {one.within:.0f}"


def _next(tell: Sequence[Telling]) -> str:
    if not tell or tell[0].bits < LEAST_GAIN:
        return "No further stone of these glasses and cuts would tell much more about the film."
    first = tell[0]
    more = f", then {tell[1].placed.stone.id}" if len(tell) > 1 and tell[1].bits >= LEAST_GAIN else ""
    return (
        f"The sample that would tell most about the film is one on {first.placed.stone.id}{more}: it leaves "
        f"about one film in {2**first.bits:.1f} of those above."
    )


def _data(
    fitted: Fitted, said: Sequence[Foreseen], tell: Sequence[Telling], saved: Sequence[Entry] | None
) -> dict[str, Any]:
    return {
        "schema": _SCHEMA,
        "samples": [
            {"stone": one.placed.stone.id, "size": one.placed.size, **sight_data(one.seen),
             "dE00_of_likeliest": apart}
            for one, apart in zip(fitted.samples, fitted.apart, strict=True)
        ],
        "flashes": [
            {"stone": one.placed.stone.id, "venue": one.venue.id, "family": one.family}
            for one in fitted.flashes
        ],
        "fits": fitted.fits,
        "errors_taken_wider": fitted.wider,
        "films_tried": len(fitted.films.nm),
        "films_left": len(fitted.kept),
        "kinds": [
            {"share": one.share, "material": one.material, "nm": one.nm, "range_nm": list(one.range_nm),
             "materials": list(one.materials), "optical_nm": one.optical,
             "optical_spread": one.optical_spread, "evenness": one.evenness,
             "evenness_spread": one.evenness_spread}
            for one in fitted.orders
        ],
        "foreseen": [
            {"stone": one.placed.stone.id, "size": one.placed.size, "lab": list(one.lab),
             "name": name_of(one.lab), "within_dE00": one.within}
            for one in said
        ],
        "most_telling": [{"stone": one.placed.stone.id, "bits": one.bits} for one in tell[:5]],
        "saved": None if saved is None else [one.id for one in saved],
    }  # fmt: skip
