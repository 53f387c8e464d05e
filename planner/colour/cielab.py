"""CIELAB and its cylinder (ISO/CIE 11664-4:2019), always under D65 and after adaptation.

L* 0 to 100 for surfaces (a glow may exceed it), a* and b* unbounded, C* ≥ 0, h in degrees 0 to 360.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.colour.adaptation import adaptation_matrix, degree_for
from planner.colour.tristimulus import white_d65

NEUTRAL_CHROMA: Final = 2.0
"""C* below which a hue angle means nothing: there one unit of difference turns the hue by 30°."""

_DELTA: Final = 6.0 / 29.0


def xyz_to_lab(xyz: NDArray[np.float64], white: NDArray[np.float64] | None = None) -> NDArray[np.float64]:
    """Return CIELAB of XYZ; ISO/CIE 11664-4:2019, equations 1 to 6.

    Parameters
    ----------
    xyz : ndarray, shape (..., 3)
        In the units of `white`. Slight negatives, as adaptation may leave, are carried on the
        formula's straight part.
    white : ndarray, shape (3,), optional
        D65 with Y = 1 when not given. No adaptation happens here: see `appearance`.
    """
    ratio = xyz / (white_d65() if white is None else white)
    f = np.where(ratio > _DELTA**3, np.cbrt(ratio), ratio / (3 * _DELTA**2) + 4.0 / 29.0)
    lab = np.empty_like(f)
    lab[..., 0] = 116.0 * f[..., 1] - 16.0
    lab[..., 1] = 500.0 * (f[..., 0] - f[..., 1])
    lab[..., 2] = 200.0 * (f[..., 1] - f[..., 2])
    return lab


def lab_to_xyz(lab: NDArray[np.float64], white: NDArray[np.float64] | None = None) -> NDArray[np.float64]:
    """Return XYZ of CIELAB, shape (..., 3), the inverse of `xyz_to_lab`."""
    fy = (lab[..., 0] + 16.0) / 116.0
    f = np.stack([fy + lab[..., 1] / 500.0, fy, fy - lab[..., 2] / 200.0], axis=-1)
    ratio = np.where(f > _DELTA, f * f * f, 3 * _DELTA**2 * (f - 4.0 / 29.0))
    return np.asarray(ratio * (white_d65() if white is None else white))


def lab_to_lch(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return L*, C*, h of CIELAB, shape (..., 3), h in degrees from 0 up to and without 360."""
    a, b = lab[..., 1], lab[..., 2]
    hue = np.degrees(np.arctan2(b, a)) % 360.0
    # A hue a hair below 0 rounds to 360.0 in the modulo.
    return np.stack([lab[..., 0], np.hypot(a, b), np.where(hue >= 360.0, 0.0, hue)], axis=-1)


def lch_to_lab(lch: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return CIELAB of L*, C*, h (degrees), shape (..., 3)."""
    hue = np.radians(lch[..., 2])
    return np.stack([lch[..., 0], lch[..., 1] * np.cos(hue), lch[..., 1] * np.sin(hue)], axis=-1)


def hue_difference(h1: ArrayLike, h2: ArrayLike) -> NDArray[np.float64]:
    """Return the shorter way from hue `h1` to hue `h2` in degrees, −180 ≤ Δh < 180."""
    return np.asarray((np.subtract(h2, h1) + 180.0) % 360.0 - 180.0)


def hue_is_defined(chroma: ArrayLike) -> NDArray[np.bool_]:
    """Say where a colour of this C* has a hue worth naming: C* of `NEUTRAL_CHROMA` or more."""
    return np.asarray(np.greater_equal(chroma, NEUTRAL_CHROMA))


def appearance(xyz: NDArray[np.float64], venue_white: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what the eye makes of a colour in a venue: adapt to D65, then CIELAB.

    Parameters
    ----------
    xyz : ndarray, shape (..., 3)
        Colour under the venue's light.
    venue_white : ndarray, shape (3,)
        White cloth in the same light and units.

    Returns
    -------
    ndarray, shape (..., 3)
        CIELAB under D65, 2° observer; L* = 100 for a luminance equal to the white's.
    """
    return xyz_to_lab(xyz @ _to_d65(tuple(venue_white.tolist())))


@lru_cache(maxsize=256)
def _to_d65(white: tuple[float, ...]) -> NDArray[np.float64]:
    """Return the matrix that adapts colours from a white; a venue's is asked for again and again."""
    return adaptation_matrix(np.array(white), degree=degree_for(np.array(white)))
