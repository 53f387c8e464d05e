"""A whole area or a whole costume to scale, as an eye has it from where it is seen.

Light is laid down stone by stone: each hides its share of a pixel's cloth and sends the light of one
stone of its pairing's pool. What the eye makes of it is `planner.picture.glare`'s.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from planner.catalogue.palette import Palette
from planner.cover.costume import Dressed, dressed, outline_of
from planner.cover.outline import inside
from planner.cover.picture import Plan, rgb
from planner.job import Job, Line
from planner.optics.arrays import Floats, Ints
from planner.picture.above import colours
from planner.picture.glare import scattered
from planner.picture.pool import Pool, pool
from planner.picture.tone import on_screen
from planner.reading.of_job import question_of
from planner.reading.question import Question

BACKDROP = 0.02
"""Linear light behind a costume, white cloth being 1 (our choice: a dark stage)."""

_MARGIN = 1.04
"""Room about what is drawn."""

_FINER = 3
"""Samples to a pixel, each way, of edges; stones are laid down by their area."""


@dataclass(frozen=True, eq=False)
class Sheet:
    """Stones on cloth, to scale, ready to be lit."""

    ground: Floats
    """(H, W, 3) linear light of cloth and backdrop."""
    pixel: Ints
    """(S,) the pixel that holds the middle of each stone."""
    hides: Floats
    """(S,) share of a pixel that each stone hides."""
    kind: Ints
    """(S,) place in `pools`."""
    pools: tuple[Pool, ...]
    degrees: float
    """That a pixel has to whoever looks."""
    mm: float
    """To a pixel."""

    def light(self, tilt: float = 0.0, nod: float = 0.0) -> Floats:
        """Return (H, W, 3) linear light, white cloth being 1, the cloth turned by so many degrees."""
        high, wide = self.ground.shape[:2]
        sent = np.zeros((high * wide, 3))
        number = np.arange(len(self.pixel))
        for place, one in enumerate(self.pools):
            own = number[self.kind == place]
            if not len(own):
                continue
            stones = one.light(tilt, nod)
            # Any even walk through the pool would do: the golden ratio's leaves neighbours unlike.
            chosen = stones[(own * 0.6180339887 % 1.0 * len(stones)).astype(int)]
            for i in range(3):
                sent[:, i] += np.bincount(self.pixel[own], self.hides[own] * chosen[:, i], len(sent))
        hidden = np.bincount(self.pixel, self.hides, len(sent))
        # Where middles crowd in one pixel the next ones have fewer: together they hide no more than all.
        crowd = np.maximum(hidden, 1.0)[:, None]
        open_ = np.maximum(1.0 - hidden, 0.0)[:, None]
        return (self.ground.reshape(-1, 3) * open_ + sent / crowd).reshape(high, wide, 3).astype(np.float32)

    def frame(self, tilt: float = 0.0, nod: float = 0.0) -> NDArray[np.uint8]:
        """Return (H, W, 3) sRGB as an eye has it."""
        return on_screen(scattered(self.light(tilt, nod), self.degrees))


def costume(drawn: Dressed, asked: Sequence[Question], width: int, height: int) -> Sheet:
    """Return a costume that fits a picture.

    Parameters
    ----------
    drawn
        From `planner.cover.costume.dressed`.
    asked
        What each of its lines asks.
    width, height
        Of the picture, pixels.

    """
    least, most = drawn.outline.box
    mm = _MARGIN * float(max((most - least) / [width, height]))
    origin = 0.5 * (least + most) - 0.5 * mm * np.array([width, height])
    fine = Image.new("1", (_FINER * width, _FINER * height))
    for part in drawn.outline.parts.values():
        ImageDraw.Draw(fine).polygon([tuple(corner) for corner in (part - origin) * _FINER / mm - 0.5], 1)
    cloth = _share(np.asarray(fine), width, height)
    return laid(cloth, drawn.centres - origin, drawn.diameters, drawn.which, asked, mm)


def area_whole(drawn: Plan, asked: Sequence[Question]) -> Sheet:
    """Return an area as it is planned; `asked` is what each line of its mix asks, in that order."""
    piece, high = drawn.layout.piece, drawn.rows
    origin = np.array([piece.left, piece.top])
    cloth = np.ones((high, drawn.columns))
    if drawn.bounded:
        points = _samples(origin, drawn.mm, drawn.columns, high)
        cloth = _share(inside(drawn.area, points), drawn.columns, high)
    stones = drawn.layout
    return laid(cloth, stones.centres - origin, stones.diameters, stones.which, asked, drawn.mm)


def area_seen(drawn: Plan, lines: Sequence[Line], job: Job, palette: Palette) -> NDArray[np.uint8]:
    """Return (H, W, 3) sRGB: all of an area as it is seen from where it is seen, a part of it from above.

    Raises
    ------
    Refusal
        If a colour is no cloth's, or a coating cannot lie on its stone.

    """
    if drawn.whole:
        return area_whole(drawn, questions(job, lines, palette)).frame()
    return rgb(drawn, *colours(job, tuple(lines), palette))


def costume_seen(job: Job, palette: Palette, folder: Path, width: int, height: int) -> Sheet:
    """Return a job's costume that fits a picture; an outline of the maker's own is found from `folder`.

    Raises
    ------
    Refusal
        As `planner.cover.costume.outline_of` and `dressed`, or as `area_seen`.

    """
    drawn = dressed(job, outline_of(job, folder))
    return costume(drawn, questions(job, drawn.lines or job.lines[:1], palette), width, height)


def questions(job: Job, lines: Sequence[Line], palette: Palette) -> list[Question]:
    """Return what lines ask in the job's first venue; a refusal names the line."""
    return [question_of(job, job.lines.index(line), palette) for line in lines]


def _samples(origin: Floats, mm: float, width: int, height: int) -> Floats:
    """Return (N, 2) places, mm, row by row, `_FINER` to a pixel each way."""
    counts = _FINER * np.array([width, height])
    x, y = (at + (np.arange(count) + 0.5) * mm / _FINER for at, count in zip(origin, counts, strict=True))
    return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)


def _share(sampled: Ints, width: int, height: int) -> Floats:
    """Return (H, W) how much of each pixel's samples is set."""
    return sampled.reshape(height, _FINER, width, _FINER).mean(axis=(1, 3))


def laid(
    cloth: Floats, centres: Floats, diameters: Floats, which: Ints, asked: Sequence[Question], mm: float
) -> Sheet:
    """Return stones laid on cloth.

    Parameters
    ----------
    cloth
        (H, W) share of each pixel that is cloth; the rest is backdrop.
    centres, diameters, which
        (S, 2) mm from the picture's upper left corner, (S,) mm, and (S,) places in `asked`.
    asked
        What the stones are; all on one cloth in one venue.
    mm
        Millimetres to a pixel.

    """
    high, wide = cloth.shape
    pools = tuple(pool(one) for one in asked)
    bare = pools[0].prepared.cloth if pools else np.full(3, 0.2)
    ground = cloth[..., None] * bare + (1.0 - cloth[..., None]) * BACKDROP
    column, row = np.floor(centres / mm).astype(int).T
    seen = (column >= 0) & (column < wide) & (row >= 0) & (row < high)
    hides = 0.25 * np.pi * diameters[seen] ** 2 / mm**2
    metres = asked[0].distance if asked else 10.0
    pixel = (row * wide + column)[seen]
    return Sheet(ground, pixel, hides, which[seen], pools, float(np.degrees(1e-3 * mm / metres)), mm)
