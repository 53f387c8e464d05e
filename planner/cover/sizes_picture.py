"""Stone sizes as discs in true proportion, beside a coin-sized circle and over a millimetre rule."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.sizes import size
from planner.refusal import InvalidValue

COIN_MM = 23.25
"""Diameter of the coin-sized circle: a one-euro coin's (from memory of the coin's specification)."""

COIN = "coin"
"""What the coin-sized circle is called."""

USUAL = ("SS6", "SS8", "SS10", "SS16", "SS20", "SS30", "SS34", "SS40", "SS48")
"""Sizes shown when none are named."""

USUAL_MM = 0.5
"""Millimetres to a column where nobody says how wide a column is: the coin and a size or two fit beside
each other in 80 columns, and a tenth of a millimetre is lost."""

_MARKS = " ▀▄█"
_GAP = 2


@dataclass(frozen=True)
class _Disc:
    label: str
    mm: float
    outline: bool = False


def usual_mm(columns: int) -> float:
    """Return millimetres to a column where nobody says how wide a column is: `USUAL_MM`, if the coin fits."""
    return USUAL_MM if columns >= COIN_MM / USUAL_MM + 1 else math.ceil(10.0 * COIN_MM / (columns - 1)) / 10.0


def size_picture(names: Sequence[str], columns: int = 80, mm: float = USUAL_MM) -> tuple[str, ...]:
    """Return lines of text: the coin-sized circle, a disc for each size, a rule.

    Parameters
    ----------
    names
        Sizes such as ``SS20``.
    columns
        Width of the picture; a shelf that is full goes on below.
    mm
        Millimetres to a column; a line is twice as high as a column is wide. At the width that a column
        has on a person's own screen the picture is life-sized.

    Raises
    ------
    ValueError
        If the coin does not fit.

    """
    discs = [_Disc(COIN, COIN_MM, outline=True), *(_Disc(name, size(name).nominal_mm) for name in names)]
    if max(one.mm for one in discs) / mm + 1 > columns:
        raise InvalidValue(
            f"found {mm:g} mm to a column; a circle of {COIN_MM:g} mm does not fit into {columns} columns, "
            f"so at least {COIN_MM / (columns - 1):.2f} are needed"
        )
    shelves: list[list[_Disc]] = [[]]
    used = 0
    for one in discs:
        wide = _width(one, mm) + _GAP
        if used + wide > columns + _GAP and shelves[-1]:
            shelves.append([])
            used = 0
        shelves[-1].append(one)
        used += wide
    return (*(line for shelf in shelves for line in _shelf(shelf, mm)), *rule(columns, mm))


def rule(columns: int, mm: float) -> tuple[str, str]:
    """Return a millimetre rule: a mark each millimetre, a longer one each ten, and its numbers."""
    marks, numbers = [" "] * columns, [" "] * columns
    each = 1 if mm <= 0.5 else 5 if mm <= 2.5 else 10
    for at in range(0, int((columns - 1) * mm) + 1, each):
        place = round(at / mm)
        marks[place] = "┃" if at % 10 == 0 else "╵"
        label = str(at)
        if at % 10 == 0 and place + len(label) <= columns:
            numbers[place : place + len(label)] = label
    return "".join(marks).rstrip(), "".join(numbers).rstrip() + " mm"


def _width(one: _Disc, mm: float) -> int:
    return max(int(np.ceil(one.mm / mm)), len(one.label))


def _shelf(discs: Sequence[_Disc], mm: float) -> tuple[str, ...]:
    """Return discs side by side on one ground line, their labels below."""
    drawn = [_half_blocks(one, mm) for one in discs]
    high = max(map(len, drawn))
    lines = []
    for level in range(high):
        parts = [
            (block[level - high + len(block)] if level >= high - len(block) else "").ljust(
                _width(one, mm) + _GAP
            )
            for one, block in zip(discs, drawn, strict=True)
        ]
        lines.append("".join(parts).rstrip())
    labels = "".join(one.label.ljust(_width(one, mm) + _GAP) for one in discs).rstrip()
    return (*lines, labels, "")


def _half_blocks(one: _Disc, mm: float) -> list[str]:
    """Return a disc, or a ring, in half blocks: a pixel is set where its middle lies inside."""
    pixels = int(np.ceil(one.mm / mm))
    pixels += pixels % 2
    at = (np.arange(pixels) + 0.5 - 0.5 * pixels) * mm
    distance = np.hypot(at[:, None], at[None, :])
    inside = distance <= 0.5 * one.mm
    if one.outline:
        inside &= distance > 0.5 * one.mm - 1.2 * mm
    return _lines(inside)


def _lines(pixels: NDArray[np.bool_]) -> list[str]:
    code = pixels[0::2].astype(int) + 2 * pixels[1::2].astype(int)
    return ["".join(_MARKS[mark] for mark in row) for row in code]
