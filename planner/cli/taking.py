"""A swatch as it was taken in, for ``planner swatch``: what it is, how sure, what it can decide; and kept."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from planner.catalogue.cloth import Cloth, backings
from planner.catalogue.errors import build
from planner.catalogue.palette_file import entry_data
from planner.catalogue.spectra.file import Unit
from planner.cli import as_json, text
from planner.cli.keeping import keep, kept, place
from planner.colour.grid import WAVELENGTHS
from planner.colour.names import capped, name_of
from planner.colour.observer import illuminant
from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.drift import TOLERANCES
from planner.refusal import InvalidValue, Refusal
from planner.swatch.cloth import cloth_words
from planner.swatch.instrument import read_measured
from planner.swatch.kept import entry
from planner.swatch.metamers import under
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area
from planner.swatch.spread import half_width
from planner.swatch.taken import Taken, on_cloth
from planner.swatch.typed import from_text

_LAMPS = (("A", "filament"), ("FL11", "tubes"), ("LED-B3", "white LED"))
_OUTSIDE_DAYLIGHT = "neon cloth is known in daylight alone, so nothing can be said of it under other lamps"


def typed(*, colour: str, illuminant: str, observer: int, fluorescent: bool, **given: Any) -> None:
    """Print, and keep if asked, a colour that was typed."""
    with refused("COLOUR"):
        swatch = from_text(colour, illuminant_name=illuminant, degrees=observer, fluorescent=fluorescent)
    finish(swatch, **given)


def photographed(
    *, photographs: tuple[Path, ...], cloth: tuple[Area, ...], white: tuple[Area, ...], grey: float | None,
    light: Light, fluorescent: bool, **given: Any,
) -> None:  # fmt: skip
    """Print, and keep if asked, the colour of a cloth on one or more photographs."""
    from planner.swatch.photo import combine, measure
    from planner.swatch.photo_file import open_picture

    cloths, whites = _each("--cloth", cloth, photographs), _each("--white", white, photographs)
    found = []
    for path, at_cloth, at_white in zip(photographs, cloths, whites, strict=True):
        picture = open_picture(path)
        try:
            one = measure(
                picture, cloth=at_cloth, white=at_white, grey=grey, light=light, fluorescent=fluorescent
            )
        except InvalidValue as problem:
            raise Refusal(f"{path}: {problem}") from None
        found.append(one)
    areas = [
        {"file": str(path), "cloth": list(one.cloth), "white": list(one.white), "lab": list(one.lab)}
        for path, one in zip(photographs, found, strict=True)
    ]
    told = [
        f"Read in {path.name}: cloth at {','.join(map(str, one.cloth))}, "
        f"{'white' if grey is None else 'card'} at {','.join(map(str, one.white))} (x,y,w,h); correct them "
        "with --cloth and --white."
        for path, one in zip(photographs, found, strict=True)
    ]
    finish(combine(found), **given, more={"photographs": areas}, told=told)


def measured(
    *, file: Path, sample: str | None, unit: Unit, fluorescent: bool, **given: Any
) -> None:  # fmt: skip
    """Print, and keep if asked, a colour that an instrument measured."""
    finish(read_measured(file, sample=sample, unit=unit, fluorescent=fluorescent), **given)


def _each(option: str, areas: tuple[Area, ...], files: tuple[Path, ...]) -> tuple[Area | None, ...]:
    if not areas:
        return (None,) * len(files)
    if len(areas) != len(files):
        raise click.BadParameter(
            f"found {len(areas)} for {len(files)} photographs; give one for each, or none", param_hint=option
        )
    return areas


@contextmanager
def refused(what: str) -> Iterator[None]:
    """Turn a refusal of the swatch room into one of the option or argument `what`."""
    try:
        yield
    except InvalidValue as problem:
        raise click.BadParameter(str(problem), param_hint=what) from None


def finish(
    swatch: Taken, *, kind: str | None, backing: str | None, read_over: str | None,
    lets_through: float | None, second: str | None, save: str | None, to: Path | None, as_data: bool,
    more: dict[str, Any] | None = None, told: Sequence[str] = (),
) -> None:  # fmt: skip
    """Add what the kind of cloth does, keep the swatch if asked, and print it."""
    to = place(save, to, "swatch")
    cloth = _cloth(kind, backing, read_over, lets_through, second)
    if cloth is not None:
        swatch = on_cloth(swatch, cloth)
        with refused("--kind"):
            _ = swatch.worn
    saved = None
    if save is not None and to is not None:
        saved = entry(swatch, save, f"--save {save}")
        keep((saved,), to, about="Swatches of our own.")
    if as_data:
        click.echo(as_json.dumps({**_data(swatch, save, to), **(more or {})}))
    else:
        click.echo(_told(swatch, "" if saved is None or to is None else kept((saved,), to), told))


def _cloth(
    kind: str | None, backing: str | None, read_over: str | None, lets_through: float | None,
    second: str | None,
) -> Cloth | None:  # fmt: skip
    """Return the kind of cloth that the options tell of, or None where none is given."""
    given = {
        "kind": kind,
        "backing": _colour("--backing", backing, named=True),
        "read_over": _colour("--read-over", read_over, named=True),
        "lets_through": lets_through,
        "second": _colour("--second", second, named=False),
    }
    given = {name: value for name, value in given.items() if value is not None}
    if not given:
        return None
    if kind is None:
        raise click.UsageError(f"--{next(iter(given)).replace('_', '-')} belongs to a --kind of cloth")
    try:
        return build(Cloth, given, "--kind")
    except InvalidValue as problem:
        raise click.BadParameter(str(problem).partition(": ")[2], param_hint="--kind") from None


def _colour(option: str, text_: str | None, *, named: bool) -> str | list[float] | None:
    """Return what an option says of a colour, as a palette file holds it."""
    if text_ is None:
        return None
    name = "-".join(text_.lower().split())
    if named and name in backings():
        return name
    try:
        lab = from_text(text_).colour.lab
    except InvalidValue as problem:
        also = f"; or one of {', '.join(backings())}" if named else ""
        raise click.BadParameter(f"{problem}{also}", param_hint=option) from None
    return [round(float(value), 2) for value in lab]


def _decides(swatch: Taken) -> dict[str, bool]:
    """Return which tolerances the swatch is known well enough for."""
    sure = swatch.colour.uncertainty
    return {word: sure <= largest for word, largest in TOLERANCES.items() if largest is not None}


def _data(swatch: Taken, save: str | None, to: Path | None) -> dict[str, Any]:
    colour = swatch.colour
    rgb, shown = lab_to_srgb(colour.lab)
    return {
        "schema": "planner swatch 1",
        "name": name_of(capped(colour.lab)[0]),
        "lab": list(colour.lab),
        "hex": to_hex(rgb),
        "screen_can_show_it": bool(shown),
        "uncertainty_dE00": colour.uncertainty,
        "within_dE00_nine_in_ten": swatch.half_width,
        "uncertainty_elsewhere_dE00": None if colour.fluorescent else colour.uncertainty_elsewhere,
        "covariance_lab": [list(row) for row in swatch.covariance],
        "elsewhere": _lamps(swatch),
        "basis": colour.basis,
        "spectrum_guessed": colour.recovered,
        "reflectance": [[nm, value] for nm, value in zip(WAVELENGTHS, colour.reflectance, strict=True)],
        "fluorescent": colour.fluorescent,
        "how": swatch.how,
        "cloth": None if swatch.cloth is None else entry_data(swatch.cloth),
        "worn_lab": list(swatch.worn.lab),
        "can_decide": _decides(swatch),
        "notes": list(swatch.notes),
        "saved": None if save is None else {"id": save, "file": str(to)},
    }


def _lamps(swatch: Taken) -> dict[str, dict[str, Any]]:
    """Return what the swatch looks like under a few usual lamps, and how sure that is; nothing for neon."""
    if swatch.colour.fluorescent:
        return {}
    seen = {name: under(swatch.colour, illuminant(name)) for name, _ in _LAMPS}
    return {
        name: {"lab": list(lab), "within_dE00_nine_in_ten": half_width(lab, covariance)}
        for name, (lab, covariance) in seen.items()
    }


def _told(swatch: Taken, where: str, told: Sequence[str]) -> str:
    colour = swatch.colour
    lightness, a, b = colour.lab
    rgb, shown = lab_to_srgb(colour.lab)
    lines = [
        text.patch(to_hex(rgb)) + text.heading(name_of(capped(colour.lab)[0]).capitalize()),
        text.wrap(
            f"L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f} in daylight, known to "
            f"±{colour.uncertainty:.1f} ΔE00 (nine times in ten within {swatch.half_width:.1f})."
        ),
        text.wrap(f"How: {swatch.how}; {colour.basis}."),
        text.wrap(_decided(swatch)),
        text.wrap(_elsewhere(swatch)),
    ]
    lines += [text.wrap(one) for one in _worn(swatch)]
    if not shown:
        lines.append(text.wrap("A screen cannot show this colour: go by its name and figures."))
    lines += [text.wrap(one) for one in told]
    lines += [text.wrap(f"Note: {note}") for note in swatch.notes]
    if where:
        lines += ["", text.heading("Next"), where]
    return "\n".join(lines)


def _worn(swatch: Taken) -> list[str]:
    """Return what sheer cloth over its backing, or a weave of two colours, looks like; else nothing."""
    worn, cloth = swatch.worn, swatch.cloth
    if cloth is None or (worn.lab == swatch.colour.lab).all():
        return []
    where = f"over {cloth_words(cloth.backing)}" if cloth.backing else "as the mean of its two colours"
    lightness, a, b = worn.lab
    return [f"Worn {where}: {name_of(capped(worn.lab)[0])}, L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}."]


def _decided(swatch: Taken) -> str:
    can = _decides(swatch)
    if can["arm"]:
        return "That is good enough to decide a match at arm's length, and from the seats."
    if can["seats"]:
        return "That is good enough to decide a match from the seats, not at arm's length."
    return "That is too unsure to decide a match even from the seats; it can still tell one hue from another."


def _elsewhere(swatch: Taken) -> str:
    colour = swatch.colour
    if colour.fluorescent:
        return f"Under other lamps: {_OUTSIDE_DAYLIGHT}."
    if colour.recovered:
        lamps = _lamps(swatch)
        each = ", ".join(f"{said} {lamps[name]['within_dE00_nine_in_ten']:.1f}" for name, said in _LAMPS)
        return (
            f"Under other lamps ±{colour.uncertainty_elsewhere:.1f}, since its spectrum is a guess from its "
            f"colour: nine times in ten within {each}."
        )
    return "Under other lamps it is known as well, since its spectrum was measured."
