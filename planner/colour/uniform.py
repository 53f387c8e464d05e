"""CAM16-UCS, a space in which straight distance serves for large differences of colour.

Source: C. Li et al., "Comprehensive color solutions: CAM16, CAT16, and CAM16-UCS", Color Res. Appl.
42, 703–718 (2017), appendix; steps numbered as there. CIEDE2000 is made for small differences: asked
which ISCC–NBS centroid is nearest to a screen's full blue, it answers "dark greyish blue".
"""

from functools import cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.colour.adaptation import CAT16
from planner.colour.cielab import lab_to_xyz
from planner.colour.tristimulus import white_d65

# The viewing conditions of sRGB (IEC 61966-2-1:1999): 64 lx on a background of 20 %, average surround.
# Adaptation is complete, since colours arrive here adapted to D65.
_ADAPTING_LUMINANCE: Final = 64.0 / np.pi * 0.2
_BACKGROUND: Final = 0.2
_SURROUND_C, _SURROUND_NC = 0.69, 1.0


class _View(NamedTuple):
    to_cones: NDArray[np.float64]
    """XYZ (Y = 1 for white) to adapted cones times F_L, shape (3, 3)."""
    FL: float
    white: float
    """Achromatic response of white."""
    z: float
    Nbb: float


def lab_to_cam16_ucs(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return J', a', b' of CIELAB under D65, shape (..., 3) to (..., 3)."""
    view = _view()
    # Step 4: compressed cones, with the sign of their argument.
    cones = _compress(lab_to_xyz(lab) @ view.to_cones)
    R, G, B = cones[..., 0], cones[..., 1], cones[..., 2]
    # Step 5: redness–greenness and yellowness–blueness.
    a, b = R - 12 * G / 11 + B / 11, (R + G - 2 * B) / 9
    radius = np.sqrt(a * a + b * b)
    at = np.where(radius > 0, radius, 1.0)
    cos, sin = np.where(radius > 0, a / at, 1.0), b / at
    # Step 6: eccentricity ¼(cos(h + 2) + 3.8), h in radians.
    eccentricity = (cos * np.cos(2.0) - sin * np.sin(2.0) + 3.8) / 4
    # Steps 7 to 9: lightness J, colourfulness M.
    achromatic = (2 * R + G + B / 20) * view.Nbb
    J = 100 * np.maximum(achromatic / view.white, 0.0) ** (_SURROUND_C * view.z)
    t = 50_000 / 13 * _SURROUND_NC * view.Nbb * eccentricity * radius / (R + G + 1.05 * B + 0.305)
    chroma = np.maximum(t, 0.0) ** 0.9 * np.sqrt(J / 100) * (1.64 - 0.29**_BACKGROUND) ** 0.73
    M = chroma * view.FL**0.25
    # CAM16-UCS.
    stretched = np.log1p(0.0228 * M) / 0.0228
    return np.stack([1.7 * J / (1 + 0.007 * J), stretched * cos, stretched * sin], axis=-1)


def _compress(x: NDArray[np.float64]) -> NDArray[np.float64]:
    power = np.abs(x) ** 0.42
    return np.asarray(np.copysign(400 * power / (power + 27.13), x))


@cache
def _view() -> _View:
    """Step 0: what depends on the viewing conditions alone."""
    five = 5 * _ADAPTING_LUMINANCE
    k4 = (1 / (five + 1)) ** 4
    FL = 0.2 * k4 * five + 0.1 * (1 - k4) ** 2 * five ** (1 / 3)
    Nbb = 0.725 * (1 / _BACKGROUND) ** 0.2
    to_cones = (CAT16 / (CAT16 @ white_d65())[:, None]).T * FL
    R, G, B = _compress(white_d65() @ to_cones)
    return _View(to_cones, FL, float((2 * R + G + B / 20) * Nbb), 1.48 + _BACKGROUND**0.5, Nbb)
