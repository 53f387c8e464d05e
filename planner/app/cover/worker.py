"""An area of a job as it is seen, worked out beside the screen."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.palette import Palette
from planner.cover.count import lines_of
from planner.cover.picture import Plan, letters, plan
from planner.job import Job, Line
from planner.optics.arrays import Floats
from planner.picture.above import colours
from planner.picture.costume import area_seen


@dataclass(frozen=True, eq=False)
class Above:
    """One area: all of it as seen from the seats, a part of it from above."""

    plan: Plan
    lines: tuple[Line, ...]
    rgb: NDArray[np.uint8]
    letters: tuple[str, ...]
    stones: Floats
    """(K, 3) sRGB of each line."""


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
    stones, _ = colours(job, lines, palette)
    return Above(drawn, lines, area_seen(drawn, lines, job, palette), letters(drawn), stones)
