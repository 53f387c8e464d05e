"""The finish of a pairing, beside its colour: plain facets, a metal film, a dome."""

from typing import Literal, TypeAlias

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.optics.materials import MATERIALS

Finish: TypeAlias = Literal["plain", "metal", "dome"]
"""metal: a film that swallows light and looks like metal; dome: a cut without a table to speak of."""

_DOME_TABLE = 0.3
"""Table of a cut as a share of its diameter below which it is a dome (our choice)."""


def finish_of(cut: Cut, coating: Coating | None) -> Finish:
    """Return the finish of a pairing; of a metal film on a dome, the film's."""
    if not swallows_nothing(coating):
        return "metal"
    return "dome" if cut.rows[-1].inner < _DOME_TABLE else "plain"


def swallows_nothing(coating: Coating | None) -> bool:
    """Say whether a film is clear, or there is none."""
    return coating is None or all(MATERIALS[layer.material].transparent for layer in coating.layers)
