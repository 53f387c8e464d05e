"""A picture in half blocks: two pixels to a cell, one above the other; in letters where colours are few."""

from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from planner.app.depth import Depth, as_shown
from planner.colour.screen import srgb_to_lab

HALF = "▀"

SHADES = " ░▒▓█"
"""Fills from dark to light."""

LETTERS = " .:-=+*#%@"
"""Letters from dark to light, by how much of a cell they ink."""

_LEAST_SPAN = 25.0
"""L* between the darkest and the lightest letter at least: a plain ground stays plain."""


def strips(rgb: NDArray[np.uint8], depth: Depth) -> list[Strip]:
    """Return a picture as lines of cells.

    Parameters
    ----------
    rgb
        (2 · lines, columns, 3) sRGB.
    depth
        What the console can show. In 16 colours, of which nobody knows how they look, a cell is a shade of
        the text's own colour, and a letter where no colour is wanted: by how light it is in this picture.

    """
    if depth in ("16", "grey"):
        fills = SHADES if depth == "16" else LETTERS
        light = srgb_to_lab(rgb)[..., 0].reshape(len(rgb) // 2, 2, -1).mean(axis=1)
        low, high = np.percentile(light, (2, 98))
        steps = ((light - low) / max(high - low, _LEAST_SPAN) * len(fills)).astype(int)
        lines = ("".join(fills[i] for i in line) for line in steps.clip(0, len(fills) - 1))
        plain = Style.null()  # without a style at all, a line that is shown paler ends the screen
        return [Strip([Segment(line, plain)], len(line)) for line in lines]
    shown = as_shown(rgb, depth)
    packed = (shown.astype(np.uint32) * np.array([65536, 256, 1], np.uint32)).sum(axis=-1)
    upper, lower = packed[0::2], packed[1::2]
    return [_line(top, bottom) for top, bottom in zip(upper, lower, strict=True)]


def _line(top: NDArray[np.uint32], bottom: NDArray[np.uint32]) -> Strip:
    """Return one line; cells alike in a row are one segment."""
    changes = (
        np.flatnonzero((np.diff(top.astype(np.int64)) != 0) | (np.diff(bottom.astype(np.int64)) != 0)) + 1
    )
    starts = [0, *changes.tolist(), len(top)]
    segments = [
        Segment(HALF * (end - start), _style(int(top[start]), int(bottom[start])))
        for start, end in pairwise(starts)
    ]
    return Strip(segments, len(top))


@lru_cache(maxsize=16_384)
def _style(top: int, bottom: int) -> Style:
    return Style(color=_colour(top), bgcolor=_colour(bottom))


def _colour(packed: int) -> Color:
    return Color.from_rgb(packed >> 16, packed >> 8 & 255, packed & 255)
