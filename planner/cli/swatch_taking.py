"""The flow of ``planner swatch``: a colour is taken in, told, and kept if asked."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from planner.catalogue.cloth import Cloth, backings
from planner.catalogue.errors import build
from planner.catalogue.spectra.file import Unit
from planner.cli.keeping import keeping
from planner.cli.text import tell
from planner.refusal import InvalidValue, Refusal
from planner.say.swatch import read_in, swatch_document
from planner.swatch.instrument import read_measured
from planner.swatch.kept import entry
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area
from planner.swatch.taken import Taken, on_cloth
from planner.swatch.typed import from_text


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
    said = [
        read_in(path, one.cloth, one.white, card=grey is not None)
        for path, one in zip(photographs, found, strict=True)
    ]
    finish(combine(found), **given, photographs=areas, read=said)


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
    lets_through: float | None, second: str | None, save: str | None, over: bool, to: Path | None,
    as_data: bool, photographs: Sequence[dict[str, Any]] = (), read: Sequence[str] = (),
) -> None:  # fmt: skip
    """Add what the kind of cloth does, keep the swatch if asked, and print it."""
    kept = keeping(save, to, over=over)
    called = "" if kept is None else kept.id("swatch")
    cloth = _cloth(kind, backing, read_over, lets_through, second)
    if cloth is not None:
        swatch = on_cloth(swatch, cloth)
        with refused("--kind"):
            _ = swatch.worn
    saved, where = None, ""
    if kept is not None:
        new = entry(swatch, called, "--save", kept.name)
        saved, where = (called, kept.file("swatch")), kept.keep((new,), "My own swatches.")
    told = swatch_document(swatch, read_in=read, photographs=photographs, saved=saved, where=where)
    tell(told, as_data=as_data)


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
