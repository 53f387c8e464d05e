"""Spectrum to tristimulus values: CIE 1931 2° observer, plain summation at 5 nm (CIE 015:2018, 7.1)."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from planner.colour.observer import illuminant, observer
from planner.refusal import InvalidValue


def weights(spectrum: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the matrix that turns reflectance into XYZ in this light.

    Parameters
    ----------
    spectrum : ndarray, shape (..., 81)
        Power of the light on `planner.colour.grid.WAVELENGTHS`, in any unit.

    Returns
    -------
    ndarray, shape (..., 81, 3)
        ``reflectance @ weights(spectrum)`` is XYZ, with Y = 1 for the perfect diffuser; the sum over
        wavelengths is the XYZ of the light itself.

    Raises
    ------
    ValueError
        If the light has no luminance.
    """
    luminance = np.asarray(spectrum @ observer()[:, 1])
    if not np.all(luminance > 0):
        raise InvalidValue("A light needs some power between 380 and 780 nm: found none.")
    return np.asarray(spectrum[..., :, None] * observer() / luminance[..., None, None])


def to_xyz(radiance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return XYZ of light as it reaches the eye.

    Parameters
    ----------
    radiance : ndarray, shape (..., 81)

    Returns
    -------
    ndarray, shape (..., 3)
        Scaled so that the equal-energy spectrum of ones has Y = 1.
    """
    return np.asarray(radiance @ _per_equal_energy())


@cache
def _per_equal_energy() -> NDArray[np.float64]:
    return np.asarray(observer() / observer()[:, 1].sum())


@cache
def white_d65() -> NDArray[np.float64]:
    """Return XYZ of D65, the planner's one reference white, shape (3,), Y = 1."""
    white = to_xyz(illuminant("D65"))
    white.setflags(write=False)
    return white
