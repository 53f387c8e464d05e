"""The spectrum of a lamp from its kind and colour temperature."""

import tomllib
from functools import cache, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.errors import suggest
from planner.catalogue.lamp import LampKind, lamp_kinds
from planner.colour.cielab import lab_to_xyz
from planner.colour.observer import blackbody, daylight, illuminant
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tristimulus import to_xyz
from planner.data import shared
from planner.lighting.led import phosphor_led, rgb_led
from planner.lighting.white import white_of
from planner.refusal import InvalidValue, show

COLDEST: Final = 1000.0
"""A filament dimmed further keeps this colour temperature, K: nobody sees by it."""

_HALVINGS: Final = 40


@lru_cache(maxsize=256)
def lamp_spectrum(
    kind: str, kelvin: float | None = None, *, colour: str | None = None, dim: float = 1.0
) -> NDArray[np.float64]:
    """Return the spectrum of a lamp.

    Parameters
    ----------
    kind
        One of `planner.catalogue.lamp_kinds`, such as "phosphor LED".
    kelvin
        Correlated colour temperature at full, within what the kind comes in; its usual one when not
        given.
    colour
        What an RGB LED is set to instead of a white, as sRGB.
    dim
        Light that is left, above 0 and at most 1. Filaments get warmer; other lamps keep their shape.

    Returns
    -------
    ndarray, shape (81,)
        Relative power, Y = 1; read-only.

    Raises
    ------
    ValueError
        If there is no such kind, or it does not come in that colour temperature.

    """
    known = lamp_kinds()
    if kind not in known:
        raise InvalidValue(f"found {show(kind)}; there is no such kind of lamp: {suggest(kind, known)}")
    what = known[kind]
    warmth, (least, most) = what.usual if kelvin is None else kelvin, what.kelvin
    if not least <= warmth <= most:
        raise InvalidValue(f"found {warmth:g} K; the kind {show(kind)} comes from {least:g} to {most:g} K")
    if not 0.0 < dim <= 1.0:
        raise InvalidValue(f"found {dim:g}; a dimmed lamp's share of its full light is above 0 and at most 1")
    power = _power(what, warmth, colour, dim)
    power = power / to_xyz(power)[1]
    power.setflags(write=False)
    return power


def dimmed_kelvin(kelvin: float, dim: float) -> float:
    """Return the colour temperature of a filament, `kelvin` at full, that gives a share `dim` of its light.

    Field Guide to Illumination, see ``shared/filament_dimming.toml``: T ~ light^(0.80 / 6.5).
    """
    law = _dimming()
    return max(COLDEST, kelvin * dim ** (law["colour_temperature"] / law["luminous_flux"]))


def light_at_voltage(share: float) -> float:
    """Return the share of its full light that a filament gives at a share of its voltage."""
    law = _dimming()
    return share ** (law["luminous_flux"] / law["voltage"])


@cache
def _dimming() -> dict[str, float]:
    return tomllib.loads(shared("filament_dimming.toml").read_text(encoding="utf-8"))


def _power(kind: LampKind, kelvin: float, colour: str | None, dim: float) -> NDArray[np.float64]:
    if kind.spectrum == "filament":
        return blackbody(dimmed_kelvin(kelvin, dim))
    if kind.spectrum == "daylight":
        return daylight(kelvin)
    if kind.spectrum == "phosphor":
        return phosphor_led(kelvin)
    if kind.spectrum == "primaries":
        return rgb_led(
            to_xyz(blackbody(kelvin)) if colour is None else lab_to_xyz(srgb_to_lab(parse_hex(colour)))
        )
    return _mixture(kind.members, kelvin)


def _mixture(members: tuple[str, ...], kelvin: float) -> NDArray[np.float64]:
    """Return the mixture of two neighbouring members that has a colour temperature.

    Tubes of one class differ by how much of each phosphor they hold, so what lies between two of them
    is a mixture of their spectra. (For metal halide lamps the same is our choice.)
    """
    temperatures = [_temperature(illuminant(name)) for name in members]
    place = min(max(int(np.searchsorted(temperatures, kelvin)), 1), len(members) - 1)
    warm, cool = illuminant(members[place - 1]), illuminant(members[place])
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        share = (low + high) / 2.0
        if _temperature((1.0 - share) * warm + share * cool) < kelvin:
            low = share
        else:
            high = share
    return (1.0 - low) * warm + low * cool


def _temperature(power: NDArray[np.float64]) -> float:
    return white_of(power).kelvin or 0.0
