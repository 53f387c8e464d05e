"""White and colour-mixing LEDs from a few lobes, fitted to published ones (``shared/led_lobes.toml``).

A white LED is a blue lobe and a broad phosphor band. The shapes lie between those of the two published
LEDs nearest in reciprocal temperature; then the height of the blue lobe and the place of the band are
solved for, so that the light lies on the Planckian locus: the published ones keep within Duv 0.001 of it.
"""

import tomllib
from functools import cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.grid import WAVELENGTHS
from planner.colour.tristimulus import to_xyz
from planner.data import shared
from planner.lighting.white import planckian_uv, uv_of
from planner.refusal import InvalidValue

_STEPS: Final = 12
_CLOSE: Final = 1e-9
_PROBE: Final = (1e-4, 1e-3)  # of the logarithm of the blue lobe's height, and nm of the band's place


def phosphor_led(kelvin: float) -> NDArray[np.float64]:
    """Return (81,) power of a white phosphor LED on the Planckian locus, in any unit.

    Raises
    ------
    ValueError
        If a blue lobe and a phosphor band cannot make that white.

    """
    blue, band, share = _between(kelvin)
    target, at = planckian_uv(kelvin), np.array([np.log(share), 0.0])
    for _ in range(_STEPS):
        missing = target - uv_of(_white(at, blue, band))
        if np.abs(missing).max() < _CLOSE:
            return _white(at, blue, band)
        probes = [at + step for step in np.diag(_PROBE)]
        slopes = [
            (uv_of(_white(probe, blue, band)) - target + missing) / step
            for probe, step in zip(probes, _PROBE, strict=True)
        ]
        at = at + np.clip(np.linalg.solve(np.stack(slopes, axis=-1), missing), [-0.5, -10.0], [0.5, 10.0])
    raise InvalidValue(f"A phosphor LED cannot be made white at {kelvin:g} K.")


def rgb_led(xyz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return (81,) power of red, green and blue LEDs together that have tristimulus values `xyz` (3,).

    A colour beyond what they can mix is given as the mixture without the primary that would have to
    be negative.
    """
    primaries = np.stack([_primary(*one) for one in _lobes()["primaries"].values()])
    shares = np.linalg.solve(to_xyz(primaries).T, xyz)
    return np.maximum(shares, 0.0) @ primaries


@cache
def _lobes() -> dict[str, Any]:
    return tomllib.loads(shared("led_lobes.toml").read_text(encoding="utf-8"))


def _between(kelvin: float) -> tuple[NDArray[np.float64], NDArray[np.float64], float]:
    """Return the blue lobe, the band and the blue lobe's height between the two nearest published LEDs."""
    whites = sorted(_lobes()["white"], key=lambda one: -float(one["kelvin"]))
    mireds = [1e6 / float(one["kelvin"]) for one in whites]
    rows = np.array([[*one["blue"], *one["phosphor"], np.log(one["blue_share"])] for one in whites])
    found = np.array([np.interp(1e6 / kelvin, mireds, column) for column in rows.T])
    return found[:3], found[3:6], float(np.exp(found[6]))


def _white(
    at: NDArray[np.float64], blue: NDArray[np.float64], band: NDArray[np.float64]
) -> NDArray[np.float64]:
    peak, below, above = band
    return np.exp(at[0]) * _narrow(_bell(*blue)) + _bell(peak + at[1], below, above)


def _primary(peak: float, below: float, above: float, foot: float) -> NDArray[np.float64]:
    bell = _bell(peak, below, above)
    return (1.0 - foot) * _narrow(bell) + foot / (1.0 - np.log(np.maximum(bell, 1e-300)))


def _bell(peak: float, below: float, above: float) -> NDArray[np.float64]:
    return np.exp(-(((WAVELENGTHS - peak) / np.where(peak > WAVELENGTHS, below, above)) ** 2))


def _narrow(bell: NDArray[np.float64]) -> NDArray[np.float64]:
    """Ohno 2005 (see ``shared/led_lobes.toml``): what a bare LED emits, pointed and with a foot."""
    return (bell + 2.0 * bell**5) / 3.0
