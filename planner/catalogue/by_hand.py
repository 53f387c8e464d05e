"""Numbers as people type them: one reading for every form, option and sentence.

A comma before exactly three digits parts thousands, any other one is a decimal comma: "1,500" is fifteen
hundred and "7,5" is seven and a half. What is understood is said back where a comma was typed.
"""

import re
from decimal import Decimal
from typing import Final

from planner.refusal import InvalidValue, show

_GROUPED: Final = re.compile(r"[+-]?\d{1,3}(?:,\d{3}){1,3}(?:\.\d{1,9})?")
_PLAIN: Final = re.compile(r"[+-]?\d{0,12}(?:[.,]\d{0,12})?")


def figure(text: str, unit: str = "") -> Decimal:
    """Return the number that a text says, its unit behind it or not: "12", "7.5", "7,5", "1,500 mm".

    Raises
    ------
    InvalidValue
        If it says none, or more than one.

    """
    bare = text.strip().lower().removesuffix(unit.lower()).strip()
    if _GROUPED.fullmatch(bare):
        return Decimal(bare.replace(",", ""))
    if _PLAIN.fullmatch(bare) and any(one.isdecimal() for one in bare) and bare.isascii():
        return Decimal(bare.replace(",", "."))
    if bare.isascii() and bare.count(",") + bare.count(".") > 1 and not bare.strip("0123456789.,+-"):
        raise InvalidValue(f"found {show(text)}; a number has one decimal point at most, such as 1500 or 0.5")
    raise InvalidValue(f"found {show(text)}; it must be a number, such as 12 or 7.5")


def number(text: str, unit: str = "") -> float:
    """Return the number that a text says; InvalidValue as `figure`."""
    return float(figure(text, unit))


def whole_number(text: str) -> int:
    """Return the whole number, 0 or more, that a text says, or refuse it with an InvalidValue."""
    bare = text.strip()
    if not (bare.isascii() and (bare.isdecimal() or _GROUPED.fullmatch(bare)) and len(bare) <= 12):
        raise InvalidValue(f"found {show(text)}; it must be a whole number, such as 24")
    return int(figure(bare))
