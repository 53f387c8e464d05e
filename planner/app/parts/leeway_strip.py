"""The way from the swatch through what is seen, in cells.

Colours in even steps, a bracket along those that would still do, and a pointer where the stones are. It runs
across below two patches that lie side by side, and down beside two that lie one above the other, so that its
beginning touches the swatch. Lots and swatches that may differ make the pointer longer. Signs alone tell it:
nothing rests on colour, and where there is none the steps are greys.
"""

from dataclasses import dataclass
from itertools import groupby
from typing import Final

from textual.content import Content

from planner.app.depth import Depth, hex_shown
from planner.app.parts.patch import ink_on
from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.fit import holds
from planner.reading.leeway import Leeway

ROWS: Final = 2
"""Rows that it takes across at least: colours and bracket."""

COLUMNS: Final = 3
"""Columns that it takes down: colours in two, and bracket."""

HELP: Final = (
    "colours on the way from your swatch to the stones; the bracket spans those that would still do, dashed "
    "where only just, and the arrow is where the stones are, with a line as long as batches differ"
)
"""How it is read, in one sentence."""


@dataclass(frozen=True)
class _Signs:
    """Characters of a bracket and a pointer in one direction."""

    line: str
    dashed: str
    first: str
    last: str
    only: str
    pointer: str
    along: str


_ACROSS: Final = _Signs("━", "╍", "┗", "┛", "╹", "▼", "─")
_DOWN: Final = _Signs("┃", "╏", "┓", "┛", "╸", "▶", "│")


def across(found: Leeway, width: int, rows: int, depth: Depth) -> list[Content]:
    """Return lines of cells: colours in all rows but the last, the pointer lowest, the bracket below."""
    colours = _colours(found, width, depth)
    plain = Content("").join(Content.styled(" ", f"on {one}") for one in colours)
    pointed = Content("").join(
        Content.styled(sign, f"{ink_on(one)} on {one}")
        for sign, one in zip(_pointer(found, width, _ACROSS), colours, strict=True)
    )
    return [*[plain] * (rows - ROWS), pointed, Content("".join(_bracket(found, width, _ACROSS)))]


def down(found: Leeway, rows: int, depth: Depth) -> list[Content]:
    """Return lines of cells: colours, the pointer at their right edge, and the bracket beside it."""
    cells = zip(
        _colours(found, rows, depth), _pointer(found, rows, _DOWN), _bracket(found, rows, _DOWN), strict=True
    )
    return [Content.assemble((f" {sign}", f"{ink_on(one)} on {one}"), mark) for one, sign, mark in cells]


def _colours(found: Leeway, count: int, depth: Depth) -> list[str]:
    return [hex_shown(to_hex(one), depth) for one in lab_to_srgb(found.colours(count))[0]]


def _pointer(found: Leeway, count: int, signs: _Signs) -> list[str]:
    """Return the pointer's signs, a blank in every other cell."""
    low, at, high = (found.step(one, count) for one in (found.low, found.seen, found.high))
    drawn = [signs.along if low <= one <= high else " " for one in range(count)]
    drawn[at] = signs.pointer
    return drawn


def _bracket(found: Leeway, count: int, signs: _Signs) -> list[str]:
    """Return the bracket's signs: open where it goes on beyond the end, a blank where nothing would do."""
    drawn: list[str] = []
    outcomes = found.outcomes(count)
    for does, run in groupby(outcomes, key=holds):
        part = [signs.line if one == "passes" else signs.dashed for one in run]
        if not does:
            part = [" "] * len(part)
        elif len(part) == 1:
            part = [signs.only]
        else:
            part[0] = signs.first
            if len(drawn) + len(part) < count:
                part[-1] = signs.last
        drawn += part
    return drawn
