"""How far a guessed spectrum may lead astray under another lamp: the spread of plausible metamers.

A colour in daylight has many spectra. Those of real things differ from the smoothest in a few ways
(``shared/metamer_modes.csv``); the smoothest spectrum, bent in each of these ways and brought back to the
colour, is another plausible one, and what the lamp makes of each is the spread. It tells lamps apart
well, colours under one lamp hardly: which of two blues is the odd one cannot be known from their colour.
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import appearance
from planner.colour.observer import illuminant
from planner.colour.tables import read_table
from planner.colour.tristimulus import weights
from planner.refusal import InvalidValue
from planner.swatch.recover import smoothness
from planner.swatch.resolve import SwatchColour
from planner.swatch.spread import covariance_of

# Black and white would need an infinite tangent.
_NEVER_QUITE: Final = 1e-4
# What is brought back to the colour is bent as smoothly as can be; this keeps its matrix regular.
_STIFF: Final = 1e-4
_STEP: Final = 1e-4


def under(
    colour: SwatchColour, light: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return what a swatch looks like in a light, and how sure that is.

    Parameters
    ----------
    colour : SwatchColour
    light : ndarray, shape (81,)
        Power on the planner's grid, any unit.

    Returns
    -------
    lab : ndarray, shape (3,)
        CIELAB after adaptation to the light.
    covariance : ndarray, shape (3, 3)
        Of the colour as known in daylight and, where its spectrum is a guess, of the metamers.

    Raises
    ------
    ValueError
        If the swatch fluoresces: then its colour in other light is not known at all.
    """
    if colour.fluorescent:
        raise InvalidValue("A fluorescent cloth's colour is known in daylight alone.")
    lamp = weights(light)
    white = lamp.sum(axis=0)
    xyz = colour.reflectance @ lamp
    lab = appearance(xyz, white)
    known = covariance_of(lab, colour.uncertainty)
    if not colour.recovered:
        return lab, known
    jacobian = np.stack([(appearance(xyz + _STEP * one, white) - lab) / _STEP for one in np.eye(3)], axis=-1)
    bent = jacobian @ (_bends(colour.reflectance) @ lamp).T
    return lab, known + bent @ bent.T


def _bends(reflectance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return changes of a reflectance by each mode that leave its colour in daylight, shape (modes, 81)."""
    tangent = np.clip(2 * reflectance - 1, _NEVER_QUITE - 1, 1 - _NEVER_QUITE)
    slope = (1 - tangent * tangent) / 2
    conditions = slope[:, None] * weights(illuminant("D65"))
    smooth = _compliance() @ conditions
    back = np.linalg.solve(conditions.T @ smooth, conditions.T @ _modes().T)
    return np.asarray((_modes() - (smooth @ back).T) * slope)


@cache
def _modes() -> NDArray[np.float64]:
    """How real spectra differ from the smoothest, shape (8, 81), in the inverse hyperbolic tangent."""
    table = read_table("metamer_modes.csv")
    return np.stack([values for name, values in table.items() if name != "nm"])


@cache
def _compliance() -> NDArray[np.float64]:
    matrix = smoothness()
    return np.asarray(np.linalg.inv(matrix + _STIFF * np.eye(len(matrix))))
