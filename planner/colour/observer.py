"""The standard observer and the lights the CIE has published, on the planner's grid.

All tables are CIE 015:2018 (see the headers in ``shared/``). Every light is scaled so that
`planner.colour.tristimulus.to_xyz` of it has Y = 1. Returned arrays are shared and read-only.
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.grid import WAVELENGTHS, on_grid
from planner.colour.tables import read_table
from planner.refusal import InvalidValue

SECOND_RADIATION: Final = 1.4388e-2
"""c2 of Planck's law in m·K, as ITS-90 and the CIE take it (CIE 015:2018)."""

BLACKBODY_RANGE: Final = (500.0, 1e6)
DAYLIGHT_RANGE: Final = (4000.0, 25000.0)


@cache
def observer() -> NDArray[np.float64]:
    """Return x̄, ȳ, z̄ of the CIE 1931 2° standard observer, shape (81, 3)."""
    table = read_table("observer_1931_2deg.csv")
    rows = on_grid(table["nm"])
    return _keep(np.stack([table[name][rows] for name in ("xbar", "ybar", "zbar")], axis=-1))


@cache
def illuminant_names() -> tuple[str, ...]:
    """Return the names `illuminant` knows: A, C, D50 … D75, FL1 … FL3.15, LED-B1 … LED-V2."""
    return tuple(name for name in read_table("illuminants.csv") if name != "nm")


@cache
def illuminant(name: str) -> NDArray[np.float64]:
    """Return a published CIE illuminant, shape (81,), Y = 1.

    Raises
    ------
    ValueError
        If `name` is not one of `illuminant_names`.
    """
    if name not in illuminant_names():
        raise InvalidValue(f"No illuminant is called '{name}': choose from {', '.join(illuminant_names())}.")
    table = read_table("illuminants.csv")
    return _unit_luminance(table[name][on_grid(table["nm"])])


@cache
def blackbody(kelvin: float) -> NDArray[np.float64]:
    """Return a Planckian radiator, shape (81,), Y = 1: a halogen lamp is one, nearly.

    Planck's law in vacuum, with the CIE's c2.

    Raises
    ------
    ValueError
        Outside 500–1 000 000 K.
    """
    _check_range("A blackbody's temperature", kelvin, BLACKBODY_RANGE)
    metres = WAVELENGTHS * 1e-9
    # Relative to 560 nm, so that neither very cold nor very hot radiators overflow.
    exponent = SECOND_RADIATION / (metres * kelvin)
    at_560 = SECOND_RADIATION / (560e-9 * kelvin)
    power = (560e-9 / metres) ** 5 * np.exp(at_560 - exponent)
    return _unit_luminance(power * np.expm1(-at_560) / np.expm1(-exponent))


@cache
def daylight(cct: float) -> NDArray[np.float64]:
    """Return a phase of daylight, the CIE D series, shape (81,), Y = 1.

    CIE 15:2004, section 3.1, equations 3.1 to 3.5 (numbers from memory); S0, S1, S2 from its table
    at 10 nm, interpolated linearly as it prescribes. D65 is ``daylight(6504)``: c2 of Planck's law
    was revised after the D illuminants were named.

    Raises
    ------
    ValueError
        Outside 4000–25 000 K, where the formula is not defined.
    """
    _check_range("A daylight's colour temperature", cct, DAYLIGHT_RANGE)
    t = 1e3 / cct
    # (3.2) and (3.3), chromaticity x of the daylight locus; (3.1), its y.
    if cct <= 7000.0:
        x = -4.6070 * t**3 + 2.9678 * t**2 + 0.09911 * t + 0.244063
    else:
        x = -2.0064 * t**3 + 1.9018 * t**2 + 0.24748 * t + 0.237040
    y = -3.000 * x**2 + 2.870 * x - 0.275
    # (3.5), the weights of the two characteristic vectors; (3.4), their sum. The CIE rounds the
    # weights to three decimals.
    divisor = 0.0241 + 0.2562 * x - 0.7341 * y
    m1 = round((-1.3515 - 1.7703 * x + 5.9114 * y) / divisor, 3)
    m2 = round((0.0300 - 31.4424 * x + 30.0717 * y) / divisor, 3)
    table = read_table("daylight_components.csv")
    s0, s1, s2 = (np.interp(WAVELENGTHS, table["nm"], table[name]) for name in ("S0", "S1", "S2"))
    return _unit_luminance(s0 + m1 * s1 + m2 * s2)


def _unit_luminance(power: NDArray[np.float64]) -> NDArray[np.float64]:
    luminance = observer()[:, 1]
    return _keep(power * luminance.sum() / (power @ luminance))


def _keep(array: NDArray[np.float64]) -> NDArray[np.float64]:
    array.setflags(write=False)
    return array


def _check_range(what: str, value: float, allowed: tuple[float, float]) -> None:
    low, high = allowed
    if not low <= value <= high:
        raise InvalidValue(f"{what} must lie between {low:g} and {high:g} K: found {value:g}.")
