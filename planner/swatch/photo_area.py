"""One area of a photograph: its robust mean, its scatter, and what the light does across it."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import xyz_to_lab
from planner.refusal import InvalidValue
from planner.swatch.photo_file import Area, Picture

LEAST_PIXELS: Final = 400
"""Fewest pixels that an area may have: 20 × 20."""

# Pixels looked at along each side of an area; more would tell nothing new.
_SIDE: Final = 400
# Channels (of 255) from which a pixel counts as burnt out, and to which one counts as empty.
_TOP: Final = 253
_BOTTOM: Final = 2
# Highlights and shadows lie this many robust standard deviations of L* from the median.
_FAR: Final = 2.5
_LEAST_SPREAD: Final = 1.0
# Cells along each side, for what changes over the area.
_CELLS: Final = 4


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """What an area shows, highlights and shadows left out."""

    xyz: NDArray[np.float64]
    """Mean, shape (3,), Y = 1 for the picture's white."""

    scatter: NDArray[np.float64]
    """Covariance of CIELAB between the cells of the area, shape (3, 3)."""

    burnt: float
    """Share of pixels with a channel at the top of the scale."""

    empty: float
    """Share of pixels with a channel at the bottom while another is not: beyond the picture's gamut."""

    slope: NDArray[np.float64]
    """Change of the logarithm of luminance along x and y, per pixel of the file, shape (2,)."""

    fall: float
    """Change of the logarithm of luminance from end to end."""

    turn: float
    """Change of a* and b* from side to side."""

    centre: NDArray[np.float64]
    """Its middle, pixels of the file, shape (2,)."""


def look(picture: Picture, area: Area, what: str) -> Patch:
    """Return what an area of a picture shows.

    Raises
    ------
    ValueError
        If it lies outside the picture or is too small.
    """
    encoded = _pixels(picture, area, what)
    xyz = picture.to_xyz(encoded)
    lab = xyz_to_lab(xyz)
    top, bottom = encoded.max(axis=-1), encoded.min(axis=-1)
    burnt = top >= _TOP
    keep = ~burnt & _middling(lab[..., 0], burnt)
    # Where all is burnt out, something must still be looked at, to say so.
    keep = keep if keep.any() else np.ones_like(keep)
    labs = _cell_means(lab, keep)
    light = np.log(np.maximum(_cell_means(xyz, keep)[..., 1], 1e-6))
    x, y = _places()
    slopes = np.array([_fit(x, light), _fit(y, light)])
    flat = labs.reshape(-1, 3)
    colour_slopes = [_fit(place, labs[..., at]) for place in (x, y) for at in (1, 2)]
    return Patch(
        xyz=xyz[keep].mean(axis=0),
        scatter=np.cov(flat, rowvar=False),
        burnt=float(burnt.mean()),
        empty=float(((bottom <= _BOTTOM) & (top > 10 * _BOTTOM)).mean()),
        slope=slopes / np.array([area.width, area.height]),
        fall=float(np.abs(slopes).sum()),
        turn=float(np.linalg.norm(colour_slopes)),
        centre=np.array([area.x + area.width / 2, area.y + area.height / 2]),
    )


def _pixels(picture: Picture, area: Area, what: str) -> NDArray[np.uint8]:
    inside = area.x >= 0 and area.y >= 0 and area.width > 0 and area.height > 0
    right, low = area.x + area.width, area.y + area.height
    if not (inside and right <= picture.width and low <= picture.height):
        raise InvalidValue(
            f"found {','.join(map(str, area))} for the {what}; x,y,w,h must lie on the picture, which is "
            f"{picture.width} × {picture.height} pixels"
        )
    encoded = picture.pixels(area)
    if encoded.shape[0] * encoded.shape[1] < LEAST_PIXELS or min(encoded.shape[:2]) < _CELLS:
        raise InvalidValue(
            f"the {what}'s area is too small ({encoded.shape[1]} × {encoded.shape[0]} pixels); mark at least "
            f"{LEAST_PIXELS} pixels, or go nearer"
        )
    return encoded[:: -(-encoded.shape[0] // _SIDE), :: -(-encoded.shape[1] // _SIDE)]


def _middling(lightness: NDArray[np.float64], burnt: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Say which pixels are neither highlights nor shadows of the others."""
    some = lightness[~burnt] if not burnt.all() else lightness.ravel()
    middle = np.median(some)
    spread = max(1.4826 * float(np.median(np.abs(some - middle))), _LEAST_SPREAD)
    return np.asarray(np.abs(lightness - middle) <= _FAR * spread)


def _cell_means(values: NDArray[np.float64], keep: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return means over a grid of cells, shape (4, 4, 3), of the pixels kept; an empty cell has the mean."""
    whole = values[keep].mean(axis=0) if keep.any() else values.reshape(-1, 3).mean(axis=0)
    means = np.empty((_CELLS, _CELLS, 3))
    rows = np.array_split(np.arange(values.shape[0]), _CELLS)
    columns = np.array_split(np.arange(values.shape[1]), _CELLS)
    for i, row in enumerate(rows):
        for j, column in enumerate(columns):
            cell = np.ix_(row, column)
            kept = values[cell][keep[cell]]
            means[i, j] = kept.mean(axis=0) if len(kept) else whole
    return means


def _places() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return x and y of the cells' middles, shape (4, 4), from −½ to ½ of the area's sides."""
    steps = (np.arange(_CELLS) + 0.5) / _CELLS - 0.5
    y, x = np.meshgrid(steps, steps, indexing="ij")
    return x, y


def _fit(place: NDArray[np.float64], values: NDArray[np.float64]) -> float:
    """Return the slope of a straight line through cells, per side of the area."""
    return float((place * values).sum() / (place * place).sum())
