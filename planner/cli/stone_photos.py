"""Photographs of stones, as the commands about samples take and tell them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import click

from planner.catalogue.errors import show as quoted
from planner.cli import as_json, text
from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.photo.marked import Found, Mark, Read, find, read_marked
from planner.fitting.photo.together import LEAST_FLASHES, Kind
from planner.refusal import Refusal
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area

_PLACE: Final = re.compile(
    r"(?:(?P<photo>\d{1,2}):)?(?:(?P<number>\d{1,2})(?:-(?P<last>\d{1,2}))?|(?P<area>\d{1,6}(?:,\d{1,6}){3}))",
    re.ASCII,
)

LIMITS: Final = (
    "A photograph of stones is a rough measure: small stones have few pixels, a lamp's reflection burns out "
    "and loses its hue in the middle, and stones mirror the room and the camera. Lay them on a card with "
    "white paper beside them, under a dull sky or by a window without sun, go half a metre off and zoom in, "
    "and tilt the card a little; a second shot, tilted the other way, makes it surer."
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


def proposal(found: Sequence[Found], command: str) -> str:
    """Return what is made out on photographs on which no stone is marked yet."""
    parts = []
    for photo, one in enumerate(found, 1):
        lead = f"{one.picture.path.name}: white at {_typed(one.white)}"
        if not one.stones:
            parts.append(text.wrap(f"{lead}; no stones made out, so mark each as x,y,w,h.", 2, ""))
            continue
        first = f"{photo}:" if len(found) > 1 else ""
        places = [f"{first}{number} at {_typed(area)}" for number, area in enumerate(one.stones, 1)]
        parts.append(text.wrap(f"{lead}; stones {'; '.join(places)} (x,y,w,h, in rows from the top).", 2, ""))
    parts.append(text.wrap(f"Say which stone each is: {command}."))
    parts.append(text.wrap(LIMITS))
    return "\n\n".join(parts)


def proposal_data(found: Sequence[Found]) -> list[dict[str, Any]]:
    """Return the same for programs."""
    return [
        {
            "file": str(one.picture.path),
            "white": list(one.white),
            "stones": [list(area) for area in one.stones],
        }
        for one in found
    ]


def told(read: Read) -> str:
    """Return what photographs say of each kind of stone, and what to know of it."""
    white = "; ".join(
        f"{_typed(shot.white)} in {path.name}" for path, shot in zip(read.paths, read.shots, strict=True)
    )
    lines = [_kind(stone, kind) for stone, kind in read.kinds.items()]
    lines.append(text.wrap(f"White read at {white}; correct it with --white.", 2, ""))
    return "\n".join([*lines, *(text.wrap(f"Note: {one}", 2, "") for one in read.notes)])


def _kind(stone: str, kind: Kind) -> str:
    lab = kind.seen.lab
    if lab is None:
        return ""
    hex_ = to_hex(lab_to_srgb(lab)[0])
    shots = f" in {kind.shots} shots" if kind.shots > 1 else ""
    apart = "" if kind.scatter is None else f", ΔE00 {kind.scatter:.1f} apart"
    said = (
        f"{stone}: {name_of(lab)} ({hex_}), known to ±{kind.seen.error:.1f} ΔE00; {kind.stones} "
        f"stone{'s' if kind.stones > 1 else ''}{shots}{apart}"
    )
    if kind.flashes:
        flashes = ", ".join(f"{name} {count}" for name, count in kind.flashes)
        said += f"; flashes by their rims: {flashes}"
        said += "" if kind.flash else f" (fewer than {LEAST_FLASHES}, too few to go by)"
    return text.patch(hex_) + text.wrap(f"{said}.", 2, "")


def data(read: Read) -> dict[str, Any]:
    """Return what photographs say for programs."""
    return {
        "photographs": [
            {
                "file": str(path), "white": list(shot.white),
                "stones": [
                    {"stone": name, "area": list(stone.area), "lab": list(stone.lab),
                     "share_left_out": stone.read.bright, "flashes": list(stone.read.flashes)}
                    for name, stone in zip(names, shot.stones, strict=True) if stone is not None
                ],
            }
            for path, shot, names in zip(read.paths, read.shots, read.marked, strict=True)
        ],
        "kinds_seen": [
            {"stone": name, "lab": list(kind.seen.lab), "error_dE00": kind.seen.error, "stones": kind.stones,
             "shots": kind.shots, "apart_dE00": kind.scatter, "flashes": dict(kind.flashes),
             "flashes_without_hue": kind.hidden}
            for name, kind in read.kinds.items() if kind.seen.lab is not None
        ],
        "notes": list(read.notes),
    }  # fmt: skip


def print_proposal(found: Sequence[Found], command: str, schema: str, *, as_data: bool) -> None:
    """Print what is made out, for a person or a program to mark."""
    if as_data:
        click.echo(as_json.dumps({"schema": schema, "photographs": proposal_data(found)}))
    else:
        click.echo(proposal(found, command))


def _typed(area: Area) -> str:
    return ",".join(map(str, area))
