"""How white a light is, and how true it shows colours: colour temperature, Duv, and the index Ra."""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.grid import WAVELENGTHS
from planner.colour.observer import DAYLIGHT_RANGE, SECOND_RADIATION, blackbody, daylight
from planner.colour.tables import read_table
from planner.colour.tristimulus import to_xyz, weights

FARTHEST_WITH_TEMPERATURE: Final = 0.05
"""Largest |Duv| of a light with a correlated colour temperature (CIE 015:2018, 9.5; number from memory)."""

FARTHEST_WITH_RA: Final = 0.02
"""Largest |Duv| for which Ra is told (our choice). CIE 13.3 asks for 0.0054, which some tubes sold as
white exceed: FL5 stands at 0.011 and has a published Ra."""

WARMEST_WHITE: Final = 1500.0
"""Lowest colour temperature of a light that is taken for white, K (our choice; a candle has 1900 K)."""

_MIREDS: Final = (20.0, 1000.0)
_DAYLIGHT_FROM: Final = 5000.0
_GENERAL_SAMPLES: Final = 8


@dataclass(frozen=True)
class White:
    """What a light is as a white."""

    kelvin: float | None
    """Correlated colour temperature, K; None for a coloured light."""

    duv: float
    """Distance from the Planckian locus in CIE 1960 u, v: above 0 greenish, below 0 pinkish."""

    ra: float | None
    """CIE 1974 general colour rendering index, 100 at best; None for a coloured light."""


def white_of(power: NDArray[np.float64]) -> White:
    """Return how white a light, (81,) power, is."""
    uv = _uv(to_xyz(power))
    kelvin, duv = _nearest(uv)
    off, (bluest, reddest) = abs(duv), _MIREDS
    # At an end of the range the light lies beyond it, and that black body is not its nearest.
    within = bluest * 1.001 < 1e6 / kelvin < reddest * 0.999
    return White(
        kelvin if within and off <= FARTHEST_WITH_TEMPERATURE else None,
        duv,
        _general_index(power, kelvin) if kelvin >= WARMEST_WHITE and off <= FARTHEST_WITH_RA else None,
    )


def planckian_uv(kelvin: float) -> NDArray[np.float64]:
    """Return CIE 1960 u, v of a black body, shape (2,)."""
    return _planck_uv(np.array(1e6 / kelvin))


def uv_of(power: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return CIE 1960 u, v of lights, (..., 81) power, shape (..., 2)."""
    return _uv(to_xyz(power))


def _uv(xyz: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIE 1960 UCS: u = 4X / (X + 15Y + 3Z), v = 6Y / (X + 15Y + 3Z)."""
    return np.asarray(xyz[..., :2] * [4.0, 6.0] / (xyz @ [1.0, 15.0, 3.0])[..., None])


def _planck_uv(mired: NDArray[np.float64]) -> NDArray[np.float64]:
    exponent = SECOND_RADIATION * mired[..., None] * 1e-6 / (WAVELENGTHS * 1e-9)
    # Divided by its value at 780 nm, so that neither end of the range overflows.
    return _uv(to_xyz(WAVELENGTHS**-5.0 * np.exp(exponent[..., -1:] - exponent) / -np.expm1(-exponent)))


def _nearest(uv: NDArray[np.float64]) -> tuple[float, float]:
    """Return the temperature of the nearest black body, and the signed distance to it."""
    low, high = _MIREDS
    for _ in range(4):
        mireds = np.linspace(low, high, 50)
        away = np.hypot(*(_planck_uv(mireds) - uv).T)
        best = int(np.argmin(away))
        low, high = float(mireds[max(best - 1, 0)]), float(mireds[min(best + 1, 49)])
    mired = float(mireds[best])
    start, end = _planck_uv(np.array([mired - 0.5, mired + 0.5]))
    along, across = end - start, uv - _planck_uv(np.array(mired))
    # The locus runs from blue to red; green lies to the left of it, seen that way in u, v.
    side = 1.0 if along[0] * across[1] - along[1] * across[0] >= 0.0 else -1.0
    return 1e6 / mired, side * float(away[best])


@cache
def _samples() -> NDArray[np.float64]:
    """Return (8, 81) radiance factors of the samples that Ra is made from."""
    table = read_table("test_colour_samples.csv")
    return np.stack([table[f"TCS{number:02d}"] for number in range(1, _GENERAL_SAMPLES + 1)])


def _general_index(power: NDArray[np.float64], kelvin: float) -> float:
    """Return Ra: CIE 13.3-1995, sections 5.2 to 5.8 (numbers of its equations from memory)."""
    low, high = DAYLIGHT_RANGE
    reference = blackbody(kelvin) if kelvin < _DAYLIGHT_FROM else daylight(min(max(kelvin, low), high))
    of_lamp, of_reference = weights(power), weights(reference)
    white, aim = _uv(of_lamp.sum(axis=0)), _uv(of_reference.sum(axis=0))
    lamp_xyz, reference_xyz = _samples() @ of_lamp, _samples() @ of_reference
    # The samples' chromaticities are moved as von Kries adaptation moves the lamp's white to the reference.
    c, d = _c_d(_uv(lamp_xyz))
    (c_lamp, d_lamp), (c_aim, d_aim) = _c_d(white), _c_d(aim)
    c_moved, d_moved = c_aim / c_lamp * c, d_aim / d_lamp * d
    divisor = 16.518 + 1.481 * c_moved - d_moved
    moved = np.stack([(10.872 + 0.404 * c_moved - 4.0 * d_moved) / divisor, 5.520 / divisor], axis=-1)
    apart = _uvw(lamp_xyz[:, 1], moved, aim) - _uvw(reference_xyz[:, 1], _uv(reference_xyz), aim)
    return float(np.mean(100.0 - 4.6 * np.sqrt((apart**2).sum(axis=-1))))


def _c_d(uv: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    u, v = uv[..., 0], uv[..., 1]
    return (4.0 - u - 10.0 * v) / v, (1.708 * v + 0.404 - 1.481 * u) / v


def _uvw(
    luminance: NDArray[np.float64], uv: NDArray[np.float64], white: NDArray[np.float64]
) -> NDArray[np.float64]:
    """CIE 1964 W*, U*, V* of samples with Y = 1 for the perfect diffuser."""
    lightness = 25.0 * np.cbrt(100.0 * luminance) - 17.0
    return np.concatenate([lightness[:, None], 13.0 * lightness[:, None] * (uv - white)], axis=-1)
