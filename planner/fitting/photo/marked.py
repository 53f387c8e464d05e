"""Photographs with stones marked on them, read as a person asks for it: which stone is where."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.fitting.photo.propose import propose_stones
from planner.fitting.photo.shot import Shot, read_shot
from planner.fitting.photo.together import Kind, together
from planner.refusal import InvalidValue, Refusal
from planner.swatch.photo_areas import propose_white
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Area, Picture, open_picture


@dataclass(frozen=True)
class Mark:
    """Where one stone is: its box, or its number among those that are proposed."""

    stone: str
    """Which kind it is."""
    photo: int
    """Number of the photograph, from 1."""
    place: Area | int
    """A number counts from 1."""


@dataclass(frozen=True, eq=False)
class Found:
    """A photograph, with what the planner makes out on it by itself."""

    picture: Picture
    white: Area
    stones: tuple[Area, ...]


@dataclass(frozen=True, eq=False)
class Read:
    """What photographs say of each kind of stone."""

    kinds: Mapping[str, Kind]
    paths: tuple[Path, ...]
    shots: tuple[Shot, ...]
    marked: tuple[tuple[str, ...], ...]
    """For each shot, which kind each of its stones is."""
    notes: tuple[str, ...]


def find(path: Path, white: Area | None = None) -> Found:
    """Open a photograph and look for its white reference and its stones.

    Raises
    ------
    Refusal
        If it cannot be opened, or no white reference is found.

    """
    picture = open_picture(path)
    try:
        place = propose_white(picture) if white is None else white
    except InvalidValue as problem:
        raise Refusal(f"{path}: {problem}") from None
    return Found(picture, place, propose_stones(picture, place))


def read_marked(
    found: Sequence[Found], marks: Sequence[Mark], *, grey: float | None = None, light: Light = "unknown"
) -> Read:
    """Return the colour of each kind of stone that is marked.

    Raises
    ------
    Refusal
        One sentence: the photograph, and why a mark or the white cannot be read.

    """
    shots: list[Shot] = []
    marked: list[tuple[str, ...]] = []
    notes: list[str] = []
    for number, one in enumerate(found, 1):
        here = [mark for mark in marks if mark.photo == number]
        if not here:
            raise Refusal(f"{one.picture.path}: no stone is marked on it; mark one, or leave it out")
        areas = [_area(mark, one) for mark in here]
        called = [
            f"{mark.stone} at {','.join(map(str, area))}" for mark, area in zip(here, areas, strict=True)
        ]
        try:
            shot = read_shot(one.picture, areas, white=one.white, grey=grey, light=light, called=called)
        except InvalidValue as problem:
            raise Refusal(f"{one.picture.path}: {problem}") from None
        shots.append(shot)
        marked.append(tuple(mark.stone for mark in here))
        notes += [f"Left out: {one}." for one in shot.unread]
        notes += shot.notes
    stones = dict.fromkeys(one.stone for one in marks)
    try:
        kinds = {stone: _kind(stone, found, shots, marked) for stone in stones}
    except InvalidValue as problem:
        raise Refusal(f"{found[0].picture.path}: {problem}") from None
    notes += [_odd(stone, kind) for stone, kind in kinds.items() if kind.odd]
    return Read(
        kinds,
        tuple(one.picture.path for one in found),
        tuple(shots),
        tuple(marked),
        tuple(dict.fromkeys(notes)),
    )


def _area(mark: Mark, found: Found) -> Area:
    if isinstance(mark.place, Area):
        return mark.place
    if not 1 <= mark.place <= len(found.stones):
        many = f"1 to {len(found.stones)}" if found.stones else "none, so mark it as x,y,w,h"
        raise Refusal(f"{found.picture.path}: found stone number {mark.place}; the planner makes out {many}")
    return found.stones[mark.place - 1]


def _odd(stone: str, kind: Kind) -> str:
    if 2 * kind.odd > kind.stones:
        return (
            f"The {kind.stones} stones marked as {stone} are unlike each other (ΔE00 {kind.scatter or 0:.0f} "
            "apart): check that they are all of one kind."
        )
    return (
        f"{kind.odd} of {kind.stones} stones of {stone} look unlike the others and count less: check that "
        "they are marked correctly."
    )


def _kind(stone: str, found: Sequence[Found], shots: Sequence[Shot], marked: Sequence[Sequence[str]]) -> Kind:
    chosen = [[place for place, name in enumerate(names) if name == stone] for names in marked]
    where = " and ".join(one.picture.path.name for one, names in zip(found, chosen, strict=True) if names)
    return together(shots, chosen, f"on {where}")
