"""Usual prices that a person keeps: a dated table, which counts only where it was confirmed."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Literal, TypeAlias, TypeVar, cast, get_args

from planner.catalogue.money import check_amount, check_currency
from planner.catalogue.palette import user_folder
from planner.catalogue.sizes import check_size
from planner.catalogue.stone import Material
from planner.order.sheet import Sheet, read_sheet
from planner.order.vocabulary import plain
from planner.refusal import InvalidValue, Refusal, show

T = TypeVar("T")

Body: TypeAlias = Literal["clear", "coloured"]
Film: TypeAlias = Literal["none", "film"]

HEADINGS = ("material", "size", "colour", "coating", "low", "high", "currency", "dated", "confirmed")
"""Columns of the table; prices are of one gross, without shipping."""

STALE_DAYS = 365
"""Days after which a band is old: the trade's price lists are of a season or a year (our choice)."""

FILE_NAME = "price_bands.csv"
"""Name of the table in the person's own folder of palettes."""


@dataclass(frozen=True)
class Band:
    """What a gross of one kind of stone usually costs."""

    material: Material
    size: str
    colour: Body
    coating: Film
    low: Decimal
    high: Decimal
    currency: str
    dated: date
    """Day on which somebody looked at prices."""

    confirmed: str
    """Who says so; empty where nobody does, and then the band does not count."""

    @property
    def kind(self) -> tuple[str, str, str, str]:
        """What it is a band of."""
        return self.material, self.size, self.colour, self.coating


def own_bands() -> Path:
    """Return where a person keeps the table; it need not exist."""
    return user_folder() / FILE_NAME


def read_bands(path: Path) -> tuple[Band, ...]:
    """Return all bands of a table, confirmed or not.

    Raises
    ------
    Refusal
        For the first row that cannot be used, or two bands of one kind.

    """
    sheet = read_sheet(path)
    number, head = sheet.rows[0]
    names = [plain(str(cell)) for cell in head]
    missing = [one for one in HEADINGS if one not in names]
    if missing:
        raise Refusal(
            f"{path} row {number}: found no column {show(missing[0])}; needed are {', '.join(HEADINGS)}"
        )
    found: dict[tuple[str, str, str, str], Band] = {}
    for row, cells in sheet.rows[1:]:
        by_name = {name: str(cell) for name, cell in zip(names, cells, strict=False)}
        band = _band(sheet, row, by_name)
        if band.kind in found:
            raise Refusal(f"{path} row {row}: found a second band for {', '.join(band.kind)}; keep one")
        found[band.kind] = band
    return tuple(found.values())


def _band(sheet: Sheet, row: int, cells: dict[str, str]) -> Band:
    def checked(name: str, check: Callable[[str], T]) -> T:
        try:
            return check(cells.get(name, ""))
        except InvalidValue as problem:
            raise Refusal(f"{sheet.path} row {row}, column {name}: {problem}") from None

    low = checked("low", check_amount)
    return Band(
        material=cast("Material", checked("material", _one_of(get_args(Material)))),
        size=checked("size", check_size),
        colour=cast("Body", checked("colour", _one_of(get_args(Body)))),
        coating=cast("Film", checked("coating", _one_of(get_args(Film)))),
        low=low,
        high=checked("high", _at_least(low)),
        currency=checked("currency", check_currency),
        dated=checked("dated", _date),
        confirmed=cells.get("confirmed", ""),
    )


def _one_of(allowed: Sequence[str]) -> Callable[[str], str]:
    def check(value: str) -> str:
        if value not in allowed:
            raise InvalidValue(f"found {show(value)}; allowed are {', '.join(allowed)}")
        return value

    return check


def _at_least(low: Decimal) -> Callable[[str], Decimal]:
    def check(value: str) -> Decimal:
        high = check_amount(value)
        if not 0 < low <= high:
            raise InvalidValue(f"found {high} over a low of {low}; low must be above 0 and high not under it")
        return high

    return check


def _date(value: str) -> date:
    try:
        return date.fromisoformat(value)
    except ValueError:
        raise InvalidValue(f"found {show(value)}; a date must be written like 2030-01-31") from None


def confirmed(bands: Iterable[Band], today: date) -> tuple[tuple[Band, ...], tuple[str, ...]]:
    """Return the bands that count, and a sentence each on those that do not and those that are old."""
    bands = tuple(bands)
    good = tuple(one for one in bands if one.confirmed and one.dated <= today)
    notes = []
    if len(good) < len(bands):
        notes.append(
            f"{len(bands) - len(good)} of {len(bands)} bands of usual prices are not used: nobody's name "
            "is under confirmed, or their date is in the future."
        )
    old = [one for one in good if (today - one.dated).days > STALE_DAYS]
    if old:
        notes.append(
            f"{len(old)} of the bands of usual prices are over a year old, the oldest of "
            f"{min(one.dated for one in old)}: look at prices again before you trust them."
        )
    return good, tuple(notes)
