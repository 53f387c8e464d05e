"""Money in files: exact decimals, never binary fractions."""

import re
from decimal import Decimal
from functools import cache
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer

from planner.refusal import InvalidValue, show

MOST = Decimal(10_000_000)
"""Largest amount a file may hold."""

_AMOUNT = re.compile(r"\d{1,8}(?:\.\d{1,4})?")
_CURRENCY = re.compile(r"[A-Z]{3}")
_COMMON = frozenset(
    {"EUR", "USD", "GBP", "CHF", "SEK", "NOK", "DKK", "CZK", "PLN", "CAD", "AUD", "JPY", "CNY"}
)
"""Known without the list of all, which takes a while to load."""


def check_amount(value: Any) -> Decimal:
    """Return an amount of money, at least 0, as an exact decimal, or refuse it with a ValueError.

    A number is taken as it is written: 9.9 is 9.90 exactly.
    """
    written = str(value) if isinstance(value, int | float | str | Decimal) else ""
    if isinstance(value, bool) or not _AMOUNT.fullmatch(written) or Decimal(written) > MOST:
        raise InvalidValue(
            f"found {show(value)}; an amount must be a number from 0 to {MOST:,} with at most four decimals, "
            "such as 12.50"
        )
    return Decimal(written)


def check_rate(value: Any) -> Decimal:
    """Return a rate of exchange, above 0, as an exact decimal, or refuse it with a ValueError."""
    try:
        rate = Decimal(str(value)) if not isinstance(value, bool) else Decimal(0)
    except ArithmeticError:
        rate = Decimal(0)
    if not rate.is_finite() or not 0 < rate <= MOST:
        raise InvalidValue(f"found {show(value)}; a rate of exchange must be a number above 0, such as 0.92")
    return rate


def check_currency(value: Any) -> str:
    """Return an ISO 4217 code such as ``EUR``, or refuse it with a ValueError."""
    if not (isinstance(value, str) and _CURRENCY.fullmatch(value)):
        raise InvalidValue(f"found {show(value)}; a currency must be its three capital letters, such as EUR")
    if not is_currency(value):
        raise InvalidValue(
            f"found {show(value)}; there is no such currency: a code of ISO 4217 is needed, such as EUR"
        )
    return value


@cache
def is_currency(code: str) -> bool:
    """Return whether ISO 4217 has such a code, as the Unicode CLDR lists them."""
    if code in _COMMON:
        return True
    from babel.core import get_global

    return code in get_global("all_currencies")


def in_a_file(value: Decimal) -> int | float:
    """Return an amount or a rate as the number that a TOML file holds."""
    whole = int(value)
    return whole if value == whole else float(value)


Amount = Annotated[Decimal, BeforeValidator(check_amount), PlainSerializer(in_a_file)]
"""An amount of money, at least 0."""

Rate = Annotated[Decimal, BeforeValidator(check_rate), PlainSerializer(in_a_file)]
"""What one unit of another currency costs in the job's own."""

Currency = Annotated[str, BeforeValidator(check_currency)]
"""An ISO 4217 code such as ``EUR``."""
