"""How many colours the console can show, and what that means for swatches and pictures."""

from functools import cache
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from planner.colour.screen import lab_to_srgb, parse_hex, srgb_to_lab, to_hex
from planner.colour.uniform import lab_to_cam16_ucs

Depth: TypeAlias = Literal["true", "256", "16", "grey"]
"""24 bits, 256 fixed colours, the console's own 16, or no colour because the person wants none."""

BANNERS: dict[Depth, str] = {
    "true": "",
    "256": "256 colours only: patches and picture are a shade off; go by names, figures.",
    "16": "16 colours only: patches mislead, pictures are shades; go by names, figures.",
    "grey": "NO_COLOR is set: patches grey, pictures letters; names, figures tell colours.",
}
"""What is said on top of every screen; nothing where colours are true."""

BRIEFLY: dict[Depth, str] = {
    "true": "",
    "256": "256 colours: go by names",
    "16": "16 colours: go by names",
    "grey": "NO_COLOR: go by names",
}
"""The same in a few words, where a picture would lose a row to it."""


def depth_of(color_system: str | None, *, no_color: bool) -> Depth:
    """Return what a console shows, from the name of its colour system as Rich finds it."""
    if no_color:
        return "grey"
    if color_system == "truecolor":
        return "true"
    return "256" if color_system == "256" else "16"


def as_shown(rgb: NDArray[np.uint8], depth: Depth) -> NDArray[np.uint8]:
    """Return a picture (..., 3) in the colours that a console has.

    In 256 colours each is the nearest of the console's in CAM16-UCS, which a console would round worse;
    without colour each is the grey of its own L*.
    """
    if depth == "256":
        table, palette = _nearest()
        return palette[table[tuple((rgb >> 3).astype(int)[..., i] for i in range(3))]]
    if depth == "grey":
        lab = srgb_to_lab(rgb)
        lab[..., 1:] = 0.0
        return lab_to_srgb(lab)[0]
    return rgb


def hex_shown(colour: str, depth: Depth) -> str:
    """Return one colour, "#2a4b9c", as a console has it."""
    return colour if depth == "true" else to_hex(as_shown(parse_hex(colour)[None], depth)[0])


@cache
def _nearest() -> tuple[NDArray[np.intp], NDArray[np.uint8]]:
    """Return which of the fixed colours is nearest, (32, 32, 32), and those colours (n, 3).

    The cube and the greys of xterm, those of them that Rich sends as themselves.
    """
    from rich.color import Color, ColorSystem

    levels = (0, 95, 135, 175, 215, 255)
    cube = [(r, g, b) for r in levels for g in levels for b in levels]
    greys = [(8 + 10 * i,) * 3 for i in range(24)]
    kept = []
    for number, triplet in enumerate([*cube, *greys], 16):
        if Color.from_rgb(*triplet).downgrade(ColorSystem.EIGHT_BIT).number == number:
            kept.append(triplet)
    palette = np.array(kept, dtype=np.uint8)
    axis = (np.arange(32) * 8 + 4).astype(np.uint8)
    grid = np.stack(np.meshgrid(axis, axis, axis, indexing="ij"), axis=-1)
    lab = lab_to_cam16_ucs(srgb_to_lab(grid).reshape(-1, 3))
    known = lab_to_cam16_ucs(srgb_to_lab(palette))
    nearness = lab @ known.T - 0.5 * (known * known).sum(axis=1)
    return nearness.argmax(axis=1).reshape(32, 32, 32), palette
