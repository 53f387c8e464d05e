"""How money, days and counts are told, wherever they are."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Final

from planner.catalogue.errors import cut_short

_MINUTES: Final = 0.25
"""Hours below which a time is a few minutes."""

__all__ = ["between", "counted", "cut_short", "day", "hours_between", "lux", "money", "numbered"]


def money(amount: Decimal, currency: str) -> str:
    """Return an amount with its currency: "1,096.40 EUR"."""
    return f"{amount:,.2f} {currency}"


def day(value: date) -> str:
    """Return a day as everybody reads it alike: "2031-03-14" (ISO 8601)."""
    return value.isoformat()


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun: "1 pack", "1,200 packs"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def lux(value: float) -> str:
    """Return an illuminance in lx to three figures: "1,150 lx"."""
    return f"{float(f'{value:.3g}'):,g} lx"


def numbered(lines: Sequence[int]) -> str:
    """Return numbers of a job's lines as part of a sentence: "line 2", "lines 1, 3"."""
    return f"line{'' if len(lines) == 1 else 's'} {', '.join(map(str, lines))}"


def between(least: float, most: float, unit: str, digits: int) -> str:
    """Return a range of an amount, never from nothing or to the same: "under 0.1 ml", "about 0.3 ml"."""
    low, high = f"{least:,.{digits}f}", f"{most:,.{digits}f}"
    if float(most) < 0.5 * 10.0**-digits:
        return f"under {10.0**-digits:g} {unit}"
    if low == high:
        return f"about {high} {unit}"
    return f"up to {high} {unit}" if float(low.replace(",", "")) == 0.0 else f"{low} to {high} {unit}"


def hours_between(least: float, most: float) -> str:
    """Return how long something takes: "a few minutes", "about 0.5 h", "2.0 to 5.5 h"."""
    if most < _MINUTES:
        return "a few minutes"
    return between(least, most, "h", 1 if most < 10 else 0)
