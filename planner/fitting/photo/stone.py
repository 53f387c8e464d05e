"""The pixels of one stone: the mean of what is glow, and the hues of what is flash.

In even light none of X, Y and Z of a facet can be larger than white's, since it only mirrors what is
around it: what is far brighter is a lamp's image, and is left out of the glow. A lamp's image burns out
in its middle, where its hue is lost; but a lens spreads it, and at its rim, where nothing is burnt out,
the spread light still has the lamp image's chromaticity once the glow beneath is taken off. That tells
the hue of a flash, not how bright it is; and where a camera keeps colour only for every second pixel, or
sharpens, or where two flashes touch, their hues run together.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.names import FLASH_FAMILIES, flash_family
from planner.optics.arrays import Floats
from planner.refusal import InvalidValue
from planner.swatch.photo_file import Area, Picture

# Our choices.
LEAST_ACROSS: Final = 16
"""Fewest pixels across a stone: of fewer, most lie on its edge."""

BRIGHTER: Final = 1.25
"""Times the white reference, in X, Y or Z, from which a pixel shows a lamp; white paper sends back 0.85."""

MOST_BRIGHT: Final = 0.4
"""Largest share of a stone that may be lamp or burnt out before its glow is not read."""

_INSIDE: Final = 0.46
"""Half-axes of what is read, of the sides of the box round a stone: its edge mixes with the card."""

_EDGE: Final = 0.52
"""Half-axes of where flashes are looked for: many are at the very edge of a stone."""

_TOP: Final = 253
"""A channel from here up is burnt out."""

_LEAST_FLASH: Final = 3
"""Fewest pixels of a flash, and of its rim."""

_RIM: Final = 2
"""How far from the burnt-out middle the rim is looked for, pixels."""

_OVER_GLOW: Final = 1.5
"""Times the stone's median brightness that a rim's pixel must have, to be more flash than glow."""


@dataclass(frozen=True, slots=True, eq=False)
class StoneRead:
    """What the box round a stone shows."""

    xyz: Floats
    """(3,) mean of what is glow, Y = 1 for the picture's white."""
    bright: float
    """Share of the stone that is lamp or burnt out, and so is not in the mean."""
    across: float
    """Pixels across, the smaller side."""
    flashes: tuple[str, ...]
    """Hue family of each flash whose rim tells it."""
    hidden: int
    """Flashes that tell no hue."""


def read_stone(picture: Picture, area: Area, white: Floats, what: str) -> StoneRead:
    """Return what the box `area` round a stone shows; the ellipse inside it is read.

    Parameters
    ----------
    picture, area
        The photograph, and the box in its pixels.
    white
        (3,) the white reference on it.
    what
        What to call the stone in a refusal.

    Raises
    ------
    ValueError
        If the box lies outside the picture, has too few pixels, or shows hardly anything but lamps.

    """
    encoded = _pixels(picture, area, what)
    xyz = picture.to_xyz(encoded)
    inside = ellipse(encoded.shape, _INSIDE)
    burnt = encoded.max(axis=-1) >= _TOP
    brightness = (xyz / white).max(axis=-1)
    lamp = burnt | (brightness > BRIGHTER)
    bright = float(lamp[inside].mean())
    if bright > MOST_BRIGHT:
        raise InvalidValue(
            f"{what} is burnt out or mirrors a lamp over {100 * bright:.0f} % of its face, so its glow "
            "cannot be read; take it in even light (under a dull sky, by a window without sun), and darker"
        )
    glow = xyz[inside & ~lamp]
    whole = ellipse(encoded.shape, _EDGE)
    least = _OVER_GLOW * float(np.median(brightness[inside & ~lamp]))
    flashes, hidden = _flashes(
        xyz - np.median(glow, axis=0), lamp & whole, whole & ~burnt & (brightness > least), white
    )
    return StoneRead(glow.mean(axis=0), bright, float(min(encoded.shape[:2])), flashes, hidden)


def ellipse(shape: tuple[int, ...], half: float) -> NDArray[np.bool_]:
    """Return (high, wide) which pixels of a box lie in an ellipse of these half-axes, of the box's sides."""
    high, wide = shape[:2]
    y, x = np.mgrid[0:high, 0:wide] + 0.5
    return np.asarray(np.hypot(x / wide - 0.5, y / high - 0.5) <= half)


def _pixels(picture: Picture, area: Area, what: str) -> NDArray[np.uint8]:
    right, low = area.x + area.width, area.y + area.height
    inside = min(area.x, area.y) >= 0 and min(area.width, area.height) > 0
    if not (inside and right <= picture.width and low <= picture.height):
        raise InvalidValue(
            f"found {','.join(map(str, area))} for {what}; x,y,w,h must lie on the picture, which is "
            f"{picture.width} × {picture.height} pixels"
        )
    encoded = picture.pixels(area)
    if min(encoded.shape[:2]) < LEAST_ACROSS:
        raise InvalidValue(
            f"{what} is only {encoded.shape[1]} × {encoded.shape[0]} pixels; at least {LEAST_ACROSS} across "
            "are needed, so go nearer (or zoom in), or lay out larger stones"
        )
    return encoded


def _flashes(
    over: Floats, lamp: NDArray[np.bool_], usable: NDArray[np.bool_], white: Floats
) -> tuple[tuple[str, ...], int]:
    """Return the hue of each flash by the light `over` the glow in `usable` pixels; how many tell none."""
    from scipy import ndimage  # 0.1 s to import

    touching = np.ones((3, 3), bool)
    label, _ = ndimage.label(lamp, touching)
    found: list[str] = []
    hidden = 0
    for number, (rows, columns) in enumerate(ndimage.find_objects(label), 1):
        part = np.s_[max(0, rows.start - _RIM) : rows.stop + _RIM,
                     max(0, columns.start - _RIM) : columns.stop + _RIM]  # fmt: skip
        own = label[part] == number
        if own.sum() < _LEAST_FLASH:
            continue
        near = ndimage.binary_dilation(own, touching, iterations=_RIM) & ((label[part] == 0) | own)
        rim = near & usable[part]
        light = np.maximum(over[part][rim].sum(axis=0), 0.0)
        if rim.sum() < _LEAST_FLASH or light[1] <= 0.0:
            hidden += 1
            continue
        found.append(FLASH_FAMILIES[int(flash_family(light, white))])
    return tuple(found), hidden
