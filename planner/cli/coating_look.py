"""What a sample card says of its coating, for ``planner coating``."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click

from planner.catalogue.palette import Palette
from planner.cli.ask import called
from planner.cli.at_hand import palette_of
from planner.cli.keeping import keeping
from planner.cli.seeing import Photos, places_of, seen_as
from planner.cli.text import tell
from planner.colour.names import FLASH_FAMILIES
from planner.fitting.coating import coatings, fit_coating
from planner.fitting.foresee import foresee, further_samples, telling
from planner.fitting.photo.marked import Found, Mark, Read
from planner.fitting.sight import Placed, Sample, Source
from planner.fitting.sparkles import FlashSeen
from planner.refusal import Refusal
from planner.refusal import show as quoted
from planner.say.coating import SCHEMA, coating_document
from planner.say.document import Document, Part
from planner.say.photographed import proposal_document, read_data, read_section
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area


def show(
    *, on: tuple[str, ...], photos: tuple[Path, ...], white: tuple[Area, ...], grey: float | None,
    light: Light, lamplit: tuple[int, ...], flash: tuple[str, ...], venue: str | None, source: Source,
    size: str, others: tuple[str, ...], save: str | None, over: bool, to: Path | None,
    palettes: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print the films that fit a sample card, and save them if asked."""
    kept = keeping(save, to, over=over, palettes=palettes)
    palette = palette_of(palettes)
    entry_id = "" if kept is None else kept.id("coating", palette)
    taken = Photos(photos, white, grey, light)
    found = taken.found()
    if found and not on:
        marks = "--on STONE=NUMBER (or 1-4), or --on STONE=x,y,w,h"
        tell(proposal_document(found, marks, SCHEMA), as_data=as_data)
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
    if kept is not None:
        saved = coatings(fitted, entry_id, kept.name)
        where = kept.keep(saved)
    further = telling(fitted, further_samples(palette, card.samples), "photo" if found else source)
    told = coating_document(fitted, foresee(fitted, foreseen_on), further, saved=saved, where=where)
    tell(Document("", (*card.parts, *told.parts), {**told.data, **card.data}), as_data=as_data)


@dataclass(frozen=True, eq=False)
class _Card:
    """The stones of a card, typed or off photographs."""

    samples: list[Sample]
    read: Read | None
    """Photographs in even light."""
    lit: Read | None
    """Photographs under lamps: their flashes alone count."""

    @property
    def parts(self) -> tuple[Part, ...]:
        """What the photographs say, to be told first."""
        return tuple(read_section(one) for one in (self.read, self.lit) if one is not None)

    @property
    def data(self) -> dict[str, Any]:
        """What those in even light say in figures."""
        return {} if self.read is None else read_data(self.read)


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
