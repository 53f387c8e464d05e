"""Who looks at stones, from where and while they move how, and whether single ones are made out."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from planner.optics.moments import ARC_MINUTE, INTEGRATION, RESOLUTION, Sight
from planner.reading.field import ACUITY

SeenOf = Literal["stone", "stones", "field"]
"""stone: each by itself; field: stones and cloth, which the eye takes as one; stones: as many as it takes as
one, the cloth between them left out."""

Movement = Literal["still", "walking", "turning"]

MOVEMENTS: Final[dict[Movement, float]] = {"still": 2.0, "walking": 20.0, "turning": 120.0}
"""Degrees a second by which a piece of the garment turns (our choice): breath and sway; the swing of
shoulders and hips in a step; a pirouette at a third of a turn a second."""

MIRRORED: Final = 2.0
"""How many times its own turn a mirror turns what it reflects."""

_DEVIATIONS: Final = float(np.sqrt(8.0 * np.log(2.0)))
"""Standard deviations in a Gaussian's full width at half maximum."""


@dataclass(frozen=True)
class Viewer:
    """Who looks, from where, at what movement."""

    distance: float
    """m"""
    cover: float
    """Share of the cloth that stones hide, 0 to 1."""
    movement: Movement = "walking"

    def of(self, diameter: float) -> SeenOf:
        """Return whether stones of `diameter` mm are resolved: their pitch is, see `ACUITY`."""
        if self.cover <= 0.0:
            return "stone"
        pitch = diameter * float(np.sqrt(np.pi / (4.0 * self.cover)))
        return "stone" if 1e-3 * pitch / self.distance > ACUITY * ARC_MINUTE else "field"

    def judged(self, diameter: float) -> SeenOf:
        """Return what is judged beside a swatch: the stones, whether or not they are resolved.

        A field is mostly cloth, and where the cloth is the swatch it agrees with itself whatever is sewn on:
        violet stones a hand apart would pass for blue. So the cloth is left out, and told beside.
        """
        return "stone" if self.of(diameter) == "stone" else "stones"

    def sight(self, diameter: float, of: SeenOf, count: int) -> Sight:
        """Return how stones of `diameter` mm are looked at, in `count` moments."""
        blur = 1e3 * self.distance * RESOLUTION * ARC_MINUTE / _DEVIATIONS / diameter
        sweep = float(np.radians(MIRRORED * MOVEMENTS[self.movement] * INTEGRATION))
        resolved = of == "stone"
        cover = 0.0 if resolved else self.cover
        return Sight(resolved, 0.0 if resolved else blur, cover, sweep, count)
