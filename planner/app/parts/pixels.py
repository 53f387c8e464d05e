"""Real pixels where the terminal has them: how that is found out, and what shows them.

`textual-image` asks the terminal for Kitty's graphics and sixel before the interface takes the keyboard.
Whatever stands in the way of that leaves half blocks. ``PLANNER_PICTURES`` in the environment decides
instead of the terminal.
"""

import logging
import os
import re
import sys
from typing import TYPE_CHECKING, Final, Literal, TypeAlias, cast, get_args

import numpy as np
from numpy.typing import NDArray

from planner.refusal import Refusal

if TYPE_CHECKING:
    from PIL.Image import Image
    from textual_image.widget import SixelImage, TGPImage

Way: TypeAlias = Literal["kitty", "sixel", "blocks"]
"""How a picture is sent to the terminal."""

VARIABLE: Final = "PLANNER_PICTURES"

_PLACING: Final = (0, 28)
"""Version of kitty from which its documentation has pictures placed by characters."""

_PATIENCE: Final = 0.1
"""Seconds for the terminal to say its name."""

MOST: Final = 90_000
"""Pixels that are drawn at most, about a second's work; a larger picture is scaled up."""


def way_of() -> Way:
    """Return how pictures are best shown here: as the environment asks, else as the terminal can.

    Raises
    ------
    Refusal
        If the environment asks for what there is not.

    """
    wanted = os.environ.get(VARIABLE, "").strip().lower()
    if wanted not in {"", "auto", *get_args(Way)}:
        raise Refusal(f"{VARIABLE}: found {wanted!r}; allowed are auto, {', '.join(get_args(Way))}")
    if wanted in get_args(Way):
        return cast("Way", wanted)
    # In a browser's window, say, there is nobody to ask, and who asks takes a while to import.
    return _asked() if sys.__stdout__ is not None and sys.__stdout__.isatty() else "blocks"


def _asked() -> Way:
    """Return what the terminal says it can: the library asks it when it is imported."""
    try:
        logging.getLogger("textual_image").addHandler(logging.NullHandler())  # the screen is no place for it
        from textual_image import renderable, widget  # noqa: F401 - the second asks for the size of a cell

        if renderable.Image is renderable.SixelImage:
            return "sixel"
        return "kitty" if renderable.Image is renderable.TGPImage and _places(_name()) else "blocks"
    except Exception:  # noqa: BLE001 - whatever a terminal answers, or the library makes of it, blocks will do
        return "blocks"


def _name() -> str:
    """Return how the terminal calls itself: "kitty(0.32.2)"."""
    from textual_image._terminal import capture_terminal_response

    begins, ends = "\x1bP>|", "\x1b\\"
    with capture_terminal_response(begins, ends, _PATIENCE) as answer:
        sys.__stdout__.write("\x1b[>q")  # type: ignore[union-attr]  # that it is there was asked before
        sys.__stdout__.flush()  # type: ignore[union-attr]
    return str(answer.sequence).removeprefix(begins).removesuffix(ends)


def _places(name: str) -> bool:
    """Say whether a terminal places a picture by the characters that the library prints for it.

    Some draw pictures and do not know those: they would show boxes.
    """
    if name.lower().startswith("ghostty"):
        return True
    version = re.match(r"kitty\((\d+)\.(\d+)", name)
    return version is not None and (int(version[1]), int(version[2])) >= _PLACING


def pixel_image(way: Way) -> "TGPImage | SixelImage":
    """Return a widget that shows its `image` in pixels."""
    if way == "kitty":
        from textual_image.widget import TGPImage

        return TGPImage()
    from planner.app.parts.sixels import DitheredImage

    return DitheredImage()


def pixels_of(columns: int, rows: int) -> tuple[int, int]:
    """Return how many pixels across and down a picture of so many cells is drawn in."""
    from textual_image.widget import get_cell_size  # type: ignore[attr-defined]  # asked when imported

    cell = get_cell_size()
    wide, high = columns * cell.width, rows * cell.height
    fewer = min(1.0, (MOST / (wide * high)) ** 0.5)
    return max(1, round(fewer * wide)), max(1, round(fewer * high))


def below(rgb: NDArray[np.uint8], rows: int, top: int) -> "Image":
    """Return a picture of so many rows of cells without the uppermost `top` of them."""
    from PIL import Image

    return Image.fromarray(rgb[round(len(rgb) * top / rows) :])
