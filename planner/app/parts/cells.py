"""Cells drawn by ourselves: a line of them or of plain colours as a strip, and lines of dots in braille."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from rich.segment import Segment
from rich.style import Style
from textual.content import Content
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


def flat(line: Content, base: Style) -> Strip:
    """Return a line whose styles are such as "#rrggbb on #rrggbb" and lie side by side.

    The library's own way, which knows all styles, takes several times as long, and a key waits for it.
    """
    segments, done, text = [], 0, line.plain
    for span in sorted(line.spans):
        if span.start > done:
            segments.append(Segment(text[done : span.start], base))
        segments.append(Segment(text[span.start : span.end], base + _parsed(str(span.style))))
        done = span.end
    if done < len(text):
        segments.append(Segment(text[done:], base))
    return Strip(segments, line.cell_length)


_parsed = lru_cache(maxsize=8192)(Style.parse)


_BITS: Final = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
"""Weight of each dot of a cell, rows from the top."""

BLANK: Final = "⠀"


def characters(dots: NDArray[np.bool_]) -> list[str]:
    """Return rows of braille for dots, shape (4 H, 2 W): H strings of W characters."""
    high, wide = dots.shape[0] // 4, dots.shape[1] // 2
    cells = dots.reshape(high, 4, wide, 2).transpose(0, 2, 1, 3)
    codes = 0x2800 + (cells * _BITS).sum(axis=(2, 3))
    return ["".join(map(chr, row)) for row in codes]


def draw_line(
    dots: NDArray[np.bool_],
    start: tuple[float, float],
    end: tuple[float, float],
    *,
    on: int = 1,
    off: int = 0,
) -> None:
    """Set the dots from `start` to `end`, each (x, y) in dots from the top left.

    `on` dots are drawn, then `off` left out, and so on. What lies outside is left out.
    """
    length = int(max(abs(end[0] - start[0]), abs(end[1] - start[1]), 1.0))
    steps = np.arange(length + 1)
    along = (steps[steps % (on + off) < on] / length).astype(np.float64)
    set_dots(dots, start[0] + along * (end[0] - start[0]), start[1] + along * (end[1] - start[1]))


def set_dots(dots: NDArray[np.bool_], x: NDArray[np.float64], y: NDArray[np.float64]) -> None:
    """Set the dots nearest to points; what lies outside is left out."""
    column, row = np.rint(x).astype(int), np.rint(y).astype(int)
    inside = (column >= 0) & (column < dots.shape[1]) & (row >= 0) & (row < dots.shape[0])
    dots[row[inside], column[inside]] = True
