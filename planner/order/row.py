"""One row of a file of offers: its cells, and the offer that they make."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any, TypeVar, cast

from planner.catalogue.sizes import size_of, sizes
from planner.catalogue.stone import Material
from planner.order import numbers
from planner.order.columns import MONEY, Column
from planner.order.matching import Match, Matcher
from planner.order.numbers import Mark
from planner.order.offer import ROUND, Offer
from planner.order.sheet import Cell
from planner.order.sizing import mm_in, size_in
from planner.order.vocabulary import means, plain, words
from planner.refusal import InvalidValue, show

T = TypeVar("T")

MOST_LETTERS = 200
"""Letters kept of a text."""


@dataclass(frozen=True)
class Problem:
    """Something in a row that was not understood."""

    row: int
    """Row of the file, from 1."""

    where: str
    """Its column, or empty where it is about the whole row."""

    text: str
    """What was found and what is allowed."""

    left_out: bool
    """Whether the offer is left out for it; else that one thing counts as not said."""

    def __str__(self) -> str:
        """Return one sentence, without the name of the file."""
        place = f"row {self.row}, {self.where}" if self.where else f"row {self.row}"
        return f"{place}: {self.text}; {'the row is left out' if self.left_out else 'taken as not said'}"


class RowError(InvalidValue):
    """A cell without which an offer cannot be used."""

    def __init__(self, where: str, text: str) -> None:
        super().__init__(text)
        self.where = where


@dataclass(frozen=True)
class Setting:
    """What is the same for every row."""

    by_field: Mapping[str, Column]
    """Column of each field."""

    marks: Mapping[str, Mark | None]
    """What begins decimals in each column of numbers; None where that is not known."""

    currency: str
    """That of amounts beside which nothing stands."""

    own: frozenset[str]
    """Currencies that the job knows."""

    today: date

    matcher: Matcher | None
    """What matches stones and coatings; None where there is no palette."""


@dataclass(frozen=True)
class Row:
    """A row's cells by field, and where to note what is wrong with them."""

    number: int
    cells: tuple[Cell, ...]
    setting: Setting
    problems: list[Problem]

    def cell(self, field: str) -> Cell:
        """Return the cell of a field; empty where there is none."""
        column = self.setting.by_field.get(field)
        return self.cells[column.index] if column is not None and column.index < len(self.cells) else ""

    def text(self, field: str) -> str:
        """Return a cell as one line of printable text."""
        return _one_line(self.cell(field))

    def name(self, field: str) -> str:
        """Return what a person finds the column by."""
        column = self.setting.by_field.get(field)
        return f"column {field}" if column is None else column.name

    def try_to(self, field: str, parse: Callable[[str], T | None]) -> T | None:
        """Return a cell that may be left empty, or note what is wrong with it."""
        text = self.text(field)
        if means(text, "not_said"):
            return None
        try:
            return parse(text)
        except InvalidValue as problem:
            self.problems.append(Problem(self.number, self.name(field), str(problem), left_out=False))
            return None


@lru_cache(maxsize=4096)
def _one_line(value: Cell) -> str:
    written = f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)
    if not written.isprintable():
        written = "".join(one if one.isprintable() else " " for one in written)
    return " ".join(written.split())[:MOST_LETTERS]


def offer_of(row: Row) -> Offer:
    """Return the offer of a row, or raise a `RowError` where it cannot be used."""
    before, count = len(row.problems), _count(row)
    currency, price = _price(row)
    amounts = {field: _amount(row, field, currency) for field in MONEY if field != "price"}
    shape = ROUND if means(row.text("shape"), "round") else row.text("shape").lower()
    size, mm = _size_and_mm(row)
    inferred = size_of(mm[0]) if size is None and mm and mm[1] is None and shape == ROUND else None
    colour, coating, title = row.text("colour"), row.text("coating"), row.text("title")
    coating = "" if means(coating, "not_said") else coating
    matcher = row.setting.matcher
    seller = row.text("seller") or "not named"
    match = matcher.find(colour, coating, title, seller) if matcher else Match(None, None)
    offer = Offer(
        row=row.number, seller=seller, title=title, count=count.stones, about=count.about,
        price=price, currency=currency, material=row.try_to("material", _material),
        size=(size or inferred) if shape == ROUND else size, size_from_mm=inferred is not None,
        mm=mm[0] if mm else None, mm_across=mm[1] if mm else None, shape=shape,
        colour=colour, coating=coating, stone_id=match.stone, coating_id=match.coating,
        suggestions=match.hints, guesses=match.guesses,
        available=row.try_to("available", _available),
        returns=row.try_to("returns", _returns), delivery_days=row.try_to("delivery_days", _delivery(row)),
        until=_until(row), note=row.text("note"), **cast("dict[str, Any]", amounts),
    )  # fmt: skip
    return replace(offer, unread=tuple(one.where for one in row.problems[before:]))


def _count(row: Row) -> numbers.Count:
    cell = row.cell("count")
    text = row.text("count")
    try:
        # A number of a workbook's own has no marks to wonder about.
        return numbers.count_said(text, "." if isinstance(cell, Decimal) else row.setting.marks["count"])
    except InvalidValue as problem:
        raise RowError(row.name("count"), str(problem)) from None


