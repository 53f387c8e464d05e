"""Colour filters in front of a lamp: a transmittance, or the smoothest one that looks like a colour."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.fields import Table
from planner.colour.adaptation import adapt
from planner.colour.cielab import lab_to_xyz
from planner.colour.grid import resample
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tristimulus import to_xyz, weights, white_d65
from planner.refusal import InvalidValue
from planner.swatch.recover import reflectance_from_xyz

_HALVINGS: Final = 7


@dataclass(frozen=True, eq=False)
class Passed:
    """What is left of a light behind a filter."""

    power: NDArray[np.float64]
    """(81,) relative power, Y = 1."""

    share: float
    """Share of the lamp's luminous flux that comes through, 0 to 1."""

    chroma: float
    """Share of the wished colour's chroma that a filter can have in this light; 1 for all of it."""


def passed(power: NDArray[np.float64], colour_or_table: str | Table) -> Passed:
    """Return a light, (81,) power, behind a filter.

    Parameters
    ----------
    power
        The open lamp.
    colour_or_table
        An sRGB colour, which white paper in front of the open lamp and behind the filter would seem to
        have to an eye used to the open lamp; or rows of (nm, transmittance).

    """
    chroma = 1.0
    if isinstance(colour_or_table, str):
        shape = power / to_xyz(power)[1]
        transmittance, chroma = _of_colour(colour_or_table, shape.tobytes())
    else:
        table = np.array(colour_or_table)
        transmittance = resample(table[:, 0], table[:, 1])
    behind = power * transmittance
    share = float(to_xyz(behind)[1] / to_xyz(power)[1])
    return Passed(behind / to_xyz(behind)[1], share, chroma)


@lru_cache(maxsize=64)
def _of_colour(colour: str, shape: bytes) -> tuple[NDArray[np.float64], float]:
    """Return the smoothest transmittance of a colour before a light, and how much of its chroma it has.

    No filter has a colour beyond what the light can show; the nearest of the same hue and lightness
    stands in.
    """
    light = np.frombuffer(shape)
    lab, white, w = srgb_to_lab(parse_hex(colour)), to_xyz(light), weights(light)
    low, high, found = 0.0, 1.0, None
    share = 1.0
    for _ in range(_HALVINGS + 1):
        xyz = adapt(lab_to_xyz(lab * [1.0, share, share]), white_d65(), white)
        try:
            found, low = reflectance_from_xyz(xyz, w), share
        except InvalidValue:
            high = share
        if low == 1.0:
            break
        share = (low + high) / 2.0
    if found is None:  # a grey is always possible
        grey = float(lab_to_xyz(lab)[1])
        found = np.full(light.shape, grey)
    found.setflags(write=False)
    return found, low
