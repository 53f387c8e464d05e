"""Lightness beside the plane: a scale of greys from black to white, with the same letters."""

from typing import Any

import numpy as np
from textual.strip import Strip
from textual.widget import Widget

from planner.app.depth import Depth, as_shown
from planner.app.parts.cells import Cell, strip
from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.read import Reading

WIDTH = 11
"""Cells across: a bar of two, and room for letters and words."""


class LightnessScale(Widget):
    """L* of bare stone, result and swatch; lightest on top."""

    DEFAULT_CSS = f"LightnessScale {{ width: {WIDTH}; }}"

    def __init__(self, reading: Reading, depth: Depth, **rest: Any) -> None:
        """Take what to draw, and what the console shows."""
        super().__init__(**rest)
        self._depth = depth
        self._marks = (
            ("C", reading.seen.lab[0]),
            ("S", reading.swatch.lab[0]),
            ("U", reading.uncoated.lab[0]),
        )

    def render_line(self, y: int) -> Strip:
        """Return one line."""
        rows = self.size.height
        letters = "".join(letter for letter, lightness in self._marks if _row(lightness, rows) == y)
        words = {0: "lighter", rows - 1: "darker"}.get(y, "")
        bar = self._bar(y, rows)
        text = (f"◂{letters}" if letters else f" {words}").ljust(WIDTH - 3)
        cells = [Cell(), *bar, *(Cell(character, bold=bool(letters)) for character in text)]
        return strip(cells, self.rich_style)

    def _bar(self, y: int, rows: int) -> list[Cell]:
        if self._depth == "16":
            return [Cell("│"), Cell()]
        lightness = 100.0 * (1.0 - (np.array([2 * y, 2 * y + 1]) + 0.5) / (2 * rows))
        lab = np.stack([lightness, np.zeros(2), np.zeros(2)], axis=-1)
        top, bottom = (to_hex(grey) for grey in as_shown(lab_to_srgb(lab)[0], self._depth))
        return [Cell("▀", top, bottom)] * 2


def _row(lightness: float, rows: int) -> int:
    """Return the line of an L*; what is lighter than white or darker than black is at the end."""
    return int(np.clip((1.0 - lightness / 100.0) * rows, 0, rows - 1))
