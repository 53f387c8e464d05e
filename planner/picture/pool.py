"""Single stones as light: what each of many, set as a hand sets them, sends to whoever looks.

From the seats a stone is smaller than what an eye resolves, so a costume of thousands needs of each no
more than its light. A few hundred are followed ray by ray, each with a lean, a film and a wedge of its
own, and every stone on the costume is one of them.
"""

from dataclasses import dataclass, replace

import numpy as np

from planner.optics.arrays import Floats
from planner.picture.picture import Prepared, by_stone, prepare
from planner.reading.question import Question

STONES = 14
"""Stones across the cloth that is followed; about as many rows."""

_ACROSS = 8
"""Rays across a stone."""

_COVER = 0.4
"""Share of that cloth hidden: stones near each other, none in another's way."""


@dataclass(frozen=True, eq=False)
class Pool:
    """Stones of one pairing and size, prepared."""

    prepared: Prepared

    def light(self, tilt: float = 0.0, nod: float = 0.0) -> Floats:
        """Return (K, 3) mean linear light of each stone, white cloth being 1, turned by so many degrees."""
        return by_stone(self.prepared, tilt, nod)


def pool(question: Question) -> Pool:
    """Return the stones of a question, on cloth as it has."""
    pitch = question.millimetres * np.sqrt(np.pi / (2.0 * np.sqrt(3.0) * _COVER))
    pixels = int(np.ceil(STONES * pitch / question.millimetres * _ACROSS))
    near = replace(question, cover=_COVER)
    return Pool(prepare(near, pixels, pixels, mm_across=STONES * pitch, samples=1))
