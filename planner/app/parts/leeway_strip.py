"""The way from the swatch through what is seen, in cells: its signs on and beside its colours.

It runs across below two patches that lie side by side, and down beside two that lie one above the other, so
that its beginning touches the swatch. Where there is no colour the steps are greys.
"""

from typing import Final

from textual.content import Content

from planner.app.depth import Depth, hex_shown
from planner.colour.screen import ink_on
from planner.reading.leeway import Leeway
from planner.say.way import ACROSS, DOWN, bracket, colours, pointer

ROWS: Final = 2
"""Rows that it takes across at least: colours and bracket."""

COLUMNS: Final = 3
"""Columns that it takes down: colours in two, and bracket."""


def across(found: Leeway, width: int, rows: int, depth: Depth) -> list[Content]:
    """Return lines of cells: colours in all rows but the last, the pointer lowest, the bracket below."""
    shown = [hex_shown(one, depth) for one in colours(found, width)]
    plain = Content("").join(Content.styled(" ", f"on {one}") for one in shown)
    pointed = Content("").join(
        Content.styled(sign, f"{ink_on(one)} on {one}")
        for sign, one in zip(pointer(found, width, ACROSS), shown, strict=True)
    )
    return [*[plain] * (rows - ROWS), pointed, Content("".join(bracket(found, width, ACROSS)))]


def down(found: Leeway, rows: int, depth: Depth) -> list[Content]:
    """Return lines of cells: colours, the pointer at their right edge, and the bracket beside it."""
    shown = [hex_shown(one, depth) for one in colours(found, rows)]
    cells = zip(shown, pointer(found, rows, DOWN), bracket(found, rows, DOWN), strict=True)
    return [Content.assemble((f" {sign}", f"{ink_on(one)} on {one}"), mark) for one, sign, mark in cells]
