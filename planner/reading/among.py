"""What a colour is taken for among stones: darker than cloth, yet the same red.

Between its flashes a stone has none of the lamps' light, and a red one is the red of its swatch in a
quarter of the light. Nobody calls it brown: lightness is judged beside what a thing is grouped with as well
as beside all that is in sight, and what is lightest in a group counts as its white (A. Gilchrist et al.,
"An anchoring theory of lightness perception", Psychological Review 106, 795-834, 1999). Stones lie among
stones, whose white is a clear one. So a colour is taken halfway between what it is beside white cloth and
what it is beside a clear stone of the same glass and cut; near by the cloth is right beside it, and counts
alone. The clear stone is foiled, and follows the very same beams where the other is: what they miss of one
they miss of the other.
"""

from functools import lru_cache
from typing import Final

import numpy as np

from planner.catalogue.cut import Cut
from planner.catalogue.stone import Material, Stone
from planner.colour.grid import WAVELENGTHS
from planner.optics.arrays import Floats
from planner.optics.lean import Lean
from planner.reading.eye import sights
from planner.reading.matter import Grade, absorption, gem
from planner.reading.question import Question
from planner.reading.scene import Scene, perceived
from planner.reading.states import states
from planner.reading.viewer import Viewer

REFERENCE: Final = "lead crystal"
"""The material of the clear stone beside which sparkle is told."""

AMONG: Final = 0.5
"""How much the stones about it count from the seats, the cloth being the rest (our choice; the theory has
both count, and leaves how much to how large and how varied each group is)."""

NEAR: Final = 1.0
"""Metres at which half of that is left: there cloth and stone are seen side by side (our choice)."""

_GREY: Final = 0.2
"""Reflectance of the cloth under the clear stone."""


def clear_stone(cut: Cut, size: str = "SS20", material: Material = REFERENCE) -> Stone:
    """Return a clear stone in a cut, with silver foil."""
    return Stone(
        id="reference", name="Reference", basis="invented", material=material, cut=cut.id, sizes=(size,)
    )


def white_of(question: Question, venue: Scene, grade: Grade) -> float:
    """Return how light a clear stone is seen beside white cloth where a question's is, see `white`."""
    one = question
    return white(one.cut, one.stone.material, one.millimetres, one.lean, venue, one.viewer, grade)


@lru_cache(maxsize=256)
def white(
    cut: Cut, material: Material, millimetres: float, lean: Lean, venue: Scene, viewer: Viewer, grade: Grade
) -> float:
    """Return how light a clear stone is seen beside white cloth, 0 to 1, followed as `grade` says."""
    stone, of = clear_stone(cut, material=material), viewer.judged(millimetres)
    found = sights(
        gem(stone, cut, grade, lean), None, states(None, full=False), absorption(stone, cut)[None],
        millimetres, venue, np.full(len(WAVELENGTHS), _GREY), viewer, (of,),
    ).seen[of]  # fmt: skip
    return float(np.clip(found[0, 0, 1] / venue.white_xyz[1], 1e-3, 1.0))


def taken_for(xyz: Floats, venue: Scene, white: float | Floats, distance: float) -> Floats:
    """Return CIELAB (..., 3) that colours of stones are taken for.

    Parameters
    ----------
    xyz
        (..., 3) seen colour, in cd/m².
    venue
        Its light.
    white
        From `white_of`; broadcasts against (...).
    distance
        From the eye, m.

    """
    weight = AMONG * distance**2 / (distance**2 + NEAR**2)
    beside_cloth = perceived(xyz, venue)
    beside_stones = perceived(xyz / np.asarray(white)[..., None], venue)
    return np.asarray((1.0 - weight) * beside_cloth + weight * beside_stones)
