"""What the eye discounts of the light it is in: CAT16, complete or in part.

Source: C. Li et al., "Comprehensive color solutions: CAM16, CAT16, and CAM16-UCS", Color Res.
Appl. 42, 703–718 (2017). Adaptation comes before CIELAB, never inside it: dividing XYZ by the
venue's white in CIELAB's own formula moves cobalt glass under illuminant A by 24° of hue.
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.observer import blackbody
from planner.colour.tristimulus import to_xyz, white_d65
from planner.refusal import InvalidValue

CAT16: Final[NDArray[np.float64]] = np.array(
    [
        [0.401288, 0.650173, -0.051461],
        [-0.250268, 1.204414, 0.045854],
        [-0.002079, 0.048952, 0.953127],
    ]
)
"""XYZ to sharpened cone responses (Li et al. 2017, the matrix M16)."""
CAT16.setflags(write=False)

# A monochromatic white can leave a cone almost unstimulated; the floor keeps its gain finite.
_FAINTEST_CONE: Final = 1e-6

# Our choice, in CIE 1960 u, v. Lamps sold as white lie within 0.02 of the locus (of the CIE's
# illuminants FL5 is the farthest, at 0.011): the eye takes them for white. A primary-colour gel
# lies 0.1 to 0.25 away; asymmetric matching finds adaptation to such light partial, and nobody
# takes it for white. The planner falls from all to half with a smooth step between the two.
NEAR_LOCUS: Final = 0.02
FAR_FROM_LOCUS: Final = 0.15
LEAST_DEGREE: Final = 0.5


def adaptation_matrix(
    white: NDArray[np.float64],
    reference_white: NDArray[np.float64] | None = None,
    degree: float | NDArray[np.float64] = 1.0,
) -> NDArray[np.float64]:
    """Return the matrix `M` of CAT16: ``xyz @ M`` is the corresponding colour.

    Parameters
    ----------
    white : ndarray, shape (..., 3)
        XYZ of the adapting white, Y > 0, in the units of the colours to come.
    reference_white : ndarray, shape (3,), optional
        XYZ of the white adapted to; D65 when not given.
    degree : float or ndarray, shape (...)
        Degree of adaptation D, 0 (none) to 1 (complete).

    Returns
    -------
    ndarray, shape (..., 3, 3)
        With degree 1, `white` becomes `reference_white`; with any degree a luminance equal to the
        white's becomes the reference white's.
    """
    reference = white_d65() if reference_white is None else reference_white
    luminance = white[..., 1:2]
    if not np.all(luminance > 0):
        raise InvalidValue("A white needs a luminance above 0 to adapt to.")
    cones = np.maximum(white / luminance @ CAT16.T, _FAINTEST_CONE)
    cones_reference = (reference / reference[1]) @ CAT16.T
    d = np.asarray(degree)[..., None]
    # Li et al. 2017, one-step form: gain = D·(Yw/Ywr)·(Rwr/Rw) + 1 − D, here on unit luminances.
    gain = (d * cones_reference / cones + 1.0 - d) * reference[1] / luminance
    return np.asarray((CAT16.T * gain[..., None, :]) @ np.linalg.inv(CAT16).T)


def adapt(
    xyz: NDArray[np.float64],
    white: NDArray[np.float64],
    reference_white: NDArray[np.float64] | None = None,
    degree: float = 1.0,
) -> NDArray[np.float64]:
    """Return the colour that looks under `reference_white` as `xyz` does under `white` (CAT16).

    Parameters
    ----------
    xyz : ndarray, shape (..., 3)
    white : ndarray, shape (3,)
        In the units of `xyz`.
    reference_white : ndarray, shape (3,), optional
        D65 with Y = 1 when not given.
    degree : float
        0 to 1; see `degree_for`.

    Returns
    -------
    ndarray, shape (..., 3)
        In the units of `reference_white`.
    """
    return np.asarray(xyz @ adaptation_matrix(white, reference_white, degree))


def degree_for(white: NDArray[np.float64]) -> float:
    """Return how far the eye adapts to a white: 1 for lamps, down to 0.5 for saturated gels.

    Our choice: complete within 0.02 (CIE 1960 u, v) of the Planckian locus from 1500 to 25 000 K,
    then a smooth step down to 0.5 at 0.15. The direction is established (adaptation to strongly
    coloured light is incomplete), the figures are a judgement.

    Parameters
    ----------
    white : ndarray, shape (3,)
        XYZ, any scale.
    """
    away = distance_from_locus(white)
    t = min(max((away - NEAR_LOCUS) / (FAR_FROM_LOCUS - NEAR_LOCUS), 0.0), 1.0)
    return 1.0 - (1.0 - LEAST_DEGREE) * t * t * (3.0 - 2.0 * t)


def distance_from_locus(white: NDArray[np.float64]) -> float:
    """Return the distance of a white, shape (3,), from the Planckian locus in CIE 1960 u, v."""
    start, end = _locus()[:-1], _locus()[1:]
    along = end - start
    t = ((_uv(white) - start) * along).sum(-1) / (along * along).sum(-1)
    nearest = start + np.clip(t, 0.0, 1.0)[:, None] * along
    return float(np.hypot(*(_uv(white) - nearest).T).min())


def _uv(xyz: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIE 1960 UCS: u = 4X / (X + 15Y + 3Z), v = 6Y / (X + 15Y + 3Z)."""
    return np.asarray(xyz[..., :2] * [4.0, 6.0] / (xyz @ [1.0, 15.0, 3.0])[..., None])


@cache
def _locus() -> NDArray[np.float64]:
    """Chromaticities u, v of Planckian radiators, evenly spaced in reciprocal temperature."""
    mireds = np.linspace(40.0, 667.0, 24)
    return _uv(np.stack([to_xyz(blackbody(float(1e6 / mired))) for mired in mireds]))
