"""Numbers as people type them: 1.440 or 1,440, 9,90 €, 10 gross, 30 days.

Whether a point or a comma begins the decimals is decided by a whole column, then by the rest of the
file, and where neither tells, a number that could be two is refused.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, TypeAlias

from planner.catalogue.money import check_amount, is_currency
from planner.order.vocabulary import means, plain, words
from planner.refusal import InvalidValue, show

Mark: TypeAlias = Literal[".", ","]
"""What begins the decimals."""

MOST_STONES = 10_000_000
"""Most stones of one pack."""

_BODY = r"\d(?:[\d.,'’\u00a0\u202f]|\s(?=\d{3}(?!\d)))*"
_NUMBER = re.compile(_BODY)
_AMBIGUOUS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_FORMS = {
    ".": re.compile(r"\d+(?:\.\d+)?|\d{1,3}(?:,\d{3})+(?:\.\d+)?"),
    ",": re.compile(r"\d+(?:,\d+)?|\d{1,3}(?:\.\d{3})+(?:,\d+)?"),
}
_BLANKS = re.compile(r"(?<=\d)[\s'’](?=\d{3}(?!\d))")


@dataclass(frozen=True)
class Money:
    """An amount, and the currency that stands beside it."""

    amount: Decimal
    sign: str | None
    """A code or a sign as written; None where there is none."""


def mark_of(texts: Iterable[str], *, whole: bool = False) -> tuple[frozenset[Mark], str | None]:
    """Return which marks are certainly decimal in some cells, and the first number that could be two.

    Where numbers are `whole`, one reading of a mark may be none, and then the other is certain.
    """
    sure: set[Mark] = set()
    unsure = None
    for text in texts:
        found = _NUMBER.search(text)
        if found is None:
            continue
        number = _BLANKS.sub("", found[0]).rstrip(".,")
        if _AMBIGUOUS.fullmatch(number):
            unsure = unsure or number
            own = whole_mark(number) if whole else None
            sure |= set() if own is None else {own}
        else:
            sure |= _sure(number)
    return frozenset(sure), unsure


def _sure(number: str) -> set[Mark]:
    """Return the decimal mark that a number proves, if it proves one."""
    points, commas = number.count("."), number.count(",")
    if points and commas:
        return {"."} if number.rindex(".") > number.rindex(",") else {","}
    if points > 1 or commas > 1:
        return {","} if points else {"."}
    return {"."} if points else {","} if commas else set()


def number(text: str, mark: Mark | None) -> Decimal:
    """Return a number as written.

    Parameters
    ----------
    text
        Digits with marks, nothing else.
    mark
        What begins decimals in this column; None where that is not known.

    Raises
    ------
    ValueError
        If it is no number, or could be two.

    """
    written = _BLANKS.sub("", text.strip())
    if _AMBIGUOUS.fullmatch(written) and mark is None:
        joined, parted = re.sub(r"[.,]", "", written), written.replace(",", ".")
        raise InvalidValue(
            f"found {show(text)}, which could be {joined} or {parted}, and nothing else in the file tells; "
            "write it without a mark for thousands"
        )
    own: Mark = mark if mark is not None and _AMBIGUOUS.fullmatch(written) else min(_sure(written) or {"."})
    if _FORMS[own].fullmatch(written):
        return Decimal(written.replace("," if own == "." else ".", "").replace(",", "."))
    raise InvalidValue(f"found {show(text)}; a number such as 1440 or 12.50 is needed")


def money(text: str, mark: Mark | None) -> Money:
    """Return an amount with the sign or code beside it, on either side; ValueError as `number`."""
    found = _NUMBER.search(text)
    if found is None or "-" in text[: found.start()] or "−" in text or text.startswith("("):
        raise InvalidValue(f"found {show(text)}; an amount of at least 0 is needed, such as 12.50")
    digits = found[0].rstrip(".,")
    around = [text[: found.start()].strip(), text[found.end() :].strip(" .-–")]
    signs = [one for one in around if one]
    if len(signs) > 1 or any(not _is_sign(one) for one in signs):
        raise InvalidValue(f"found {show(text)}; an amount is needed, such as 12.50 or 12.50 EUR")
    return Money(check_amount(str(number(digits, mark))), signs[0] if signs else None)


def _is_sign(text: str) -> bool:
    return text in words().signs or is_currency(text.upper())


def currency(sign: str, own: Iterable[str]) -> str:
    """Return the ISO 4217 code for a code or a sign; one that several share is taken as the job's.

    Parameters
    ----------
    sign
        As written.
    own
        Currencies that the job knows.

    Raises
    ------
    ValueError
        If it is no currency, or may be several.

    """
    if is_currency(sign.upper()):
        return sign.upper()
    codes = words().signs.get(sign, ())
    likely = [code for code in codes if code in set(own)]
    if len(codes) == 1 or len(likely) == 1:
        return (likely or list(codes))[0]
    if sign in words().usual_sign and not likely:
        return words().usual_sign[sign]
    if not codes:
        raise InvalidValue(f"found {show(sign)}; a currency is three letters, such as EUR")
    raise InvalidValue(f"found {show(sign)}, which may be {', '.join(codes)}; write the three letters")


_COUNT = re.compile(rf"({_BODY})\s*([^\W\d]*)\.?")
_TIMES = re.compile(rf"(\d{{1,4}})\s*(?:x|×|\*)\s*({_BODY}\s*[^\W\d]*\.?)")
_BRACKET = re.compile(r"(.*\S)\s*[(\[]\s*([^)\]]+)[)\]]")
_ABOUT = re.compile(r"(?:([^\W\d]+)\.?\s*|[~≈±]\s*)(?=\d)")


@dataclass(frozen=True)
class Count:
    """A number of stones."""

    stones: int
    about: bool
    """Whether it is said to be about right only."""


def count(text: str, mark: Mark | None) -> int:
    """Return a whole number of stones from "1440", "1.440", "10 gross"; as `count_said`."""
    return count_said(text, mark).stones


def count_said(text: str, mark: Mark | None) -> Count:
    """Return a number of stones from "1.440", "2gr", "10 × 144", "1 gross (144)", "ca. 1400".

    Of two ways to read a mark, one that leaves part of a stone is none.

    Raises
    ------
    InvalidValue
        If it is none, could be two, or says two.

    """
    said = text.strip()
    if (found := _BRACKET.fullmatch(said)) and any(map(str.isdigit, found[2])):
        outer, inner = (count_said(part, mark) for part in found.groups())
        if outer.stones != inner.stones:
            raise InvalidValue(f"found {show(text)}, which says {outer.stones:,} and {inner.stones:,} stones")
        return Count(outer.stones, outer.about or inner.about)
    if (found := _ABOUT.match(said)) and (not found[1] or means(found[1], "about")):
        return Count(_counted(said[found.end() :], text, mark), about=True)
    if found := _TIMES.fullmatch(said):
        stones = int(found[1]) * _counted(found[2], text, mark)
        return Count(_checked(Decimal(stones), text), about=False)
    return Count(_counted(said, text, mark), about=False)


def _counted(said: str, text: str, mark: Mark | None) -> int:
    found = _COUNT.fullmatch(said.strip())
    unit = words().units.get(plain(found[2])) if found and found[2] else 1
    if found is None or unit is None:
        raise InvalidValue(f"found {show(text)}; a whole number of stones is needed, such as 144")
    return _checked(number(found[1], mark or whole_mark(found[1], unit)) * unit, text)


def _checked(value: Decimal, text: str) -> int:
    if value != value.to_integral_value() or not 1 <= value <= MOST_STONES:
        raise InvalidValue(
            f"found {show(text)}, which is {value.normalize():f} as this file writes numbers; a whole "
            f"number of stones from 1 to {MOST_STONES:,} is needed"
        )
    return int(value)


def whole_mark(text: str, unit: int = 1) -> Mark | None:
    """Return the decimal mark of a number that could be two, where one of them is not whole."""
    written = text.strip()
    if not _AMBIGUOUS.fullmatch(written):
        return None
    parted = Decimal(written.replace(",", ".")) * unit
    if parted == parted.to_integral_value():
        return None
    return "," if "." in written else "."


_DAYS = re.compile(r"(?:(\d{1,4})\s*(?:-|–|to|/)\s*)?(\d{1,4})\s*([^\d]*)")


def days(text: str, what: str, *, least: bool = False) -> int:
    """Return days from "14", "5-7 days", "2 weeks"; of a span the longer, or with `least` the shorter.

    Raises
    ------
    ValueError
        If it is none of them.

    """
    found = _DAYS.fullmatch(text.strip())
    unit = None if found is None else words().days.get(plain(found[3]))
    if found is None or unit is None:
        raise InvalidValue(f"found {show(text)}; {what} must be a whole number of days, such as 14")
    value = int(found[1] if least and found[1] else found[2]) * unit
    if value > 3650:
        raise InvalidValue(f"found {show(text)}; {what} must be at most 3650 days")
    return value
