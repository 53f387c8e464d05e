"""Colours and photographs that the commands about samples take."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import click

from planner.fitting.photo.marked import Found, Mark, Read, find, read_marked
from planner.fitting.sight import Sight, Source, sight
from planner.refusal import Refusal
from planner.refusal import show as quoted
from planner.say.document import Part
from planner.say.photographed import read_data, read_section
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area

_PLACE: Final = re.compile(
    r"(?:(?P<photo>\d{1,2}):)?(?:(?P<number>\d{1,2})(?:-(?P<last>\d{1,2}))?|(?P<area>\d{1,6}(?:,\d{1,6}){3}))",
    re.ASCII,
)


@dataclass(frozen=True)
class Photos:
    """The options by which photographs are given."""

    paths: tuple[Path, ...]
    white: tuple[Area, ...]
    grey: float | None
    light: Light

    def found(self) -> list[Found]:
        """Return every photograph with what is made out on it."""
        if self.white and len(self.white) != len(self.paths):
            raise click.BadParameter(
                f"found {len(self.white)} for {len(self.paths)} photographs; give one for each, or none",
                param_hint="--white",
            )
        white = self.white or (None,) * len(self.paths)
        return [find(path, at) for path, at in zip(self.paths, white, strict=True)]

    def read(self, found: Sequence[Found], marks: Sequence[Mark]) -> Read:
        """Return what the marked stones show."""
        return read_marked(found, marks, grey=self.grey, light=self.light)


def places_of(stone: str, place: str, photos: int, option: str) -> tuple[Mark, ...]:
    """Return where stones are marked, several for numbers such as 1-4; none if the text is no place.

    Raises
    ------
    click.BadParameter
        If it names a photograph that was not given.

    """
    match = _PLACE.fullmatch("".join(place.split()))
    if match is None:
        return ()
    photo = int(match["photo"] or 1)
    if not 1 <= photo <= photos:
        many = f"there are {photos}" if photos else "--photo is missing"
        raise click.BadParameter(f"found photograph {photo}; {many}", param_hint=option)
    if match["number"]:
        first = int(match["number"])
        return tuple(Mark(stone, photo, one) for one in range(first, int(match["last"] or first) + 1))
    return (Mark(stone, photo, Area(*map(int, match["area"].split(",")))),)


def marks_of(stone: str, places: Sequence[str], found: Sequence[Found], option: str) -> list[Mark]:
    """Return marks of one kind of stone: those given, or all stones that are made out."""
    marks: list[Mark] = []
    for one in places:
        here = places_of(stone, one, len(found), option)
        if not here:
            raise click.BadParameter(
                f"found {quoted(one)}; a stone on a photograph is its box x,y,w,h, or its number among those "
                "made out, such as 1 or 1-4 (on the second photograph 2:x,y,w,h or 2:1)", param_hint=option,
            )  # fmt: skip
        marks += here
    if marks:
        return marks
    for photo, shown in enumerate(found, 1):
        if not shown.stones:
            raise Refusal(
                f"{shown.picture.path}: no stones are made out on it; mark the box round each with {option} "
                "x,y,w,h"
            )
        marks += [Mark(stone, photo, number) for number in range(1, len(shown.stones) + 1)]
    return marks


def seen_as(text: str, source: Source, option: str) -> Sight:
    """Return what was seen, or refuse the option by which it was typed."""
    try:
        return sight(text, source)
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint=option) from None


@dataclass(frozen=True, eq=False)
class Looked:
    """A colour, and the photographs it was read on."""

    sight: Sight
    read: Read | None = None
    """The photographs; None where it was typed."""

    @property
    def parts(self) -> tuple[Part, ...]:
        """What the photographs say, to be told first."""
        return () if self.read is None else (read_section(self.read),)

    @property
    def data(self) -> dict[str, Any]:
        """What the photographs say in figures."""
        return {} if self.read is None else read_data(self.read)


def typed_or_photographed(
    colour: str | None, source: Source, photos: Photos, on: Sequence[str], option: str, name: str
) -> Looked:
    """Return the colour of one kind of stone: typed as `option`, or off photographs.

    Raises
    ------
    click.UsageError, Refusal
        If neither or both are given, or a photograph cannot be read.

    """
    if not photos.paths:
        if on or photos.white:
            raise click.UsageError("--photo: is missing; --on and --white are places on a photograph")
        if colour is None:
            raise click.UsageError(f"{option}: is missing; give a colour, or a photograph with --photo")
        return Looked(seen_as(colour, source, option))
    if colour is not None:
        raise click.UsageError(f"{option}: give a colour or a photograph, not both")
    found = photos.found()
    read = photos.read(found, marks_of(name, on, found, "--on"))
    return Looked(read.kinds[name].seen, read)


def must_fit(fits: bool, why: str) -> None:
    """Refuse to save what explains nothing."""
    if not fits:
        raise click.BadParameter(f"{why} (run it without --save to see the nearest)", param_hint="--save")
