"""The one wavelength grid on which every spectrum of the planner lives.

CIE 1931 sums over 380–780 nm at 5 nm. Measured on film spectra that is within ΔE00 0.02 of 1 nm
under illuminants A and D65, and within 0.1 under tubes and LEDs; 10 nm would be off by up to 3.6.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.colour.ordered import quantiles
from planner.refusal import InvalidValue

STEP: Final = 5.0

WAVELENGTHS: Final[NDArray[np.float64]] = np.arange(380.0, 780.0 + STEP, STEP)
"""Wavelengths in nm, shape (81,)."""
WAVELENGTHS.setflags(write=False)

# Outside 400–700 nm the 1931 observer holds 0.3 % of an equal-energy light's luminance.
_MUST_REACH: Final = (400.0, 700.0)


def on_grid(nm: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Say of wavelengths (N,), in nm, which are the planner's.

    NumPy's own search for members loads a package for masked arrays, which takes longer than all of this.
    """
    return np.asarray((nm[:, None] == WAVELENGTHS).any(axis=1))


def resample(wavelengths: ArrayLike, values: ArrayLike) -> NDArray[np.float64]:
    """Bring a measured or published spectrum onto the planner's grid.

    A table at 5 nm or coarser is interpolated linearly, so its own values return unchanged where
    the nodes meet. A finer table is averaged over each 5 nm band, so a narrow line keeps its
    energy. Outside the table the end value is held.

    Parameters
    ----------
    wavelengths : array_like, shape (n,)
        Nanometres, ascending or descending, each once.
    values : array_like, shape (n,)
        Reflectance, power or any other quantity at these wavelengths.

    Returns
    -------
    ndarray, shape (81,)

    Raises
    ------
    ValueError
        If the table is not numbers in pairs, repeats a wavelength, or does not reach 400–700 nm.
    """
    nm, y = np.asarray(wavelengths, dtype=np.float64), np.asarray(values, dtype=np.float64)
    if nm.ndim != 1 or nm.shape != y.shape or nm.size < 2:
        raise InvalidValue(
            f"A spectrum needs one value for each wavelength, at least two: "
            f"found {nm.size} wavelengths and {y.size} values."
        )
    if not (np.isfinite(nm).all() and np.isfinite(y).all()):
        raise InvalidValue("A spectrum may hold only finite numbers: found a blank, NaN or infinity.")
    order = np.argsort(nm)
    nm, y = nm[order], y[order]
    repeated = nm[1:][np.diff(nm) == 0]
    if repeated.size:
        raise InvalidValue(f"A spectrum may give each wavelength once: found {repeated[0]:g} nm twice.")
    if nm[0] > _MUST_REACH[0] or nm[-1] < _MUST_REACH[1]:
        raise InvalidValue(
            f"A spectrum must reach from 400 nm or below to 700 nm or above: "
            f"found {nm[0]:g} to {nm[-1]:g} nm."
        )
    if quantiles(np.diff(nm), [0.5])[0] >= STEP:
        return np.interp(WAVELENGTHS, nm, y)
    return _band_means(nm, y)


def _band_means(nm: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Average the straight-line interpolant over ±2.5 nm round each grid node, exactly."""
    edges = np.append(WAVELENGTHS - STEP / 2, WAVELENGTHS[-1] + STEP / 2)
    knots = np.union1d(nm, edges)
    heights = np.interp(knots, nm, y)
    area = np.concatenate([[0.0], np.cumsum((heights[1:] + heights[:-1]) / 2 * np.diff(knots))])
    return np.asarray(np.diff(np.interp(edges, knots, area)) / STEP)


@lru_cache(maxsize=4)
def folding(stride: int) -> NDArray[np.float64]:
    """Return (81, W) how a value on every `stride`-th wavelength counts for the whole grid.

    Weights on the planner's grid, multiplied by this, become weights on the coarser one: what is
    weighed is taken as a cubic through its four nearest points, so narrow lines of a lamp keep
    their place and power.
    """
    count = len(WAVELENGTHS)
    if stride == 1:
        return np.eye(count)
    nodes = (count - 1) // stride + 1
    place = np.arange(count) / stride
    start = np.clip(np.floor(place).astype(int) - 1, 0, nodes - 4)
    fold = np.zeros((count, nodes))
    for i in range(4):
        others = [j for j in range(4) if j != i]
        fold[np.arange(count), start + i] = np.prod([(place - start - j) / (i - j) for j in others], axis=0)
    return fold
