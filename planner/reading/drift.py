"""How far a reading is from its swatch, and how far it may be."""

from dataclasses import dataclass

import numpy as np

from planner.colour.difference import delta_components, delta_e
from planner.colour.names import family_index
from planner.colour.words import shift_words
from planner.optics.arrays import Floats

TOLERANCES: dict[str, float | None] = {"arm": 2.0, "seats": 10.0, "family": None}
"""Largest CIEDE2000 for each purpose (common practice, no source).

arm: not to be told from the cloth at arm's length; dyers accept 1 to 2. seats: the same colour from
the seats; side by side in the hand 10 is plainly another shade, but it is what light and dark, folds
and distance do to one cloth anyhow. family: any depth of the same hue family, so no figure.
"""


@dataclass(frozen=True)
class Difference:
    """One colour against another: CIEDE2000 and its parts in CIELAB."""

    dE00: float  # noqa: N815 - the name the standard gives it
    dL: float  # noqa: N815
    dC: float  # noqa: N815
    dh: float | None
    """Degrees, -180 to 180; None where one of the two is nearly neutral."""
    words: str


def difference(lab_from: Floats, lab_to: Floats) -> Difference:
    """Return how the second colour differs from the first, both CIELAB (3,)."""
    dL, dC, dh = (float(part) for part in delta_components(lab_from, lab_to))
    total = float(delta_e(lab_from, lab_to))
    return Difference(total, dL, dC, None if np.isnan(dh) else dh, shift_words(lab_from, lab_to))


def limit(tolerance: str | float) -> float | None:
    """Return the largest CIEDE2000 of a tolerance; None for "family"."""
    return TOLERANCES[tolerance] if isinstance(tolerance, str) else tolerance


def holds(lab: Floats, swatch: Floats, tolerance: str | float) -> Floats:
    """Return (...) whether colours (..., 3) hold the swatch's (..., 3) within a tolerance."""
    largest = limit(tolerance)
    return same_family(lab, swatch) if largest is None else delta_e(lab, swatch) <= largest


def same_family(lab: Floats, swatch: Floats) -> Floats:
    """Return (...) whether colours have the hue family of the swatch."""
    return family_index(lab) == family_index(swatch)
