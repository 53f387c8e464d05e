"""A file of offers, read: the offers, what each column was taken for, and what was not understood."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from planner.catalogue.errors import cut_short
from planner.catalogue.palette import Palette
from planner.order import numbers
from planner.order.columns import MONEY, Column, columns
from planner.order.heard import Guess, Heard
from planner.order.matching import Matcher
from planner.order.numbers import Mark
from planner.order.offer import Offer
from planner.order.row import Problem, Row, RowError, Setting, offer_of
from planner.order.sheet import Cell, Sheet, read_sheet
from planner.refusal import Refusal


@dataclass(frozen=True)
class OfferList:
    """All that a file of offers says."""

    path: Path
    offers: tuple[Offer, ...]
    """In the order of the file."""

    columns: tuple[Column, ...]
    """Every headed column and what it was taken for."""

    notes: tuple[str, ...]
    """What was decided in reading, a sentence each."""

    problems: tuple[Problem, ...]
    """What was not understood, in the order of the file."""

    @property
    def guesses(self) -> tuple[Guess, ...]:
        """What is likely meant by headings and by names, each once: to be confirmed by a person."""
        sellers = {one.seller for one in self.offers}
        whose = next(iter(sellers)) if len(sellers) == 1 else ""
        headings = [
            Guess(whose, "heading", one.heading, one.field)
            for one in self.columns if one.guessed and one.field is not None
        ]  # fmt: skip
        return tuple(dict.fromkeys((*headings, *(each for one in self.offers for each in one.guesses))))

    @property
    def unused(self) -> tuple[str, ...]:
        """Headings of columns that were not understood."""
        return tuple(one.heading for one in self.columns if one.field is None)


def read_offers(
    path: Path, palette: Palette | None = None, *, today: date, currency: str = "EUR",
    others: Collection[str] = (), heard: Heard | None = None,
) -> OfferList:  # fmt: skip
    """Return the offers in a CSV file or workbook.

    Parameters
    ----------
    path
        The file.
    palette
        What stones and coatings are matched to; without it none is.
    today
        Dates of delivery are counted from it.
    currency
        The job's currency: that of amounts beside which nothing stands.
    others
        Currencies that the job has rates for.
    heard
        What a person confirmed of sellers' words; nothing when not given.

    Raises
    ------
    Refusal
        If the file cannot be read, a needed column is missing, or no row is left.

    """
    sheet = read_sheet(path)
    found = columns(sheet, None if heard is None else heard.headings())
    marks, notes = _marks(sheet, found)
    by_field = {one.field: one for one in found if one.field is not None}
    setting = Setting(
        by_field, marks, currency, frozenset({currency, *others}), today,
        None if palette is None else Matcher(palette, heard),
    )  # fmt: skip
    offers, problems = _rows(sheet, setting)
    if not offers:
        first, more = cut_short(problems, 1)
        raise Refusal(f"{path} {first[0]}, and no offer is left{f' ({more})' if more else ''}")
    notes = (*sheet.notes, *notes, *_assumed(offers, by_field, currency))
    return OfferList(path, tuple(offers), found, notes, tuple(problems))


def _rows(sheet: Sheet, setting: Setting) -> tuple[list[Offer], list[Problem]]:
    offers: list[Offer] = []
    problems: list[Problem] = []
    first: dict[tuple[object, ...], int] = {}
    for number, cells in sheet.rows[1:]:
        row = Row(number, cells, setting, problems)
        try:
            offer = offer_of(row)
        except RowError as problem:
            problems.append(Problem(number, problem.where, str(problem), left_out=True))
            continue
        same = tuple(vars(offer).values())[1:]  # all but its row
        if same in first:
            text = f"found the same offer as in row {first[same]}, which counts once"
            problems.append(Problem(number, "", text, left_out=True))
            continue
        first[same] = number
        offers.append(offer)
    return offers, problems


def _marks(sheet: Sheet, found: tuple[Column, ...]) -> tuple[dict[str, Mark | None], tuple[str, ...]]:
    """Return what begins decimals in each column of numbers, and what is to be said of it."""
    asked = [one for one in found if one.field == "count" or one.field in MONEY]
    sure: dict[str, frozenset[Mark]] = {}
    unsure: dict[str, tuple[Column, str]] = {}
    for one in asked:
        texts = [
            str(row[one.index])
            for _, row in sheet.rows[1:]
            if one.index < len(row) and _typed(row[one.index])
        ]
        sure[str(one.field)], doubtful = numbers.mark_of(texts, whole=one.field == "count")
        if doubtful is not None:
            unsure[str(one.field)] = one, doubtful
    everywhere = frozenset().union(*sure.values())
    marks: dict[str, Mark | None] = {}
    notes = []
    for field, own in sure.items():
        basis = own or everywhere
        marks[field] = min(basis) if len(basis) == 1 else None
        if field in unsure and marks[field] is not None:
            column, text = unsure[field]
            value = numbers.number(text, marks[field]).normalize()
            notes.append(f"In {column.name} {_why(field, own, marks[field])}, so {text} is {value:f}.")
    return marks, tuple(notes)


def _why(field: str, own: frozenset[Mark], mark: Mark | None) -> str:
    """Say from what it is known which of two numbers one is."""
    if field == "count" and own:
        return "stones are counted whole"
    whose = "in its other cells" if own else "in the file's other columns"
    return f"a {'point' if mark == '.' else 'comma'} marks the decimals, as {whose}"


def _typed(cell: Cell) -> bool:
    return isinstance(cell, str) and cell != ""


def _assumed(offers: list[Offer], by_field: Mapping[str, Column], currency: str) -> tuple[str, ...]:
    """Return what was taken for granted where cells say nothing."""
    notes = []
    if "currency" not in by_field and by_field["price"].currency is None:
        notes.append(f"Amounts without a currency are taken as {currency}.")
    inferred = sum(one.size_from_mm for one in offers)
    if inferred:
        notes.append(f"{_rows_are(inferred)} no size: it was found from the millimetres.")
    if any(one.coating_id is not None for one in offers):
        bare = sum(one.coating == "" and one.coating_id == "none" for one in offers)
        if bare:
            notes.append(f"{_rows_are(bare)} no coating, which is taken as uncoated.")
    return tuple(notes)


def _rows_are(count: int) -> str:
    return "One row names" if count == 1 else f"{count:,} rows name"
