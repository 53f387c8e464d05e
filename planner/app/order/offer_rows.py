"""Offers as lines of a table: one line for each pack, its cost drawn as a bar beside those of its like."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from textual.content import Content

from planner.app.parts.tones import SIGNS
from planner.order.landed import Alike, Priced, rounded
from planner.reading.concern import SEVERITIES, Concern
from planner.say.table import cut

_EIGHTHS: Final = " ▏▎▍▌▋▊▉"
_BAR_MOST: Final = 40
_MATERIAL: Final[dict[str | None, str]] = {"lead-free crystal": "lead-free", None: "not stated"}


@dataclass(frozen=True)
class Column:
    """One column."""

    key: str
    title: str
    width: int
    cell: Callable[[Priced], str]
    order: Callable[[Priced], Any]
    right: bool = True
    least: int = 0
    """Cells of the whole line below which it is left out."""


def _days(number: int | None) -> str:
    return "?" if number is None else f"{number}"


def _back(one: Priced) -> str:
    days = one.offer.returns
    return "?" if days is None else "none" if days == 0 else f"{days}"


def _unsaid(one: Priced) -> str:
    return ", ".join(one.cost.missing) or "–"


COLUMNS: Final = (
    Column("seller", "Seller", 16, lambda one: one.offer.seller, lambda one: one.offer.seller.casefold(),
           right=False),
    Column("made", "Made of", 12, lambda one: _MATERIAL.get(one.offer.material) or str(one.offer.material),
           lambda one: one.offer.material or "~", right=False, least=100),
    Column("stones", "Stones", 6, lambda one: f"{one.offer.count:,}", lambda one: one.offer.count),
    Column("pack", "A pack", 8, lambda one: rounded(one.cost.total), lambda one: one.cost.total, least=90),
    Column("stone", "A stone", 7, lambda one: f"{one.cost.per_stone:.4f}", lambda one: one.cost.per_stone),
    Column("gross", "A gross", 8,
           lambda one: rounded(one.cost.per_gross) + ("*" if one.cost.missing else " "),
           lambda one: one.cost.per_stone),
    Column("thousand", "1,000", 8, lambda one: rounded(one.cost.per_thousand),
           lambda one: one.cost.per_stone),
    Column("days", "Days", 4, lambda one: _days(one.offer.delivery_days),
           lambda one: (one.offer.delivery_days is None, one.offer.delivery_days or 0)),
    Column("back", "Back", 4, _back, lambda one: -1 if one.offer.returns is None else -one.offer.returns),
    Column("unsaid", "Not stated", 22, _unsaid, lambda one: len(one.cost.missing), right=False, least=130),
)  # fmt: skip
"""Every column from the left; the bar takes what is left of the line."""

_SORTS: Final = ("gross", "seller", "stones", "days", "back", "unsaid", "made", "pack")
"""In which order `o` steps through them."""


def columns(width: int) -> tuple[Column, ...]:
    """Return the columns that a line of so many cells has room for."""
    return tuple(one for one in COLUMNS if width >= one.least)


def sorts(width: int) -> tuple[str, ...]:
    """Return what can be sorted by, the usual first."""
    there = {one.key for one in columns(width)}
    return tuple(one for one in _SORTS if one in there)


def head(width: int, by: str, *, turned: bool) -> Content:
    """Return the line of titles; that of the column sorted by is underlined and has an arrow."""
    parts: list[Any] = ["   "]
    for one in columns(width):
        title = one.title
        if one.key == by:
            title = f"{title[: one.width - 1]}{'▲' if turned else '▼'}"
        padded = title.rjust(one.width) if one.right else title.ljust(one.width)
        blank = len(padded) - len(title)
        pieces = [padded[:blank], (title, "underline")] if one.right else [(title, "underline"), " " * blank]
        parts += [*pieces, " "] if one.key == by else [padded, " "]
    return Content.assemble(*parts).stylize("$secondary")


def column_at(x: int, width: int) -> str | None:
    """Return the column whose title stands at a cell; None beside them."""
    edge = 3
    for one in columns(width):
        if edge <= x < edge + one.width:
            return one.key
        edge += one.width + 1
    return None


def ordered(group: Alike, by: str, *, turned: bool) -> list[Priced]:
    """Return a group's offers in order; equals stay the cheapest first."""
    key = next(one.order for one in COLUMNS if one.key == by)
    return sorted(group.priced, key=key, reverse=turned)


def line(one: Priced, concerns: Sequence[Concern], most: Decimal, width: int) -> Content:
    """Return an offer as one line with its bar; `most` is the dearest gross of its like."""
    worst = min((SEVERITIES.index(each.severity) for each in concerns), default=None)
    mark, style = (" ", "") if worst is None else SIGNS[SEVERITIES[worst]]
    parts: list[Any] = [" ", (mark, style), " "]
    used = 3
    for column in columns(width):
        text = cut(column.cell(one), column.width)
        parts += [text.rjust(column.width) if column.right else text.ljust(column.width), " "]
        used += column.width + 1
    parts.append((bar(one.cost.per_gross, most, min(width - used - 1, _BAR_MOST)), "$primary"))
    return Content.assemble(*parts)


def bar(amount: Decimal, most: Decimal, width: int) -> str:
    """Return a bar as long as an amount is of the most, in eighths of a cell."""
    if width < 1:
        return ""
    eighths = max(1, int(amount / most * width * 8)) if most else 1
    return "█" * (eighths // 8) + _EIGHTHS[eighths % 8].strip()
