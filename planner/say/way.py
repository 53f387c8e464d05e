"""The way from the swatch through what is seen, in signs: for a text and for a screen alike.

A bracket along colours that would still do, and a pointer where the stones are. Lots and swatches that may
differ make the pointer longer. Nothing rests on colour.
"""

from dataclasses import dataclass
from itertools import groupby
from typing import Final

from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.fit import holds
from planner.reading.leeway import Leeway

HELP: Final = (
    "colours from your swatch towards that of the stones and past it; the bracket spans those that would "
    "still do, dashed where only just; the arrow is where the stones are, and its line where most batches "
    "may come out"
)
"""How it is read, in one sentence."""


@dataclass(frozen=True)
class Signs:
    """Characters of a bracket and a pointer in one direction."""

    line: str
    dashed: str
    first: str
    last: str
    only: str
    pointer: str
    along: str


ACROSS: Final = Signs("━", "╍", "┗", "┛", "╹", "▼", "─")
DOWN: Final = Signs("┃", "╏", "┓", "┛", "╸", "▶", "│")


def colours(found: Leeway, count: int) -> list[str]:
    """Return `count` colours in even steps, "#rrggbb"."""
    return [to_hex(one) for one in lab_to_srgb(found.colours(count))[0]]


def pointer(found: Leeway, count: int, signs: Signs) -> list[str]:
    """Return the pointer's signs, a blank in every other cell."""
    low, at, high = (found.step(one, count) for one in (found.low, found.seen, found.high))
    drawn = [signs.along if low <= one <= high else " " for one in range(count)]
    drawn[at] = signs.pointer
    return drawn


def bracket(found: Leeway, count: int, signs: Signs) -> list[str]:
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
