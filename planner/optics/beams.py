"""Rays followed through a cut stone, gathered into beams.

From a far viewer, parallel rays that cross the same facets in the same order share every angle:
they are one beam. Rays are followed from the eye into the stone; by reciprocity what is found is
how much light from each outer direction reaches the eye. In a convex solid a ray meets one facet
after another, and may leave at each.

Every angle is kept as the signed cosine ``u = sqrt(1 - (n sin i)^2)`` of the angle that the ray
has, or would have, in air: 1 is straight on, 0 the critical angle, and below it
``u = -sqrt((n sin i)^2 - 1)`` for total internal reflection.
"""

from dataclasses import dataclass

import numpy as np

from planner.optics.arrays import Floats, Ints
from planner.optics.lean import WIDEST

KEPT_REFLECTANCE = 0.4
"""Reflectance that the tracer reckons with at a facet which can also let light out. Aurora films
return less; reckoning with bare glass would stop too early for them."""

STOP = 1e-3
"""A chain is followed until no more than this share of its light is left, so reckoned. What is left
then leaves with its last beam: a film of several layers that returns most of the light keeps its
energy, and spreads the last of it a little less than it would."""

MAX_HITS = 120
"""Longest chain. Late hits are the total reflections of trapped light, which foil and body dim."""

SLOTS = 10
"""How many partial reflections inside are kept one by one."""

FOIL_SLOTS = 4
"""How many of those may be reflections at the back; later ones are kept as a count and a mean."""


@dataclass(frozen=True)
class Beams:
    """B beams of one cut and one glass index, over D directions of view.

    What light does at a facet depends on the facet and on `u` alone, and the order of the factors
    does not matter. So a beam keeps the facet it enters by and the one it leaves by, up to
    `SLOTS` reflections inside, and of all further ones (the total reflections among them) only
    how many fell on each row of facets and their mean u.
    """

    views: Floats
    """(D, 3) directions from the stone to the eye."""

    share: Floats
    """(D,) how much of the time the stone is seen from there; adds up to 1."""

    view: Ints
    """(B,) which direction of view a beam belongs to."""

    weight: Floats
    """(B,) share of the stone's projected area, all directions together: the outer reflections
    add up to 1, and so does whatever enters, before any film is reckoned with."""

    first: Ints
    """(B,) the facet that the eye sees."""

    first_u: Floats
    """(B,) signed cosine there."""

    last: Ints
    """(B,) the facet left by: -1 for outer reflections, `BACK` for what ends on the cloth."""

    last_u: Floats
    """(B,) signed cosine there."""

    final: Ints
    """(B,) True for a beam after which its chain was not followed further."""

    slots: Ints
    """(B, SLOTS) facets that reflect inside; -1 where none."""

    slots_u: Floats
    """(B, SLOTS) signed cosines there."""

    rest: Ints
    """(B, rows) how many further reflections fell on each row of facets."""

    rest_u: Floats
    """(B, rows) their mean signed cosine; 0 where none."""

    path: Floats
    """(B,) mean length inside the glass, in diameters."""

    outgoing: Floats
    """(B, 3) direction in which the beam leaves, that is from which its light comes."""

    by_index: Floats
    """(B, 3) change of `outgoing` with the glass index."""

    by_wedge: Floats
    """(B, 2, 3) change of `outgoing` with a tilt of the back about y and about x, per radian."""

    by_waviness: Floats
    """(B,) how many times the waviness of the crown a beam's direction spreads."""


def view_directions(count: int, tilt: float = WIDEST) -> tuple[Floats, Floats]:
    """Return (D, 3) directions in the cone of `tilt` (radians) about +z, and (D,) their shares.

    Even steps in the angle from the axis, since that angle decides which light a facet reflects;
    the shares make up for the crowding at the centre, as if all directions were seen alike; how stones
    really lean is weighed in later (`planner.optics.lean`). The step round the axis was searched for: it
    spreads well over the sector that repeats in cuts of 4 to 24 facets, which the golden angle
    does not for 8, 16 or 24.
    """
    steps = (np.arange(count) + 0.5) / count
    lean = steps * tilt
    share = np.sin(lean)
    return _polar(np.cos(lean), np.arange(count) * 2.0 * np.pi * 0.4311328562), share / share.sum()


def even_points(count: int) -> tuple[Floats, Floats]:
    """Return two coordinates in 0..1 of a quasi-random sequence (Roberts 2018, R2)."""
    golden = 1.32471795724474602596
    steps = np.arange(1, count + 1)
    return (0.5 + steps / golden) % 1.0, (0.5 + steps / golden**2) % 1.0


def _polar(z: Floats, azimuth: Floats) -> Floats:
    r = np.sqrt(np.maximum(0.0, 1.0 - z * z))
    return np.stack([r * np.cos(azimuth), r * np.sin(azimuth), z], axis=-1)


def frame(axis: Floats) -> tuple[Floats, Floats]:
    """Return two (3, D) unit vectors that make a right-handed frame with each axis (3, D)."""
    x, y, z = axis
    # Across the third axis of space, or the first where the third is too near.
    steep, none = np.abs(z) >= 0.9, np.zeros(len(z))
    first = np.where(steep, [none, -z, y], [-y, x, none])
    first /= np.sqrt((first * first).sum(axis=0))
    return first, crossed(axis, first)


def crossed(one: Floats, other: Floats) -> Floats:
    """Return (3, ...) the cross products of vectors (3, ...)."""
    (a, b, c), (d, e, f) = one, other
    return np.stack([b * f - c * e, c * d - a * f, a * e - b * d])
