"""What people look at: the costume from the seats, a handful of stones near by, one stone large.

Three kinds of picture from the same optics, each drawn four times finer than it is shown and filtered in
linear light. Prepare once; then a frame for every way the wearer turns.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.picture.kinds import FINER, Kind
from planner.picture.lamps import Room
from planner.picture.picture import Prepared, default_width_mm, frame, prepare, scene_at_distance
from planner.reading.question import Question

WIDER = 3.0
"""How many times as much cloth is seen from the seats as in the hand."""

ROUND_A_STONE = 1.3
"""Cloth seen about one large stone, in diameters."""


@dataclass(frozen=True, eq=False)
class View:
    """A kind of picture, prepared."""

    kind: Kind
    prepared: Prepared
    metres: float
    """How far off whoever looks is, where that counts: from the seats."""

    @property
    def across_mm(self) -> float:
        """Width of the cloth that is seen."""
        return self.prepared.width * self.prepared.mm_per_pixel

    def frame(self, tilt: float = 0.0, nod: float = 0.0) -> NDArray[np.uint8]:
        """Return (H, W, 3) sRGB with the cloth turned about the vertical, then leant forwards; degrees."""
        if self.kind == "seats":
            return scene_at_distance(self.prepared, tilt, self.metres, nod)
        return frame(self.prepared, tilt, nod)


def view(question: Question, width: int, height: int, kind: Kind, *, finer: int = FINER) -> View:
    """Return a kind of picture of `width` × `height` pixels, ready to be drawn.

    Raises
    ------
    ValueError
        If a size is not above 0.

    """
    match kind:
        case "stone":
            across = ROUND_A_STONE * question.millimetres * max(1.0, width / max(height, 1))
        case "hand":
            across = default_width_mm(question)
        case _:
            across = WIDER * default_width_mm(question)
    room: Room | None = None if kind == "seats" else "near"
    ready = prepare(question, width, height, mm_across=across, samples=finer, room=room)
    return View(kind, ready, question.distance)


def picture(
    question: Question, width: int, height: int, kind: Kind, *, tilt: float = 0.0, nod: float = 0.0
) -> NDArray[np.uint8]:
    """Return one picture, (height, width, 3) sRGB; parameters as for `view` and `View.frame`."""
    return view(question, width, height, kind).frame(tilt, nod)
