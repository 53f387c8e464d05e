"""What a photographed card says, worked out behind the screen."""

from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from planner.app.photo.frames import beginning
from planner.app.photo.reading import small_copy
from planner.app.samples.marks import Marks, proposed
from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.fitting.arrival import Arrived, compare
from planner.fitting.coating import Fitted, fit_coating
from planner.fitting.foresee import Telling, further_samples, telling
from planner.fitting.photo.marked import Found, Read, read_marked
from planner.fitting.photo.propose import propose_stones
from planner.fitting.sight import Placed, Sample
from planner.refusal import InvalidValue
from planner.swatch.photo_areas import propose_white
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Picture, open_picture


@dataclass(frozen=True, eq=False)
class Opened:
    """A photograph, with frames proposed."""

    picture: Picture
    small: NDArray[np.uint8]
    marks: Marks
    complaint: str
    """What could not be made out; empty if all could."""


@dataclass(frozen=True)
class Pairing:
    """What was ordered."""

    stone: Stone
    cut: Cut
    coating: Coating | None
    size: str


@dataclass(frozen=True, eq=False)
class Card:
    """What a sample card leaves."""

    read: Read
    fitted: Fitted
    telling: tuple[Telling, ...]
    """Which further stone would tell most."""


@dataclass(frozen=True, eq=False)
class Came:
    """What came, beside what was predicted."""

    read: Read
    arrived: Arrived


Answer: TypeAlias = Card | Came


def opened(path: Path) -> Opened:
    """Open a photograph and propose its frames; Refusal if it cannot be opened."""
    picture = open_picture(path)
    try:
        white, complaint = propose_white(picture), ""
    except InvalidValue:
        white = beginning(picture.width, picture.height).white
        complaint = "No white paper is made out: put frame W on it."
    stones = propose_stones(picture, white)
    if not stones:
        complaint = f"{complaint} No stones are made out: add a frame round each with a.".strip()
    return Opened(picture, small_copy(picture), proposed(white, stones), complaint)


def card_of(picture: Picture, marks: Marks, light: Light, palette: Palette, size: str) -> Card:
    """Return what the stones that are said leave; Refusal or ValueError with the reason."""
    read = _read(picture, marks, light, "")
    placed = [Placed(palette.stones[one], palette.cuts[palette.stones[one].cut], size) for one in read.kinds]
    samples = [Sample(at, kind.seen) for at, kind in zip(placed, read.kinds.values(), strict=True)]
    fitted = fit_coating(samples)
    return Card(read, fitted, telling(fitted, further_samples(palette, samples), "photo"))


def came_of(picture: Picture, marks: Marks, light: Light, ordered: Pairing) -> Came:
    """Return what came beside its prediction; Refusal or ValueError with the reason."""
    read = _read(picture, marks, light, ordered.stone.id)
    seen = read.kinds[ordered.stone.id].seen
    return Came(read, compare(ordered.stone, ordered.cut, ordered.coating, ordered.size, seen))


def _read(picture: Picture, marks: Marks, light: Light, every: str) -> Read:
    said = marks.marks(every)
    if not said:
        raise InvalidValue("say which stone is in a frame: choose it in the list and press Enter")
    return read_marked([Found(picture, marks.white, ())], said, light=light)
