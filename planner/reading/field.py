"""The field: stones and cloth seen together, and from how far they no longer stand apart."""

from dataclasses import dataclass

import numpy as np

from planner.colour.difference import delta_components
from planner.optics.arrays import Floats

ACUITY = 2.0
"""Pitch in minutes of arc at which light and dark stones merge: one minute for the stone and one
for the gap, the resolution of normal sight (Snellen 1862: 20/20)."""

HUE_ACUITY = 15.0
"""Pitch at which blue-green and yellow-violet differences merge: small fields are seen as by a
tritanope below some 10 to 20 minutes of arc (Willmer & Wright 1945; from memory)."""

NO_CONTRAST = 3.0
"""Lightness difference below which stones do not stand out from the cloth in light and dark."""

FACETS_APART = 3.0
"""Minutes of arc that a facet must cover for the eye to see its flash as the facet's own."""

_MINUTE = np.pi / (180.0 * 60.0)


@dataclass(frozen=True)
class Field:
    """Distances are in metres."""

    lab: tuple[float, float, float]
    """CIELAB of stones and cloth merged, by area."""
    merge_m: float
    """Beyond this, stones and cloth are one lightness; 0 where they hardly differ in it."""
    merge_hue_m: float
    """Beyond this, blue-green and yellow-violet differences between stones and cloth are lost."""


def merge_distances(glow: Floats, cloth: Floats, diameter: float, cover: float) -> tuple[float, float]:
    """Return the distances, m, at which stones merge with the cloth in lightness and in hue.

    Stones of `diameter` mm that hide a share `cover` of the cloth stand sqrt(pi / 4 cover)
    diameters apart in a square pattern.
    """
    if cover <= 0:
        return 0.0, 0.0
    pitch = 1e-3 * diameter * float(np.sqrt(np.pi / (4.0 * cover)))
    lightness = abs(float(delta_components(glow, cloth)[0]))
    merge = pitch / (ACUITY * _MINUTE) if lightness > NO_CONTRAST else 0.0
    return merge, pitch / (HUE_ACUITY * _MINUTE)


def sees_facets(diameter: float, distance: float) -> bool:
    """Say whether an eye `distance` m away tells the facets of a stone of `diameter` mm apart."""
    return 1e-3 * 0.25 * diameter / distance > FACETS_APART * _MINUTE


def arc_minutes(diameter: float, distance: float) -> float:
    """Return the angle that a stone of `diameter` mm covers at `distance` m."""
    return 1e-3 * diameter / distance / _MINUTE
