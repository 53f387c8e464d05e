"""A plausible spectrum for a swatch that is known only as a colour, so that it can change lamps.

Source: S. A. Burns, "Numerical methods for smoothest reflectance reconstruction", Color Res. Appl.
45, 8–21 (2020), the method of least slope in the hyperbolic tangent: of all reflectances between 0
and 1 with the given tristimulus values, the one whose inverse hyperbolic tangent changes least from
wavelength to wavelength.
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.grid import WAVELENGTHS
from planner.refusal import InvalidValue

RECOVERY_SPREAD: Final = 2.0
"""What the guess costs under another lamp: root mean square ΔE00, rounded from the worst of five.

Measured on 212 published spectra (tests/swatch/test_recover.py), recovered under D65 and predicted:
under A mean 1.6, 95th percentile 4.0, root mean square 2.03; FL2 1.0, 2.3, 1.20; FL11 1.4, 3.5, 1.81;
LED-B1 1.6, 4.1, 2.06; LED-RGB1 1.5, 3.9, 1.83. Without any spectrum, the same colours miss by 4.0,
4.1, 2.9, 4.4 and 6.2 in the mean.
"""

# Black and white themselves would need an infinite tangent; this moves them by ΔE00 0.006 at most.
_NEVER_QUITE: Final = 1e-5

# Straight to the colour; if that fails, as a few chromatic near-blacks do, from grey in stages.
_STAGES: Final = (1, 8)
# Newton's steps. Surface colours take 5 to 12; a colour at the edge of the possible up to 40.
_MOST_STEPS: Final = 60
# A step in the tangent's argument longer than this has left the region the linear model describes.
_LONGEST_STEP: Final = 2.0
# Closeness of XYZ relative to white: ΔE00 below 0.001 even in black.
_CLOSE: Final = 1e-7


def reflectance_from_xyz(xyz: NDArray[np.float64], weights: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the smoothest reflectance that has this colour in this light.

    Parameters
    ----------
    xyz : ndarray, shape (3,)
        Tristimulus values, Y = 1 for the perfect diffuser.
    weights : ndarray, shape (81, 3)
        The light's, from `planner.colour.tristimulus.weights`.

    Returns
    -------
    ndarray, shape (81,)
        Reflectance, 0 to 1, within ΔE00 0.01 of the colour.

    Raises
    ------
    ValueError
        If no reflecting surface has the colour in this light: a neon colour, which fluoresces, or
        one mistyped.
    """
    white = weights.sum(axis=0)
    target = (1 - 2 * _NEVER_QUITE) * np.asarray(xyz, dtype=np.float64) + _NEVER_QUITE * white
    if not np.isfinite(target).all() or (target <= 0).any() or (target >= white).any():
        raise InvalidValue(_impossible(xyz))
    # The tristimulus values as conditions on the reflectance, each relative to white's.
    conditions, wanted = weights / white, target / white
    grey = np.full(3, wanted[1])
    for stages in _STAGES:
        state: _State | None = (np.full(len(WAVELENGTHS), np.arctanh(2 * wanted[1] - 1)), np.zeros(3))
        for stage in range(1, stages + 1):
            if state is not None:
                state = _solve(conditions, grey + stage / stages * (wanted - grey), state)
        if state is not None:
            return np.asarray((np.tanh(state[0]) + 1) / 2)
    raise InvalidValue(_impossible(xyz))


# The inverse hyperbolic tangent of 2R − 1, shape (81,), and the multipliers of the conditions, (3,).
_State = tuple[NDArray[np.float64], NDArray[np.float64]]


def _solve(conditions: NDArray[np.float64], wanted: NDArray[np.float64], state: _State) -> _State | None:
    """Newton's method from `state`; None where it does not arrive."""
    z, shadow = state
    for _ in range(_MOST_STEPS):
        tangent = np.tanh(z)
        missing = wanted - (tangent + 1) / 2 @ conditions
        slope = (1 - tangent * tangent) / 2
        # Lagrange: Q·z + (slope·conditions)·shadow = 0 and reflectance @ conditions = wanted.
        gradient = slope[:, None] * conditions
        pull = smoothness() @ z + gradient @ shadow
        if np.abs(missing).max() < _CLOSE and np.abs(pull).max() < _CLOSE:
            return z, shadow
        curvature = smoothness() - np.diag(2 * tangent * slope * (conditions @ shadow))
        step = _newton_step(curvature, gradient, pull, missing)
        if step is None:
            return None
        shorten = min(1.0, _LONGEST_STEP / max(np.abs(step[:-3]).max(), 1e-300))
        z, shadow = z + shorten * step[:-3], shadow + shorten * step[-3:]
    return None


def _newton_step(
    curvature: NDArray[np.float64],
    gradient: NDArray[np.float64],
    pull: NDArray[np.float64],
    missing: NDArray[np.float64],
) -> NDArray[np.float64] | None:
    """Solve the bordered system for the change of z and of the multipliers, shape (84,)."""
    system = np.block([[curvature, gradient], [gradient.T, np.zeros((3, 3))]])
    try:
        step = np.linalg.solve(system, np.concatenate([-pull, missing]))
    except np.linalg.LinAlgError:
        return None
    return step if np.isfinite(step).all() else None


@cache
def smoothness() -> NDArray[np.float64]:
    """Return the second derivative of Σ(z[i+1] − z[i])², shape (81, 81): −2, 4, −2 along its diagonal."""
    difference = np.diff(np.eye(len(WAVELENGTHS)), axis=0)
    return np.asarray(2 * difference.T @ difference)


def _impossible(xyz: NDArray[np.float64]) -> str:
    shown = ", ".join(f"{value:.3f}" for value in np.ravel(xyz))
    return (
        f"No reflecting surface has the colour XYZ {shown} in this light: "
        f"a neon cloth fluoresces, which only a measured spectrum can tell."
    )
