"""The spectrum of a light, whichever of its ways a palette says it in."""

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.lamp import Lamp
from planner.catalogue.venue import Spectrum
from planner.colour.grid import resample
from planner.colour.observer import blackbody, daylight, illuminant
from planner.colour.tristimulus import to_xyz
from planner.lighting.filters import passed
from planner.lighting.lamp import lamp_spectrum


def spectrum_of(spectrum: Spectrum) -> NDArray[np.float64]:
    """Return (81,) a light's relative power, with Y = 1."""
    if spectrum.illuminant is not None:
        return illuminant(spectrum.illuminant)
    if spectrum.kelvin is not None:
        return blackbody(spectrum.kelvin)
    if spectrum.daylight is not None:
        return daylight(spectrum.daylight)
    if spectrum.lamp is not None:
        return _lamp(spectrum.lamp)
    table = np.array(spectrum.table)
    power = resample(table[:, 0], table[:, 1])
    return power / to_xyz(power)[1]


def _lamp(lamp: Lamp) -> NDArray[np.float64]:
    bare = lamp_spectrum(lamp.kind, lamp.kelvin, colour=lamp.colour, dim=lamp.dim)
    return bare if lamp.filter is None else passed(bare, lamp.filter).power
