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


def strips(rgb: NDArray[np.uint8], depth: Depth) -> list[Strip]:
    """Return a picture as lines of cells.

    Parameters
    ----------
    rgb
        (2 · lines, columns, 3) sRGB.
    depth
        What the console can show. In 16 colours, of which nobody knows how they look, a cell is a shade
        of the text's own colour, by its lightness.

    """
    if depth == "16":
        light = srgb_to_lab(rgb)[..., 0].reshape(len(rgb) // 2, 2, -1).mean(axis=1)
        steps = (light / 100.0 * len(SHADES)).astype(int).clip(0, len(SHADES) - 1)
        plain = Style.null()  # without a style at all, a line that is shown paler ends the screen
        return [Strip([Segment("".join(SHADES[i] for i in line), plain)], len(line)) for line in steps]
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
