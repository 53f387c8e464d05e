"""Plain text for people: wrapped to the terminal, at most 80 columns, and whole without its colours."""

import os
import re
import shutil
import sys
import textwrap
from collections.abc import Callable

import click

from planner.say.as_json import json_text
from planner.say.as_text import Page
from planner.say.as_text import text as as_text
from planner.say.document import Document

WIDTH = 80
"""Columns when the output is no terminal, and the most in any case: longer lines are hard to read."""

_NARROWEST = 40
# A number and its unit stay on one line.
_BOUND = re.compile(r"(?<=[\d±×]) (?=[^\d\s])")
_HELD = "\N{NO-BREAK SPACE}"


def columns() -> int:
    """Return how many columns to write."""
    if not sys.stdout.isatty():
        return WIDTH
    return max(_NARROWEST, min(WIDTH, shutil.get_terminal_size().columns))


def tell(answer: Document, *, as_data: bool) -> None:
    """Print an answer: its figures as JSON, or its words."""
    click.echo(json_text(answer) if as_data else as_text(answer, page()))


def tell_in_turn(first: Document, whole: Callable[[], Document]) -> None:
    """Print the words of `first` at once, and of the whole answer, which begins with them, the rest later."""
    said = as_text(first, page())
    click.echo(said)
    sys.stdout.flush()
    click.echo(as_text(whole(), page()).removeprefix(said).removeprefix("\n"))


def page() -> Page:
    """Return what text is printed on."""
    return Page(columns(), true_colour())


def wrap(text: str, indent: int = 0, first: str | None = None) -> str:
    """Return `text` wrapped, each line after `indent` spaces, and the first one after `first` instead."""
    return textwrap.fill(
        _BOUND.sub(_HELD, text), columns(), initial_indent=" " * indent if first is None else first,
        subsequent_indent=" " * indent, break_long_words=False, break_on_hyphens=False,
    ).replace(_HELD, " ")  # fmt: skip


def heading(text: str) -> str:
    """Return a line that stands over a part."""
    return click.style(text, bold=True)


def true_colour() -> bool:
    """Return whether this terminal shows 24-bit colour and the person wants colour."""
    ctx = click.get_current_context(silent=True)
    plain = not sys.stdout.isatty() or (ctx is not None and ctx.color is False)
    return not plain and os.environ.get("COLORTERM") in {"truecolor", "24bit"}


def patch(hex_colour: str) -> str:
    """Return a small patch of a colour, or nothing where a terminal cannot show it truly."""
    if not true_colour():
        return ""
    red, green, blue = bytes.fromhex(hex_colour.removeprefix("#"))
    return click.style("   ", bg=(red, green, blue)) + " "
