"""Draws pictures where keys do not wait for them: in a process of its own.

In a thread a picture would hold up the next answer, since Python lets one thread at a time compute. What is
to be drawn goes there as a plain value; what was made ready of it stays there, and frames come back.
"""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from planner.app.second_process import SameProcess, SecondProcess, unpacked
from planner.job import Job
from planner.reading.question import Question

READY = 6
"""Pictures that are kept ready: two or three sizes and samplings of the two that a screen shows."""

_numbers = count()


class Turning(Protocol):
    """What can be drawn turned any way."""

    def frame(self, tilt: float = 0.0, nod: float = 0.0) -> NDArray[np.uint8]:
        """Return (H, W, 3) sRGB, turned by so many degrees."""


Made = Callable[[int, int, int], Turning]
"""What makes a picture of so many pixels across and down, with so many samples to a pixel each way.

Where pictures are drawn in a process of its own it must be a value that can be copied there."""


@dataclass(frozen=True)
class OfQuestion:
    """Makes a kind of picture of a question's stones, see `planner.picture.view`."""

    question: Question
    kind: Any
    """A `planner.picture.view.Kind`."""

    def __call__(self, wide: int, high: int, finer: int) -> Turning:
        """Make it ready."""
        from planner.picture.view import view

        return view(self.question, wide, high, self.kind, finer=finer)


@dataclass(frozen=True, eq=False)
class OfCostume:
    """Makes the picture of a whole costume."""

    job: Job
    parts: dict[str, Any]
    """Its palette, a `planner.app.second_process.parcel`."""
    folder: Path
    """That of the job's file."""

    def __call__(self, wide: int, high: int, _finer: int) -> Turning:
        """Make it ready."""
        from planner.picture.costume import costume_seen

        return costume_seen(self.job, unpacked(self.parts), self.folder, wide, high)


class Drawing:
    """One picture in one size and sampling, drawn by `painter`; frames as of any `Turning`."""

    def __init__(
        self, painter: SecondProcess | SameProcess, made: Made, size: tuple[int, int], finer: int
    ) -> None:
        self._painter, self._asked = painter, (next(_numbers), made, size, finer)

    def frame(self, tilt: float = 0.0, nod: float = 0.0) -> NDArray[np.uint8]:
        """Return (H, W, 3) sRGB, turned by so many degrees.

        Raises
        ------
        ProcessLostError
            If the painter ended meanwhile.

        """
        drawn: NDArray[np.uint8] = self._painter.call(_frame, *self._asked, tilt, nod)
        return drawn


_ready: OrderedDict[int, Turning] = OrderedDict()


def _frame(
    number: int, made: Made, size: tuple[int, int], finer: int, tilt: float, nod: float
) -> NDArray[np.uint8]:
    """Return a frame of picture `number`, where it is drawn."""
    turning = _ready.pop(number, None) or made(*size, finer)
    _ready[number] = turning  # the newest last
    while len(_ready) > READY:
        _ready.popitem(last=False)
    return turning.frame(tilt, nod)
