"""From linear light to a screen: true colours up to near white, flashes dimmed and bleached, bloom.

A flash of a small lamp may be thousands of times brighter than white, and a screen ends at white.
What is drawn: up to `SHOULDER` every colour is itself. Above, its largest channel is pressed into
what is left below white, so a white cloth comes out a little dimmer than the page. Brighter light
passes over into a flash: as bright as the screen gets on the line from white through its own
chromaticity, which is the line by which the planner names a flash's hue; the nearer to white the
brighter it was; and with a little of its colour spread round it, as an eye or a lens does. So
flashes are drawn far dimmer than they are.
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

BLEACH = 0.85
"""How white the brightest get."""

BLOOM = 0.35
"""How much of a flash's drawn colour is spread round it."""

ARC_MINUTE = np.pi / (180.0 * 60.0)

RESOLUTION = 1.0
"""Full width at half maximum, arc minutes, of the blur of a good eye (20/20; Snellen 1862)."""

_TO_XYZ = np.linalg.inv(xyz_to_linear(np.eye(3)))


def on_screen(linear: Floats, bloom: float) -> Floats:
    """Return (H, W, 3) uint8 sRGB of linear light (H, W, 3), white cloth being 1.

    `bloom` is the spread of the light round a flash, pixels (standard deviation).
    """
    light = _within(np.asarray(linear, float))
    largest = light.max(axis=-1)
    room = 1.0 - SHOULDER
    over = np.maximum(largest - SHOULDER, 0.0)
    pressed = np.where(over > 0, SHOULDER + room * over / (over + room), largest)
    drawn = light * (pressed / np.maximum(largest, 1e-9))[..., None]
    # By the strongest channel, not by luminance: a deep blue light dazzles at a luminance below white's.
    strongest = linear.max(axis=-1)
    flashes = strongest > FLASH_FROM
    if flashes.any():
        stops = np.log2(strongest[flashes])
        share = ((stops - np.log2(FLASH_FROM)) / np.log2(FLASH_FULL / FLASH_FROM)).clip(0.0, 1.0)[:, None]
        bleach = BLEACH * (stops / BLEACH_STOPS).clip(0.0, 1.0) ** 2.2
        halo = np.zeros_like(drawn)
        halo[flashes] = share * _flash_colours(linear[flashes], 0.4 * bleach)
        halo = blurred(halo, bloom) * BLOOM * (1.0 + 2.0 * bloom)
        drawn[flashes] += share * (_flash_colours(linear[flashes], bleach) - drawn[flashes])
        # Into the room that is left, so that a halo never turns the hue of what it lies on.
        drawn += np.clip(halo, 0.0, 1.0) * (1.0 - drawn.max(axis=-1, keepdims=True))
    return np.rint(255.0 * linear_to_srgb(drawn)).astype(np.uint8)


def _flash_colours(linear: Floats, bleach: Floats) -> Floats:
    """Return (M, 3) linear light to draw (M, 3) flashes with, `bleach` (M,) of the way to white."""
    # Adding white moves a chromaticity straight towards white: as far as the screen needs, then on.
    pure = linear - np.minimum(linear.min(axis=-1, keepdims=True), 0.0)
    pure = pure / pure.max(axis=-1, keepdims=True)
    return pure + bleach[:, None] * (1.0 - pure)


def _within(light: Floats) -> Floats:
    """Return linear light with no channel below 0.

    Colours of surfaces lose chroma at constant hue and L*, as everywhere in the planner; what begins
    to be a flash moves towards white, as it goes on to.
    """
    outside = (light.min(axis=-1) < -1e-4) & (light.max(axis=-1) <= FLASH_FROM)
    if outside.any():
        rgb, _ = lab_to_srgb(xyz_to_lab(light[outside] @ _TO_XYZ))
        light = light.copy()
        light[outside] = srgb_to_linear(rgb / 255.0)
    return light - np.minimum(light.min(axis=-1, keepdims=True), 0.0)


def blurred(image: Floats, spread: float) -> Floats:
    """Return (H, W, C) with a Gaussian blur of standard deviation `spread`, pixels.

    Beyond the edges the picture is taken to go on as it is near them.
    """
    if spread < 0.2:
        return image
    down, across = (_gaussian(count, spread) for count in image.shape[:2])
    high, wide, channels = image.shape
    rows = (down @ image.reshape(high, -1)).reshape(high, wide, channels)
    return np.einsum("vw,hwc->hvc", across, rows, optimize=True)


def _gaussian(count: int, spread: float) -> Floats:
    at = np.arange(count)
    kernel = np.exp(-0.5 * ((at[:, None] - at[None]) / spread) ** 2)
    return kernel / kernel.sum(axis=1, keepdims=True)


def as_from(linear: Floats, mm_per_pixel: float, metres: float) -> Floats:
    """Return linear light as an eye `metres` away has it, blurred to its resolution."""
    width = 1e3 * metres * RESOLUTION * ARC_MINUTE
    return blurred(linear, width / np.sqrt(8.0 * np.log(2.0)) / mm_per_pixel)
