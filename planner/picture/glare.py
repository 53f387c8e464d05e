"""Light scattered in the viewer's own eye: what makes a flash a spark with rays of light about it.

CIE 135/1-1999 (J. J. Vos & T. J. T. P. van den Berg, "Report on disability glare"), equation 8, the
total glare function; its figures are from memory, and are held against three things: it must spread as
much light as it takes (its integral is 1), and beyond a degree it must be the age-adjusted
Stiles-Holladay equation 10 (1 + (age/70)⁴) / θ² (Vos, "On the cause of disability glare", Clinical and
Experimental Optometry 86, 2003). The function has the blur of a healthy eye in it, so nothing else
blurs what a picture shows from the seats.
"""

from functools import lru_cache

import numpy as np

from planner.optics.arrays import Floats
from planner.optics.held import held

AGE = 35.0
"""Years of the viewer (our choice)."""

PIGMENT = 0.5
"""Of the viewer's iris: 0 for black, 0.5 for brown, 1.2 for light blue."""

FURTHEST = 12.0
"""Degrees: how far scattered light is followed, though no further than twice the longer side of a picture;
beyond lie 2 in 100 of it."""

_FINEST = 0.0046
"""Degrees: width of the sharpest part of the function."""

_NEAR = 3
"""Pixels about the middle that are reckoned finely."""

_WIDE = 129
"""Pixels of the picture on which it is found how much light stays where it is."""


def spread(degrees: Floats, age: float = AGE, pigment: float = PIGMENT) -> Floats:
    """Return what an eye makes of a point of light, per steradian, at angles from it (degrees)."""
    older = (age / 70.0) ** 4
    sharp = 9.2e6 / (1.0 + (degrees / _FINEST) ** 2) ** 1.5 + 1.5e5 / (1.0 + (degrees / 0.045) ** 2) ** 1.5
    near = 1.0 + (degrees / 0.1) ** 2
    wide = 400.0 / near + 3e-8 * degrees**2 + pigment * (1300.0 / near**1.5 + 0.8 / near**0.5)
    return (1.0 - 0.08 * older) * sharp + (1.0 + 1.6 * older) * wide + 2.5e-3 * pigment


def scattered(linear: Floats, degrees_per_pixel: float) -> Floats:
    """Return linear light (H, W, C) as it falls on the retina; beyond its edges it goes on mirrored.

    `degrees_per_pixel` is the angle a pixel has to the viewer.
    """
    high, wide = linear.shape[:2]
    whole = (2 * high, 2 * wide)  # after that, what is mirrored repeats itself
    kernel, found = _transform(*whole, float(degrees_per_pixel)), np.empty(linear.shape, np.float32)
    for colour in range(linear.shape[2]):  # one by one: together they take three times the memory
        mirrored = np.pad(linear[..., colour].astype(np.float32), ((0, high), (0, wide)), mode="symmetric")
        light = np.fft.rfft2(mirrored)
        light *= kernel
        found[..., colour] = np.fft.irfft2(light, whole)[:high, :wide]
    return found


@held
def _transform(high: int, wide: int, step: float) -> Floats:
    """Return the transform of what one pixel's light becomes in a picture that repeats after (high, wide)."""
    reach = min(int(np.ceil(FURTHEST / step)), max(high, wide))
    away = np.arange(reach + 1) * step
    quarter = spread(np.hypot(away[:, None], away))
    # Near its middle the function changes within a pixel: its mean over the pixel counts.
    parts = int(np.clip(np.ceil(2.0 * step / _FINEST), 1, 64))
    at = ((np.arange(parts) + 0.5) / parts - 0.5) * step
    for row in range(min(_NEAR, reach) + 1):
        for column in range(min(_NEAR, reach) + 1):
            quarter[row, column] = spread(np.hypot((row * step + at)[:, None], column * step + at)).mean()
    whole = np.abs(np.arange(-reach, reach + 1))
    kernel = _folded(_folded(quarter[whole], high).T[whole], wide).T
    # All the light is kept: what would go further is taken as come from there.
    kernel /= kernel.sum()
    return np.fft.rfft2(kernel.astype(np.float32))


def _folded(lines: Floats, period: int) -> Floats:
    """Return (period, C) what lines (N, C) that repeat come to, laid over each other, the middle first."""
    first = -(len(lines) // 2) % period
    laid = np.zeros((-(-(first + len(lines)) // period) * period, lines.shape[1]))
    laid[first : first + len(lines)] = lines
    return np.asarray(laid.reshape(-1, period, lines.shape[1]).sum(axis=0))


def halo_of(linear: Floats, degrees_per_pixel: float) -> Floats:
    """Return the light (H, W, C) that each pixel gets from all others."""
    if not linear.any():
        return np.zeros_like(linear)
    stays = _stays(float(degrees_per_pixel))
    return np.maximum(scattered(linear, degrees_per_pixel) - stays * linear, 0.0)


@lru_cache(maxsize=8)
def _stays(step: float) -> float:
    """Return the share of its own light that a pixel keeps."""
    impulse = np.zeros((_WIDE, _WIDE, 1), np.float32)
    impulse[_WIDE // 2, _WIDE // 2] = 1.0
    return float(scattered(impulse, step)[_WIDE // 2, _WIDE // 2, 0])
