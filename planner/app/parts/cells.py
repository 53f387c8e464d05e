"""Lines of cells, each with its own ink and ground, as Textual paints them."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip


class Cell(NamedTuple):
    """One character."""

    text: str = " "
    ink: str | None = None
    """"#rrggbb", or None for the widget's own."""
    ground: str | None = None
    bold: bool = False


@lru_cache(maxsize=8192)
def _style(ink: str | None, ground: str | None, bold: bool) -> Style:
    return Style(color=ink, bgcolor=ground, bold=bold or None)


def strip(cells: Sequence[Cell], base: Style) -> Strip:
    """Return a line of cells; those alike in a row become one segment."""
    segments = [
        Segment("".join(cell.text for cell in run), base + _style(*look))
        for look, run in groupby(cells, key=lambda cell: (cell.ink, cell.ground, cell.bold))
    ]
    return Strip(segments, len(cells))
