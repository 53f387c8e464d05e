"""A venue as arrays: its lights over wavelength and angle, and the white that the eye adapts to."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from planner.catalogue.venue import Venue
from planner.colour.cielab import appearance
from planner.colour.grid import folding
from planner.colour.observer import observer
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.lighting import spectrum_of
from planner.optics.arrays import Floats
from planner.optics.flash import LARGEST
from planner.optics.light import Light, illuminance
from planner.swatch.resolve import from_lab


@dataclass(frozen=True, eq=False)
class Scene:
    """What a venue does to anything in it."""

    light: Light
    """Every light, the surround and the floor's bounce among them."""

    lamps: tuple[int, ...]
    """Those of `light` that are small enough to make a sparkle."""

    white: Floats
    """(W,) radiance of white cloth, averaged over the tilts of a moving garment."""

    white_xyz: Floats
    """(3,) its tristimulus values, Y in cd/m²."""

    eye: Floats
    """(K, W, 3) weights that turn what comes of each light, by wavelength, into XYZ."""

    lamp_eye: float | None
    """Angle between the eye and the small lamp that lights the cloth most, degrees; None without one."""


def tristimulus_weights() -> Floats:
    """Return (W, 3) weights that turn radiance on the planner's grid into XYZ.

    A light of the `colour` room has Y = 1 with them.
    """
    return observer() / observer()[:, 1].sum()


def perceived(xyz: Floats, venue: Scene) -> Floats:
    """Return CIELAB of (..., 3) tristimulus values in a venue, adapted from its white to D65."""
    white = venue.white_xyz[1]
    return appearance(xyz / white, venue.white_xyz / white)


@lru_cache(maxsize=64)
def scene(venue: Venue) -> Scene:
    """Return the arrays of a venue."""
    spectra: list[Floats] = []
    lux, angle, spread, size, number = [], [], [], [], []
    for lamp in venue.lights:
        up, round_ = np.radians(lamp.elevation), np.radians(lamp.azimuth)
        spectra.append(spectrum_of(lamp.spectrum))
        lux.append(lamp.lux)
        angle.append(np.arccos(np.clip(np.cos(up) * np.cos(round_), -1.0, 1.0)))
        # A disc's root mean square radius in one direction is a quarter of its diameter.
        spread.append(np.radians(np.hypot(lamp.size, lamp.spread)) / 4.0)
        size.append(np.radians(lamp.size) if np.radians(lamp.size) <= LARGEST else np.inf)
        number.append(lamp.number)
    for add, power, extent in _soft(venue):
        spectra.append(power)
        lux.append(add)
        angle.append(np.pi / 2.0)
        spread.append(extent)
        size.append(np.inf)
        number.append(1)
    light = Light(*(np.array(part, float) for part in (spectra, lux, angle, spread, size, number)))
    on_cloth = illuminance(light)
    white = on_cloth @ light.spectra / np.pi
    lamps = tuple(int(one) for one in np.flatnonzero(np.isfinite(light.size)))
    strongest = max(lamps, key=lambda one: on_cloth[one] / light.number[one], default=None)
    lamp_eye = None if strongest is None else float(np.degrees(light.angle[strongest]))
    eye = light.spectra[:, :, None] * tristimulus_weights()
    return Scene(light, lamps, white, white @ tristimulus_weights(), eye, lamp_eye)


def _soft(venue: Venue) -> list[tuple[float, Floats, float]]:
    """Return (flux, spectrum, spread) of the surround and of what the floor bounces of the lamps."""
    found = []
    if venue.surround.lux > 0:
        # An even surround of luminance L gives pi L on any surface and has a flux of 4 pi L.
        found.append((4.0 * venue.surround.lux, spectrum_of(venue.surround.spectrum), np.inf))
    down = [(lamp.lux * np.sin(np.radians(lamp.elevation)), lamp) for lamp in venue.lights]
    power = sum((lux * spectrum_of(lamp.spectrum) for lux, lamp in down if lux > 0), np.zeros(1))
    if venue.floor.reflectance > 0 and power.any():
        bounced = power * _floor_colour(venue.floor.colour)
        luminance = float(bounced @ tristimulus_weights()[:, 1])
        lit = float(power @ tristimulus_weights()[:, 1])
        # The floor fills the lower half: luminance rho E / pi over 2 pi steradians. The line of sight
        # lies in its edge, and half of any ring about that is floor: exactly as much light from everywhere.
        found.append((2.0 * venue.floor.reflectance * lit, bounced / luminance, np.inf))
    return found


@lru_cache(maxsize=64)
def _floor_colour(colour: str | None) -> Floats:
    if colour is None:
        return np.ones(1)
    return from_lab(srgb_to_lab(parse_hex(colour)), basis="invented").reflectance


def folded(weights: Floats, stride: int) -> Floats:
    """Return (..., W, 3) weights on the coarser grid for (..., 81, 3) weights."""
    return np.einsum("...wx,wn->...nx", weights, folding(stride)).astype(np.float32)
