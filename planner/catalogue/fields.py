"""What a single field of an entry may hold; each refusal says what was found and what is allowed."""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BaseModel, BeforeValidator, ConfigDict, GetCoreSchemaHandler, Strict
from pydantic_core import CoreSchema, core_schema

from planner.refusal import InvalidValue, show

Basis: TypeAlias = Literal["invented", "estimated", "measured"]
"""Where a number comes from: invented (demo), estimated (from a photo or a guess), measured."""

Table: TypeAlias = tuple[tuple[float, float], ...]
"""Rows of (wavelength in nm, value), wavelengths rising."""

Flag: TypeAlias = Annotated[bool, Strict()]
"""true or false, and nothing that merely resembles it."""

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_HEX = re.compile(r"#[0-9a-fA-F]{6}")
MAX_ROWS = 1000
"""Most rows of a table of wavelengths."""


class Part(BaseModel):
    """A frozen group of fields which refuses any field it does not know.

    How it is checked is worked out when the first is: what was kept between runs is not checked again.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def quantity(
    what: str,
    unit: str = "",
    *,
    above: float | None = None,
    least: float | None = None,
    below: float | None = None,
    most: float | None = None,
) -> BeforeValidator:
    """Return a check for a number in a range; `what` is its noun with an article."""
    return BeforeValidator(in_range(what, unit, above=above, least=least, below=below, most=most))


def whole(what: str, least: int, most: int) -> BeforeValidator:
    """Return a check for a whole number from `least` to `most`."""

    def check(value: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise InvalidValue(f"found {show(value)}; {what} must be a whole number from {least} to {most}")
        return value

    return BeforeValidator(check)


def in_range(what: str, unit: str = "", **limits: float | None) -> Callable[[Any], float]:
    """Return a function that gives a number within `limits` as a float, or refuses it with a ValueError.

    `limits` are any of ``above``, ``least``, ``below`` and ``most``.
    """
    words = {"above": "above", "least": "at least", "below": "below", "most": "at most"}
    span = " and ".join(f"{words[name]} {limit:g}" for name, limit in limits.items() if limit is not None)
    allowed = f"must be a number {span} {unit}".strip()

    def check(value: Any) -> float:
        good = isinstance(value, int | float) and not isinstance(value, bool)
        if not (good and _finite(value) and _within(value, **limits)):
            raise InvalidValue(f"found {show(value)}; {what} {allowed}")
        return float(value)

    return check


def _finite(value: float) -> bool:
    """Return whether `value` is a number that fits a float (a file may hold an integer that does not)."""
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


def _within(
    value: float,
    above: float | None = None,
    least: float | None = None,
    below: float | None = None,
    most: float | None = None,
) -> bool:
    return (
        (above is None or value > above)
        and (least is None or value >= least)
        and (below is None or value < below)
        and (most is None or value <= most)
    )


def text(what: str, most: int = 80, least: int = 1) -> BeforeValidator:
    """Return a check for one line of printable text; control characters could upset a terminal."""

    def check(value: Any) -> Any:
        good = (
            isinstance(value, str)
            and value.isprintable()
            and least <= len(value.strip())
            and len(value) <= most
        )
        if not good:
            raise InvalidValue(
                f"found {show(value)}; {what} must be one line of {least} to {most} characters"
            )
        return value

    return BeforeValidator(check)


def renamed(words: Mapping[str, str]) -> Callable[[Any], Any]:
    """Return a step before a check that takes words of older files for those of today."""
    return lambda value: words.get(value, value) if isinstance(value, str) else value


class _Pairs:
    """A table of a file, kept as pairs in the order of the file, so that it is frozen all through."""

    def __init__(self, what: str) -> None:
        self.what = what

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Take a table or pairs; give a table back."""
        return core_schema.no_info_before_validator_function(
            self._taken, handler(source), serialization=core_schema.plain_serializer_function_ser_schema(dict)
        )

    def _taken(self, value: Any) -> Any:
        if isinstance(value, Mapping):
            return tuple(value.items())
        if not isinstance(value, tuple):
            raise InvalidValue(  # pydantic reports a ValueError as a fault of the field
                f"found {show(value)}; {self.what} must be a table, such as {{ one = 1 }}"
            )
        return value


def as_pairs(what: str) -> _Pairs:
    """Return the mark of a field that is a table in a file and pairs in memory."""
    return _Pairs(what)


def file_name(value: Any) -> Any:
    """Return the name of a file in the folder of the palette or below it, or refuse it."""
    return file_beside(value, "palette", "spectra/bodice.csv")


