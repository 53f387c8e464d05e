"""How many wavelengths it takes to sum what comes of a stone.

Films change slowly with wavelength, and so do most bodies: a cubic through every second or fourth wavelength
of the planner's grid follows them. A glass with narrow bands, of neodymium for one, is another colour under
every lamp, and may have one of its bands right at a lamp's line; a film thick enough has a ripple as narrow.
Those are worked out at more wavelengths.
"""

from functools import lru_cache

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.stone import Stone
from planner.colour.grid import WAVELENGTHS, folding, resample
from planner.colour.observer import observer
from planner.optics.arrays import Floats
from planner.optics.film import stack
from planner.optics.glass import absorption_from_transmittance, body_absorption, glass_index
from planner.optics.materials import refractive_index
from planner.reading.states import states

_MILLIMETRES = np.array([1.0, 2.0, 4.0, 8.0, 16.0])
"""Ways through a body for which it is asked."""


def stated_absorption(stone: Stone) -> Floats | None:
    """Return (81,) natural absorption per mm of a stone whose colourants or spectrum are stated."""
    if stone.opaque:
        return None
    if stone.colourants is not None:
        return body_absorption(stone.colourants, WAVELENGTHS)
    if stone.spectrum is not None and stone.depth_mm is not None:
        table = np.array(stone.spectrum)
        kept = resample(table[:, 0], table[:, 1]).clip(0.0, 1.0)
        return absorption_from_transmittance(kept, stone.depth_mm)
    return None


@lru_cache(maxsize=512)
def body_stride(stone: Stone, most: int, miss: float) -> int:
    """Return how many steps of the grid may lie between two wavelengths, `most` or a half or a quarter of it.

    So that what a body lets through is missed by no more than `miss`, mean over what the eye sees.
    """
    absorption = stated_absorption(stone)
    if absorption is None:  # what is known by its colour was given the smoothest body that has it
        return most
    return _widest(np.exp(-absorption * _MILLIMETRES[:, None]), most, miss)


@lru_cache(maxsize=512)
def film_stride(coating: Coating | None, most: int, miss: float) -> int:
    """Return the same for a film: light passes it on its way in and out again, so it counts twice."""
    film, found = states(coating, full=False), most
    air, glass = np.ones(len(WAVELENGTHS)), glass_index("glass", WAVELENGTHS)
    for layers, outside, beneath in (
        (film.crown, air, glass),
        (film.under, glass, refractive_index("Ag", WAVELENGTHS)),
    ):
        if layers is not None:
            response = stack(WAVELENGTHS, [0.0], layers.thickness, layers.index, outside, beneath)
            found = _widest(response.front[:, 0], found, miss / 2.0)
    return found


def _widest(curves: Floats, most: int, miss: float) -> int:
    """Return how many steps may lie between two wavelengths of curves (N, 81)."""
    stride = most
    while stride > 1 and missed(curves, stride) > miss:
        stride //= 2
    return stride


def missed(curves: Floats, stride: int) -> float:
    """Return by how much a cubic through every `stride`-th wavelength misses curves (N, 81), at the most.

    Mean over what the eye sees in any of its three ways.
    """
    apart = np.abs(curves[:, ::stride] @ folding(stride).T - curves)
    return float((apart @ observer() / observer().sum(axis=0)).max())
