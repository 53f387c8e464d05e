"""A small picture of the pages, in half blocks: to see how a brief is laid out, not to read it."""

from collections.abc import Sequence

import numpy as np
from PIL import Image
from textual.geometry import Size
from textual.strip import Strip
from textual.widget import Widget

from planner.app.depth import Depth
from planner.app.half_blocks import strips

_GAP = 1
"""Lines between two pages."""


class Thumb(Widget):
    """Pages one below the other, as wide as there is room, or as high as one of two pages may be."""

    DEFAULT_CSS = "Thumb { width: 1fr; height: 1fr; }"

    def __init__(self, depth: Depth) -> None:
        super().__init__(id="thumb")
        self._depth = depth
        self._pages: tuple[Image.Image, ...] = ()
        self._drawn: list[Strip] = []
        self._for: tuple[Size, int] | None = None

    def show(self, pages: Sequence[Image.Image]) -> None:
        """Show pages."""
        self._pages, self._for = tuple(pages), None
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one line of cells."""
        size = self.size
        if self._for != (size, len(self._pages)):
            self._drawn, self._for = self._draw(size), (size, len(self._pages))
        return self._drawn[y] if y < len(self._drawn) else Strip.blank(size.width, self.rich_style)

    def _draw(self, size: Size) -> list[Strip]:
        if not self._pages or self._depth == "16" or min(size.width, size.height) < 4:
            return []
        room = (size.height - _GAP * (len(self._pages) - 1)) // len(self._pages)
        lines: list[Strip] = []
        for page in self._pages:
            if lines:
                lines += [Strip.blank(size.width, self.rich_style)] * _GAP
            wide = max(2, min(size.width, round(2 * room * page.width / page.height)))
            high = 2 * max(1, round(wide * page.height / page.width / 2))
            small = np.asarray(page.resize((wide, high), Image.Resampling.LANCZOS).convert("RGB"))
            lines += [
                one.extend_cell_length(size.width, self.rich_style) for one in strips(small, self._depth)
            ]
        return lines[: size.height]