def file_beside(value: Any, whose: str, such_as: str) -> Any:
    """Return the name of a file in the folder of somebody's file or below it, or refuse it."""
    parts = str(value).replace("\\", "/").split("/")
    good = isinstance(value, str) and value.isprintable() and 0 < len(value) <= 200
    if not good or ".." in parts or parts[0] == "" or ":" in parts[0]:
        raise InvalidValue(
            f"found {show(value)}; it must name a file in the {whose}'s own folder or below it, such as "
            f"{such_as}"
        )
    return value


def identifier(what: str = "an id") -> BeforeValidator:
    """Return a check for an id: lower-case letters, digits and single hyphens, at most 60 characters."""

    def check(value: Any) -> Any:
        if not (isinstance(value, str) and len(value) <= 60 and _ID.fullmatch(value)):
            raise InvalidValue(
                f"found {show(value)}; {what} must be lower-case letters, digits and single hyphens, "
                "at most 60 characters, such as halyard-blue"
            )
        return value

    return BeforeValidator(check)


def check_hex(value: Any) -> Any:
    """Return an sRGB colour such as ``#1a2b3c``, or refuse it."""
    if not (isinstance(value, str) and _HEX.fullmatch(value)):
        raise InvalidValue(
            f"found {show(value)}; a colour must be # and six hexadecimal digits, such as #1a2b3c"
        )
    return value.lower()


_check_lightness = in_range("L*", least=0.0, most=100.0)
_check_ab = in_range("a* or b*", least=-150.0, most=150.0)


def check_lab(value: Any) -> Any:
    """Return a CIELAB colour, L* 0 to 100 and a* and b* from −150 to 150, or refuse it."""
    if not isinstance(value, list | tuple) or len(value) != 3:
        raise InvalidValue(f"found {show(value)}; a CIELAB colour must be a list of three numbers, [L, a, b]")
    lightness, *ab = value
    return (_check_lightness(lightness), *(_check_ab(one) for one in ab))


def spectrum_rows(
    what: str, *, above: float | None = None, least: float | None = None, most: float | None = None
) -> BeforeValidator:
    """Return a check for rows of [nm, value]: wavelengths rise from 200 to 3000 and cover 400–700 nm.

    Hand instruments measure 400 to 700 nm. Those who use a table hold its end values beyond, where
    the eye sees next to nothing.
    """
    check_value = in_range(what, above=above, least=least, most=most)
    check_nm = in_range("a wavelength", "nm", least=200.0, most=3000.0)

    def check(rows: Any) -> Any:
        if not isinstance(rows, list | tuple) or not 2 <= len(rows) <= MAX_ROWS:
            raise InvalidValue(
                f"found {show(rows)}; it must be a list of 2 to {MAX_ROWS} rows of [nm, value]"
            )
        result: list[tuple[float, float]] = []
        for number, row in enumerate(rows, 1):
            if not isinstance(row, list | tuple) or len(row) != 2:
                raise InvalidValue(f"row {number}: found {show(row)}; a row must be [nm, value]")
            try:
                result.append((check_nm(row[0]), check_value(row[1])))
            except InvalidValue as problem:
                raise InvalidValue(f"row {number}: {problem}") from None
        _check_order(result)
        return tuple(result)

    return BeforeValidator(check)


def _check_order(rows: Sequence[tuple[float, float]]) -> None:
    for number, (before, after) in enumerate(pairwise(rows), 2):
        if after[0] <= before[0]:
            raise InvalidValue(
                f"row {number}: found {after[0]:g} nm after {before[0]:g} nm; wavelengths must rise"
            )
    if rows[0][0] > 400.0 or rows[-1][0] < 700.0:
        raise InvalidValue(
            f"found wavelengths from {rows[0][0]:g} to {rows[-1][0]:g} nm; they must reach from 400 to 700 nm"
        )


def exactly_one(part: BaseModel, names: Sequence[str], *, or_none: bool = False) -> None:
    """Refuse a group in which none, or more than one, of the fields `names` is given."""
    given = [name for name in names if getattr(part, name) is not None]
    if len(given) == 1 or (or_none and not given):
        return
    limit = "at most one" if or_none else "exactly one"
    found = " and ".join(given) or "none"
    raise InvalidValue(f"found {found}; give {limit} of {', '.join(names)}")


Id: TypeAlias = Annotated[str, identifier()]
"""What an entry is called in files and commands."""

Name: TypeAlias = Annotated[str, text("a name")]
"""What an entry is called on the screen."""

Hex: TypeAlias = Annotated[str, BeforeValidator(check_hex)]
"""An sRGB colour, ``#rrggbb``, kept in lower case."""


class Entry(Part):
    """What every entry of a palette has; entries may be keys of a cache."""

    id: Id
    """Unique within its kind over the whole palette."""

    name: Name
    """1 to 80 characters."""

    basis: Basis
    """Where the numbers come from."""

    def __hash__(self) -> int:
        """Return a hash by kind and id: equal entries share both, and it stays cheap for long tables."""
        return hash((type(self), self.id))
