"""IPT, a space in which a colour made duller or paler keeps the hue that people see in it.

In CIELAB a blue that loses chroma at one hue angle turns violet. Source: F. Ebner & M. D. Fairchild,
"Development and testing of a color space (IPT) with improved hue uniformity", Proc. 6th Color Imaging
Conference, 8–13 (1998); its matrices as printed there.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import lab_to_xyz, xyz_to_lab

_TO_CONES: Final = np.array([
    [0.4002, 0.7075, -0.0807],
    [-0.2280, 1.1500, 0.0612],
    [0.0, 0.0, 0.9184],
])  # fmt: skip
"""XYZ under D65 (Y = 1 for white) to cones: Hunt, Pointer and Estévez, equal for white."""

_TO_IPT: Final = np.array([
    [0.4000, 0.4000, 0.2000],
    [4.4550, -4.8510, 0.3960],
    [0.8056, 0.3572, -1.1628],
])  # fmt: skip

_POWER: Final = 0.43


def lab_to_ipt(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return I (0 black to 1 white), P (red, green) and T (yellow, blue) of CIELAB under D65, (..., 3)."""
    cones = lab_to_xyz(lab) @ _TO_CONES.T
    return np.asarray((np.sign(cones) * np.abs(cones) ** _POWER) @ _TO_IPT.T)


def ipt_to_lab(ipt: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return CIELAB of IPT, shape (..., 3), the inverse of `lab_to_ipt`."""
    pressed = ipt @ np.linalg.inv(_TO_IPT).T
    cones = np.sign(pressed) * np.abs(pressed) ** (1.0 / _POWER)
    return xyz_to_lab(cones @ np.linalg.inv(_TO_CONES).T)


def hue_angle(ipt: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the hue of IPT (..., 3), in degrees from 0 to 360; arbitrary for a grey."""
    return np.asarray(np.degrees(np.arctan2(ipt[..., 2], ipt[..., 1])) % 360.0)
