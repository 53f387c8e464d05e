"""How stones lean to the viewer, by where they sit on a garment.

A stone's lean is the angle between its table's normal and the line to the viewer. It depends on where it
sits: a flat bodice front leans little, round the body the sides turn away, a skirt swings. Under lamps
from one side it decides as much as the film does, so how wide leans are spread is drawn with the lots.
Directions of view are followed once, out to `WIDEST`, and weighed by lean.
"""

from functools import lru_cache
from typing import Final, Literal

import numpy as np

from planner.optics.arrays import Floats

Lean = Literal["flat front", "round the body", "swinging"]

LEANS: Final[tuple[Lean, ...]] = ("flat front", "round the body", "swinging")

WIDEST: Final = np.radians(60.0)
"""Furthest lean that is followed. Beyond it a stone covers little of the field, and hardly counts."""

_SWAYS: Final[dict[Lean, float]] = {"flat front": 10.0, "round the body": 8.0, "swinging": 25.0}
"""Standard deviation, degrees, of how the cloth leans both ways as it is cut and as it moves (our choice)."""

_FLATNESS: Final = 0.7
"""Depth of a torso over its width (common practice, no source: pattern blocks run from 0.65 to 0.8)."""

SPREAD: Final = 0.25
"""Relative standard deviation of how widely stones lean, from costume to costume (our choice)."""

_AROUND: Final = 48
"""Places round the body."""

_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(7)

_SOFT: Final = np.radians(2.0)


@lru_cache(maxsize=64)
def _reach(lean: Lean, scale: float) -> tuple[Floats, Floats]:
    """Return leans, radians, of places seen in equal parts of the picture, and their shares."""
    sway = np.radians(_SWAYS[lean]) * scale
    side = np.zeros(1)
    if lean == "round the body":
        # Seen from the front an ellipse shows equal widths at equal steps of the sine of its parameter.
        across = (np.arange(_AROUND) + 0.5) / _AROUND
        side = np.arctan(scale * _FLATNESS * across / np.sqrt(1.0 - across**2))
    x = side[:, None, None] + sway * _NODES[None, :, None]
    y = sway * _NODES[None, None, :]
    share = np.broadcast_to(_WEIGHTS[:, None] * _WEIGHTS, (len(side), len(_NODES), len(_NODES)))
    return np.hypot(x, y).ravel(), share.ravel()


def lean_share(angles: Floats, lean: Lean, scale: float = 1.0) -> Floats:
    """Return (D,) how much of the picture is seen at leans `angles` (D,), evenly stepped; adds up to 1.

    `scale` widens or narrows the spread of leans.
    """
    at, share = _reach(lean, scale)
    kernel = np.exp(-0.5 * ((angles[:, None] - at) / _SOFT) ** 2)
    # No lean is nearer than straight on: what the softening puts beyond comes back.
    kernel += np.exp(-0.5 * ((angles[:, None] + at) / _SOFT) ** 2)
    found = kernel @ share
    return np.asarray(found / found.sum())
