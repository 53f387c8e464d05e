"""Which column is which: headings matched whatever their order, case and wording."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from planner.catalogue.money import is_currency
from planner.order.sheet import Sheet
from planner.order.sizing import size_in
from planner.order.vocabulary import plain, words
from planner.order.workbook_reader import letter
from planner.refusal import InvalidValue, Refusal, show

NEEDED = ("count", "price")
"""Fields without which an offer says nothing."""

MOST_LETTERS = 80
"""Letters kept of a heading."""

MISSPELT = 84.0
"""Likeness, 0 to 100, from which a word counts as another one misspelt (our choice)."""

LIKELY = 70.0
"""Likeness from which a heading is guessed to be a field (our choice); the guess is told."""

MOST_OF_IT = 0.5
"""Share of a heading's letters that a name among other words must be (our choice)."""

MOST_LOOKED_AT = 200
"""Rows by whose cells a column is guessed."""

MOSTLY = 0.8
"""Share of cells that must be of a kind for a column to be guessed as that (our choice)."""

MOST_OF_A_SIZE = 12
"""Letters of a cell that is a size and nothing else."""

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
    """Whether it is only likely to mean that."""

    @property
    def name(self) -> str:
        """What a person finds it by."""
        return f"column {letter(self.index)} ({show(self.heading)})"


def columns(sheet: Sheet, heard: Mapping[str, str] | None = None) -> tuple[Column, ...]:
    """Return every headed column, from the first row of a sheet.

    `heard` has the fields of headings that a person confirmed, by their plain words.

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
    known = {} if heard is None else heard
    found = [
        replace(one, field=known[plain(one.heading)]) if plain(one.heading) in known else one for one in found
    ]
    found = _guessed(found, sheet)
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
    if currency is not None and field not in (*MONEY, "currency"):
        field = None  # a sign of money heads nothing but an amount
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


def _guessed(found: Sequence[Column], sheet: Sheet) -> list[Column]:
    """Return columns with those that were not known by name guessed: from likely names, then from cells."""
    taken = {one.field for one in found} - {None}
    unknown = [one for one in found if one.field is None and plain(one.heading)]
    sure: dict[int, str] = {}
    likely = [(score, field, one.index) for one in unknown for field, score in _likely(one.heading).items()]
    for _, field, index in sorted(likely, key=lambda one: (-one[0], one[2])):
        if field not in taken and index not in sure:
            sure[index] = field
            taken.add(field)
    for one in unknown:
        money = "price" if _currency(one.heading) is not None else None
        kind = None if one.index in sure else money or _by_cells(sheet, one.index)
        if kind is not None and kind not in taken:
            sure[one.index] = kind
            taken.add(kind)
    return [
        replace(
            one, field=sure[one.index], guessed=True,
            currency=_currency(one.heading) if sure[one.index] in MONEY else None,
        )
        if one.index in sure else one
        for one in found
    ]  # fmt: skip


def _likely(heading: str) -> dict[str, float]:
    """Return the fields that a heading may mean, each with how like one of its names it is, 0 to 100."""
    said = plain(_without_money(heading))
    found: dict[str, float] = {}
    money = _currency(heading) is not None
    for name, field in words().columns.items():
        if money and field not in MONEY:
            continue
        score = _alike(said, name)
        if score >= LIKELY and score > found.get(field, 0.0):
            found[field] = score
    return found


def _alike(said: str, name: str) -> float:
    """Return how like a name a heading is: misspelt, in another order, or the name among other words."""
    from rapidfuzz import fuzz

    misspelt = max(fuzz.ratio(said, name), fuzz.token_sort_ratio(said, name)) if len(name) > 4 else 0.0
    telling = _telling(said)
    wanted = _telling(name) or name.split()
    if not telling or not all(any(_same(one, other) for other in telling) for one in wanted):
        return misspelt if misspelt >= MISSPELT else 0.0
    meant = [one for one in telling if any(_same(other, one) for other in wanted)]
    share = sum(map(len, meant)) / sum(map(len, telling))
    among = LIKELY + (99.0 - LIKELY) * share if share >= MOST_OF_IT else 0.0
    return max(misspelt if misspelt >= MISSPELT else 0.0, among)


@cache
def _telling(text: str) -> list[str]:
    """Return the words of a text that say what it means."""
    return [one for one in text.split() if one not in words().lists["idle"] and not one.isdecimal()]


def _same(one: str, other: str) -> bool:
    from rapidfuzz import fuzz

    plurals = {f"{one}s", f"{one}es", f"{one[:-1]}ies"}
    return one == other or other in plurals or (
        min(len(one), len(other)) > 3 and fuzz.ratio(one, other) >= MISSPELT
    )  # fmt: skip


def _by_cells(sheet: Sheet, index: int) -> str | None:
    """Return the field that most cells of a column can only be."""
    rows = [row for _, row in sheet.rows[1:MOST_LOOKED_AT]]
    cells = [str(row[index]) for row in rows if index < len(row) and row[index] != ""]
    tests: dict[str, Callable[[str], bool]] = {
        "size": _is_size, "material": lambda text: plain(text) in words().materials,
        "currency": lambda text: len(text) == 3 and is_currency(text.upper()),
    }  # fmt: skip
    return next(
        (field for field, test in tests.items() if cells and sum(map(test, cells)) >= MOSTLY * len(cells)),
        None,
    )


def _is_size(text: str) -> bool:
    try:
        return len(text) <= MOST_OF_A_SIZE and size_in(text) is not None
    except InvalidValue:
        return False


def _check_whole(path: Path, row: int, found: list[Column], by_field: Mapping[str, Column]) -> None:
    missing = [field for field in NEEDED if field not in by_field]
    if missing:
        heads = ", ".join(show(one.heading) for one in found[:12])
        raise Refusal(
            f"{path} row {row}: found no column for {' and '.join(missing)} among {heads or 'none'}; the "
            "first row must name the columns, such as seller, title, size, count, price, currency"
        )