def _price(row: Row) -> tuple[str, Decimal]:
    """Return the row's currency and its price."""
    found = _money(row, "price")
    if found is None or found.amount <= 0:
        raise RowError(row.name("price"), f"found {show(row.text('price'))}; a price above 0 is needed")
    signs = [
        ("currency", row.text("currency")),
        ("price", found.sign),
        ("price", _heading_sign(row, "price")),
    ]
    codes = [(field, _code(row, field, sign)) for field, sign in signs if sign]
    if len({code for _, code in codes}) > 1:
        said = " and ".join(dict.fromkeys(code for _, code in codes))
        raise RowError(row.name(codes[0][0]), f"found {said} in one row; an offer has one currency")
    return (codes[0][1] if codes else row.setting.currency), found.amount


def _amount(row: Row, field: str, currency: str) -> Decimal | None:
    text = row.text(field)
    if means(text, "not_said"):
        return None
    if means(text, "free"):
        return Decimal(0)
    found = _money(row, field)
    sign = found.sign or _heading_sign(row, field) if found else None
    if sign and _code(row, field, sign) != currency:
        raise RowError(
            row.name(field),
            f"found {show(sign)} in a row whose price is in {currency}; an offer has one currency",
        )
    return found.amount if found else None


def _money(row: Row, field: str) -> numbers.Money | None:
    cell, text = row.cell(field), row.text(field)
    if "%" in text:
        raise RowError(row.name(field), f"found {show(text)}; an amount is needed, not a share")
    try:
        return _parse_money(text, "." if isinstance(cell, Decimal) else row.setting.marks[field])
    except InvalidValue as problem:
        raise RowError(row.name(field), str(problem)) from None


_parse_money = lru_cache(maxsize=4096)(numbers.money)


def _heading_sign(row: Row, field: str) -> str | None:
    return row.setting.by_field[field].currency


def _code(row: Row, field: str, sign: str) -> str:
    try:
        return numbers.currency(sign, row.setting.own)
    except InvalidValue as problem:
        raise RowError(row.name(field), str(problem)) from None


_SURELY_SS = 12
"""A bare number from which a size is meant and no millimetres: 16 and 20 are, 5 is not (common practice, no
source)."""


def _size_and_mm(row: Row) -> tuple[str | None, tuple[float, float | None] | None]:
    """Return the size that a row names and its millimetres; each may stand in the other's cell."""

    def only_mm(text: str) -> tuple[float, float | None]:
        found = mm_in(text if "mm" in text.lower() else f"{text} mm")
        if found is None or found[0] > 300.0:
            raise InvalidValue(f"found {show(text)}; millimetres are needed, such as 4.7 or 8 x 4")
        return found

    def named(text: str) -> str | None:
        bare_ss = plain(row.setting.by_field["size"].heading) in {"ss", "ss size", "size ss"}
        bare = text.isdigit() and (bare_ss or (int(text) >= _SURELY_SS and f"SS{text}" in sizes()))
        found = size_in(f"SS{text}" if bare else text)
        if found is None and mm_in(text) is None:
            raise InvalidValue(f"found {show(text)}; a stone size such as SS20 or millimetres are needed")
        return found

    size = row.try_to("size", named)
    mm = row.try_to("mm", only_mm) or mm_in(row.text("size"))
    if size is None and mm is None and not row.text("size"):
        size, mm = _silent(size_in, row.text("title")), mm_in(row.text("title"))
    return size, mm


def _silent(parse: Callable[[str], T | None], text: str) -> T | None:
    """Return what a title says; one that says nothing sensible is no fault of the row."""
    try:
        return parse(text)
    except InvalidValue:
        return None


def _material(text: str) -> Material:
    found = words().materials.get(plain(text))
    if found is None:
        allowed = ", ".join(dict.fromkeys(words().materials.values()))
        also = ", which is said of glass and acrylic too" if plain(text) == "crystal" else ""
        raise InvalidValue(f"found {show(text)}{also}; materials are {allowed}")
    return cast("Material", found)


def _available(text: str) -> int:
    if not (text.isdecimal() and len(text) <= 6):
        raise InvalidValue(f"found {show(text)}; packs that the seller has must be a whole number, such as 3")
    return int(text)


def _returns(text: str) -> int:
    return 0 if means(text, "no_returns") else numbers.days(text, "returns", least=True)


def _delivery(row: Row) -> Callable[[str], int]:
    def parse(text: str) -> int:
        if not _is_date(text):
            return numbers.days(text, "delivery")
        left = (date.fromisoformat(text) - row.setting.today).days
        if left < 0:
            raise InvalidValue(f"found {text}, which is past; a day from {row.setting.today} on is needed")
        return left

    return parse


def _until(row: Row) -> date | None:
    def parse(text: str) -> date:
        if not _is_date(text):
            raise InvalidValue(f"found {show(text)}; a date must be written like 2030-01-31")
        return date.fromisoformat(text)

    last = row.try_to("until", parse)
    if last is not None and last < row.setting.today:
        raise RowError(row.name("until"), f"found {last}, which is past: the offer has ended")
    return last


def _is_date(text: str) -> bool:
    try:
        return len(text) == 10 and bool(date.fromisoformat(text))
    except ValueError:
        return False
