"""From linear light to a screen: true colours up to near white, flashes dimmed and bleached.

Exposed as an eye is that has got used to white cloth in that light: white cloth is drawn white, and what
is brighter is drawn by its logarithm, since an eye tells equal ratios of light as equal steps (Weber's
law). Up to `SHOULDER` every colour is itself. Above, its largest channel is pressed into what is left
below white, so a white cloth comes out a little dimmer than the page. Brighter light passes over into a
flash: as bright as the screen gets on the line from white through its own chromaticity, which is the line
by which the planner names a flash's hue, and whiter by an even step for every doubling. So flashes are
drawn far dimmer than they are. The light about them is `planner.picture.glare`'s.
"""

import numpy as np

from planner.colour.cielab import xyz_to_lab
from planner.colour.screen import lab_to_srgb, linear_to_srgb, srgb_to_linear, xyz_to_linear
from planner.optics.arrays import Floats

SHOULDER = 0.8
"""Largest channel of linear light, white cloth being 1, up to which nothing is pressed."""

FLASH_FROM, FLASH_FULL = 1.5, 6.0
"""Light so many times as bright as white begins to be drawn as a flash, and is all flash. Less is a
stone that glows brighter than white cloth, as clear foiled ones do."""

BLEACH_STOPS = 12.0
"""So many stops over white a flash is bleached as far as it goes."""

BLEACH = 0.9
"""How white the brightest get."""

LEAST = 0.8
"""A flash is whitened at least so far that it keeps this share of the luminance it would have if only
pressed: else a deep blue spark would be darker than the glare about it."""

_TO_XYZ = np.linalg.inv(xyz_to_linear(np.eye(3)))
_LUMINANCE = _TO_XYZ[:, 1].astype(np.float32)


def on_screen(linear: Floats) -> Floats:
    """Return (..., 3) uint8 sRGB of linear light (..., 3), white cloth being 1."""
    return encoded(compressed(linear))


def compressed(linear: Floats) -> Floats:
    """Return (..., 3) linear light no channel of which is over 1; what no screen shows may stay below 0."""
    drawn = np.array(linear, np.float32)
    largest = drawn.max(axis=-1)
    high = largest > SHOULDER
    if not high.any():
        return drawn
    light, largest = drawn[high], largest[high, None]
    room, over = 1.0 - SHOULDER, largest - SHOULDER
    pressed = light * ((SHOULDER + room * over / (over + room)) / largest)
    # By the strongest channel, not by luminance: a deep blue light dazzles at a luminance below white's.
    stops = np.log2(np.maximum(largest, 1.0))
    begins = np.log2(FLASH_FROM)
    share = ((stops - begins) / (np.log2(FLASH_FULL) - begins)).clip(0.0, 1.0)
    bleach = BLEACH * (stops / BLEACH_STOPS).clip(0.0, 1.0)
    # Adding white moves a chromaticity straight towards white: as far as the screen needs, then on.
    pure = light - np.minimum(light.min(axis=-1, keepdims=True), 0.0)
    pure /= pure.max(axis=-1, keepdims=True)
    dim, wanted = pure @ _LUMINANCE, LEAST * (pressed @ _LUMINANCE)
    bleach = np.maximum(bleach, ((wanted - dim) / np.maximum(1.0 - dim, 1e-3))[:, None])
    drawn[high] = pressed + share * (pure + bleach * (1.0 - pure) - pressed)
    return drawn


def encoded(drawn: Floats) -> Floats:
    """Return (..., 3) uint8 sRGB of linear light up to 1.

    What no screen shows loses chroma at constant hue and L*, as everywhere in the planner.
    """
    light = np.array(drawn, float)
    outside = light.min(axis=-1) < -1e-4
    if outside.any():
        rgb, _ = lab_to_srgb(xyz_to_lab(light[outside] @ _TO_XYZ))
        light[outside] = srgb_to_linear(rgb / 255.0)
    return np.rint(255.0 * linear_to_srgb(light.clip(0.0, 1.0))).astype(np.uint8)
