"""Stone sizes: what an SS number is in millimetres.

``shared/stone_sizes.csv`` has ranges in common use for SS000 to SS10, SS12, SS16 and SS20 to SS39, and
nominal values alone for SS40, SS42 and SS48. For other sizes nothing is in common use; they are refused.
"""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from planner.data import shared
from planner.refusal import InvalidValue, show

COMMON = (
    "SS3", "SS4", "SS5", "SS6", "SS7", "SS8", "SS9", "SS10", "SS12", "SS16", "SS20", "SS30", "SS34", "SS40",
    "SS48",
)  # fmt: skip
"""Sizes that are commonly sold (common practice, no source)."""

FITS_MM = 0.35
"""Farthest from a size's usual range at which millimetres are still taken for it: SS20 ends at 4.8 mm,
and sellers write 5 (our choice)."""

_SPELLINGS = re.compile(r"\s*(?:ss\s*(\d{1,3})|(\d{1,3})\s*ss)\s*", re.IGNORECASE)


@dataclass(frozen=True)
class StoneSize:
    """A stone size and its diameter."""

    name: str
    """``SS`` and the number, such as ``SS20``."""

    min_mm: float | None
    """Smallest diameter, mm; None where only a nominal value is in common use."""

    max_mm: float | None
    """Largest diameter, mm; None where only a nominal value is in common use."""

    nominal_mm: float
    """Nominal diameter in common use, mm; the middle of the range where there is none."""


@cache
def sizes() -> dict[str, StoneSize]:
    """Return every known size by name, smallest first."""
    with shared("stone_sizes.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return {one.name: one for one in map(_stone_size, rows)}


def _stone_size(row: dict[str, str]) -> StoneSize:
    low, high, nominal = (float(row[key]) if row[key] else None for key in ("min_mm", "max_mm", "nominal_mm"))
    if nominal is None:
        if low is None or high is None:
            raise InvalidValue(f"stone_sizes.csv, SS{row['ss']}: neither a range nor a nominal diameter")
        nominal = round((low + high) / 2, 3)
    return StoneSize(f"SS{row['ss']}", low, high, nominal)


def size(name: str) -> StoneSize:
    """Return the size called `name`: ``SS20``, ``ss20``, ``SS 20`` or ``20ss``.

    Raises
    ------
    ValueError
        If no millimetres are in common use for it; the sentence names its neighbours.

    """
    return sizes()[check_size(name)]


def check_size(value: Any) -> str:
    """Return the usual spelling of a size, ``SS20``, or refuse it with a ValueError."""
    match = _SPELLINGS.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        raise InvalidValue(f"found {show(value)}; a stone size must be SS and a number, such as SS20")
    number = match[1] or match[2]
    name = f"SS{number}"
    if name not in sizes():
        raise InvalidValue(
            f"found {show(value)}; no millimetres are in common use for {name}: {_neighbours(int(number))}"
        )
    return name


_MILLIMETRES = re.compile(r"(\d+(?:[.,]\d+)?)\s*mm", re.IGNORECASE)
_APART = re.compile(r"[\s,;/&+]+|\band\b", re.IGNORECASE)


def sizes_said(text: str) -> tuple[str, ...]:
    """Return the sizes that a person wrote in one line, smallest first: "SS12 16 20", "20", "5 mm".

    Parameters
    ----------
    text
        SS numbers, of which the first alone needs its SS (or none does), and millimetres.

    Raises
    ------
    InvalidValue
        If a part is no size, or no size is near so many millimetres.

    """
    found: set[str] = set()

    def near(match: re.Match[str]) -> str:
        mm = float(match[1].replace(",", "."))
        name = size_of(mm)
        if name is None:
            raise InvalidValue(f"found {show(match[0])}; the nearest common size is {nearest_common(mm)}")
        found.add(name)
        return " "

    rest = _MILLIMETRES.sub(near, text)
    joined = re.sub(r"(?i)\bss[\s-]+(?=\d)", "SS", rest)
    for part in filter(None, _APART.split(joined)):
        if part.lower() not in {"ss", "sizes", "size"}:
            found.add(check_size(f"SS{part}" if part.isdigit() else part))
    if not found:
        raise InvalidValue(f"found {show(text)}; sizes are written like SS12 16 20, or 5 mm")
    known = list(sizes())
    return tuple(sorted(found, key=known.index))


def off_mm(name: str, mm: float) -> float:
    """Return how far millimetres are from a size's usual range; 0 within it.

    Whole millimetres are how sellers round: those that the nominal diameter rounds to are right.
    """
    one = size(name)
    if mm == int(mm) and round(one.nominal_mm) == mm:
        return 0.0
    low, high = one.min_mm or one.nominal_mm, one.max_mm or one.nominal_mm
    return round(max(low - mm, mm - high, 0.0), 3)


def size_of(mm: float) -> str | None:
    """Return the common size that millimetres are taken for; None where none is near."""
    near = nearest_common(mm)
    return near if off_mm(near, mm) <= FITS_MM else None


def nearest_common(mm: float) -> str:
    """Return the common size whose range, and then whose nominal diameter, is nearest."""
    return min(COMMON, key=lambda name: (off_mm(name, mm), abs(sizes()[name].nominal_mm - mm)))


def _neighbours(number: int) -> str:
    """Return the known sizes on either side of `number`."""
    known = [(int(name[2:]), name) for name in sizes() if not name.startswith("SS00")]
    below = [name for value, name in known if value < number][-1:]
    above = [name for value, name in known if value > number][:1]
    return (
        "the nearest known are " + " and ".join(below + above)
        if below and above
        else (f"the nearest known is {(below + above)[0]}")
    )


def sizes_in_short(names: Sequence[str]) -> str:
    """Return sizes as people write them in one line, "SS12 16 20"; `sizes_said` reads it."""
    return f"SS{' '.join(one.removeprefix('SS') for one in names)}"
