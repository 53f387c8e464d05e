"""Which column is which: headings matched whatever their order, case and wording."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path

from planner.catalogue.errors import show
from planner.catalogue.money import is_currency
from planner.order.sheet import Sheet, letter
from planner.order.words import plain, words
from planner.refusal import Refusal

NEEDED = ("count", "price")
"""Fields without which an offer says nothing."""

MOST_LETTERS = 80
"""Letters kept of a heading."""

MONEY = ("price", "former_price", "shipping", "duty", "tax", "handling")
"""Fields that hold money."""

_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]")
_CODE = re.compile(r"\b[A-Z]{3}\b")


@dataclass(frozen=True)
class Column:
    """A column of the file and what it was taken for."""

    index: int
    """From 0."""

    heading: str
    """As written."""

    field: str | None
    """Field of an offer; None where it was not understood."""

    currency: str | None = None
    """Currency that the heading names, as a code or a sign."""

    guessed: bool = False
    """Whether the heading was misspelt and taken for the nearest."""

    @property
    def name(self) -> str:
        """What a person finds it by."""
        return f"column {letter(self.index)} ({show(self.heading)})"


def columns(sheet: Sheet) -> tuple[Column, ...]:
    """Return every headed column, from the first row of a sheet.

    Raises
    ------
    Refusal
        If a needed column is missing, two columns are taken for one field, or no offer follows.

    """
    number, heads = sheet.rows[0]
    names = [
        " ".join("".join(one if one.isprintable() else " " for one in str(cell)).split()) for cell in heads
    ]
    found = [_column(index, name[:MOST_LETTERS]) for index, name in enumerate(names) if name]
    taken = {one.field for one in found}
    found = [one if one.field or not plain(one.heading) else _near(one, taken) for one in found]
    by_field: dict[str, Column] = {}
    for one in found:
        if one.field is None:
            continue
        if one.field in by_field:
            raise Refusal(
                f"{sheet.path} row {number}: found {by_field[one.field].name} and {one.name}, which both "
                f"mean {one.field.replace('_', ' ')}; rename or remove one"
            )
        by_field[one.field] = one
    _check_whole(sheet.path, number, found, by_field)
    if len(sheet.rows) == 1:
        raise Refusal(f"{sheet.path}: found column names in row {number} and no offer below them")
    return tuple(found)


def _column(index: int, heading: str) -> Column:
    """Return a column by the exact words of its heading, with or without what stands in brackets."""
    outside, inside = _BRACKETS.sub(" ", heading), " ".join(_BRACKETS.findall(heading))
    currency = _currency(heading)
    if currency is not None:
        outside = _without_money(outside)
    known = words().columns
    field = next((known[word] for word in map(plain, (heading, outside)) if word in known), None)
    if plain(inside) in {"mm", "millimetres", "millimeters"} and field in {"size", None}:
        field = "mm" if plain(outside) in {"size", "diameter", "width"} else field
    return Column(index, heading, field, currency if field in MONEY else None)


def _without_money(heading: str) -> str:
    for sign in words().signs:
        heading = re.sub(rf"(?<!\w){re.escape(sign)}(?!\w)", " ", heading)
    return _CODE.sub(lambda code: " " if is_currency(code[0]) else code[0], heading)


def _currency(heading: str) -> str | None:
    """Return the currency code, or the sign, that stands in a heading."""
    code = next((code for code in _CODE.findall(heading) if is_currency(code)), None)
    if code is not None:
        return code
    signs = sorted(words().signs, key=len, reverse=True)
    return next((sign for sign in signs if re.search(rf"(?<!\w){re.escape(sign)}(?!\w)", heading)), None)


def _near(column: Column, taken: set[str | None]) -> Column:
    """Return a misspelt column as the nearest field that no other column is."""
    known = words().columns
    near = get_close_matches(plain(_without_money(column.heading)), [k for k in known if len(k) > 4], 1, 0.84)
    field = known[near[0]] if near else None
    return column if field in taken else replace(column, field=field, guessed=field is not None)


def _check_whole(path: Path, row: int, found: list[Column], by_field: Mapping[str, Column]) -> None:
    missing = [field for field in NEEDED if field not in by_field]
    if missing:
        heads = ", ".join(show(one.heading) for one in found[:12])
        raise Refusal(
            f"{path} row {row}: found no column for {' and '.join(missing)} among {heads or 'none'}; the "
            "first row must name the columns, such as seller, title, size, count, price, currency"
        )
