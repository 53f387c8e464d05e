"""What may stand after an option; each refusal says what was found and what is allowed."""

from datetime import date
from typing import Any

import click

from planner.cli.guard import quoted
from planner.refusal import InvalidValue, Refusal


class Number(click.ParamType):  # type: ignore[type-arg]  # generic only in recent click
    """A number within limits, as `planner.catalogue.fields.in_range` has them."""

    name = "number"

    def __init__(self, what: str, unit: str = "", **limits: float) -> None:
        self.what, self.unit, self.limits = what, unit, limits

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Return the number."""
        from planner.catalogue.fields import in_range

        check = in_range(self.what, self.unit, **self.limits)
        try:
            return check(_number(value))
        except Refusal as problem:
            self.fail(str(problem), param, ctx)


class Whole(click.IntRange):
    """A whole number within limits."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the number."""
        try:
            return int(super().convert(value, param, ctx))
        except click.BadParameter:
            span = f"of at least {self.min}" if self.max is None else f"from {self.min} to {self.max}"
            self.fail(f"found {quoted(str(value))}; it must be a whole number {span}", param, ctx)


class OneOf(click.Choice):  # type: ignore[type-arg]  # generic only in recent click
    """One of a few words."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Return the word."""
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"found {quoted(str(value))}; allowed are {', '.join(self.choices)}", param, ctx)


class Size(click.ParamType):  # type: ignore[type-arg]  # generic only in recent click
    """A stone size with millimetres in common use."""

    name = "size"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Return its usual spelling."""
        from planner.catalogue.sizes import check_size

        try:
            return check_size(value)
        except Refusal as problem:
            self.fail(str(problem), param, ctx)


class Day(click.ParamType):  # type: ignore[type-arg]  # generic only in recent click
    """A day of the calendar."""

    name = "day"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Return it."""
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(str(value))
        except ValueError:
            self.fail(f"found {quoted(str(value))}; a day is written like 2031-01-31", param, ctx)


class Tolerance(click.ParamType):  # type: ignore[type-arg]  # generic only in recent click
    """A word for how far a reading may be off, or a number of ΔE00."""

    name = "tolerance"
    words = ("arm", "seats", "family")

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str | float:
        """Return the word or the number."""
        from planner.catalogue.fields import in_range

        if value in self.words:
            return str(value)
        try:
            return in_range("a tolerance", "ΔE00", above=0.0, most=50.0)(_number(value))
        except InvalidValue:
            allowed = f"{', '.join(self.words)}, or a number of ΔE00 above 0 and at most 50"
            self.fail(f"found {quoted(str(value))}; allowed are {allowed}", param, ctx)


class FilePath(click.Path):
    """A path that a file may have."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return it, unless it holds what no path can."""
        if "\0" in str(value):
            self.fail(f"found {quoted(str(value))}; a path cannot hold a null character", param, ctx)
        return super().convert(value, param, ctx)


class Rectangle(click.ParamType):  # type: ignore[type-arg]  # generic only in recent click
    """A rectangle on a picture: x,y,w,h in whole pixels."""

    name = "rectangle"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return it as an area of a photograph."""
        from planner.swatch.photo_file import Area

        if isinstance(value, Area):
            return value
        parts = [part.strip() for part in str(value).split(",")]
        if len(parts) != 4 or not all(part.isascii() and part.isdigit() and len(part) < 7 for part in parts):
            self.fail(
                f"found {quoted(str(value))}; a place on a picture is x,y,w,h in whole pixels, such as "
                "120,80,300,300", param, ctx,
            )  # fmt: skip
        return Area(*map(int, parts))


def _number(value: Any) -> Any:
    """Return a number where text holds one, else the text, for the check to refuse."""
    from planner.catalogue.by_hand import number

    try:
        return number(value) if isinstance(value, str) else value
    except InvalidValue:
        return value
