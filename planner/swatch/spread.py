"""How sure a colour is: from a covariance in CIELAB to CIEDE2000, and back."""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.difference import delta_e
from planner.optics.store import kept

INTERVAL: Final = 0.9
"""Share of colours that a stated half-width holds."""

_DRAWS: Final = 2048
# Far above the rounding of CIEDE2000, far below what it takes to bend.
_STEP: Final = 0.01
# ΔE00 that counts as none: below it CIEDE2000 is rounding.
_NOTHING: Final = 1e-6


def rms(lab: NDArray[np.float64], covariance: NDArray[np.float64]) -> float:
    """Return the root mean square CIEDE2000 of colours spread about `lab`.

    Parameters
    ----------
    lab : ndarray, shape (3,)
    covariance : ndarray, shape (3, 3)
        Of L*, a*, b*.
    """
    apart = _apart(lab, covariance)
    return float(np.sqrt((apart * apart).mean()))


def half_width(lab: NDArray[np.float64], covariance: NDArray[np.float64]) -> float:
    """Return the CIEDE2000 from `lab` that nine in ten such colours stay within; see `rms`."""
    return float(np.quantile(_apart(lab, covariance), INTERVAL))


def covariance_of(lab: NDArray[np.float64], uncertainty: float) -> NDArray[np.float64]:
    """Return the covariance, shape (3, 3), that makes a colour equally unsure in all directions.

    Parameters
    ----------
    lab : ndarray, shape (3,)
    uncertainty : float
        Root mean square CIEDE2000.
    """
    if uncertainty < _NOTHING:
        return np.zeros((3, 3))
    first = np.asarray(uncertainty * uncertainty / 3 * np.linalg.inv(metric(lab)), dtype=np.float64)
    # CIEDE2000 bends: what is right for near colours is up to a tenth too wide for an error of 6.
    return first * (uncertainty / rms(lab, first)) ** 2


def metric(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return CIEDE2000 near a colour as a quadratic form: ``d @ metric @ d`` is its square for a small d."""
    steps = _STEP * np.eye(3)
    pairs = steps[:, None] + steps[None]
    single = delta_e(lab, lab + steps) ** 2
    double = delta_e(lab, lab + pairs) ** 2
    return np.asarray((double - single[:, None] - single[None]) / 2 / _STEP**2)


def _apart(lab: NDArray[np.float64], covariance: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIEDE2000 from `lab` of colours drawn with this covariance."""
    value, vector = np.linalg.eigh(covariance)
    drawn = _normal() * np.sqrt(np.maximum(value, 0.0)) @ vector.T
    return delta_e(lab, lab + drawn)


@dataclass(frozen=True, eq=False)
class _Drawn:
    """Draws kept between runs: what they come from takes longer to load than they take to use."""

    half: NDArray[np.float64]


@cache
def _normal() -> NDArray[np.float64]:
    """Return standard normal draws, shape (n, 3): the same each time, each with its opposite."""
    seed, shape = 20, (_DRAWS // 2, 3)
    half = kept(
        _Drawn, (seed, shape), lambda: _Drawn(np.random.default_rng(seed).standard_normal(shape))
    ).half
    both = np.concatenate([half, -half])
    both.setflags(write=False)
    return both
