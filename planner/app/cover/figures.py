"""What the areas of a job take, worked out together, and one of them from above."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.palette import Palette
from planner.cover.count import AreaCount, counts, lines_of, needs, unplaced
from planner.cover.need import Need
from planner.cover.picture import Plan, letters, plan, rgb
from planner.cover.practice import gross_alike
from planner.cover.work import Hours, grams, hours
from planner.job import Job, Line
from planner.optics.arrays import Floats
from planner.picture.above import colours


@dataclass(frozen=True)
class Sums:
    """What all areas come to."""

    areas: tuple[AreaCount, ...]
    needed: tuple[Need, ...]
    grams: float
    hours: Hours
    unplaced: tuple[Line, ...]

    @property
    def count(self) -> int:
        """All stones, spares too."""
        return sum(one.count for one in self.needed)

    @property
    def alike(self) -> float:
        """Gross of `COMPARED` that would hide as much cloth."""
        return gross_alike(self.needed)


@dataclass(frozen=True, eq=False)
class Above:
    """One area from above."""

    plan: Plan
    lines: tuple[Line, ...]
    rgb: NDArray[np.uint8]
    letters: tuple[str, ...]
    stones: Floats
    """(K, 3) sRGB of each line."""


def sums(job: Job, palette: Palette) -> Sums:
    """Return what the areas of a job come to; raises Refusal where stones would overlap."""
    needed = needs(job, palette)
    return Sums(counts(job), needed, grams(needed, palette), hours(job, needed), unplaced(job))


def above(job: Job, palette: Palette, number: int, pixels: tuple[int, int]) -> Above:
    """Return area `number` of a job, from 0, on a picture of so many pixels across and down.

    Raises
    ------
    ValueError
        If it cannot be laid out, or a colour cannot be computed.

    """
    area = job.areas[number]
    lines = lines_of(area, job)
    drawn = plan(area, lines, *pixels)
    stones, cloth = colours(job, lines, palette)
    return Above(drawn, lines, rgb(drawn, stones, cloth), letters(drawn), stones)
