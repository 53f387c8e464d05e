"""Answers printed: as text for the terminal at hand, or as JSON."""

import os
import shutil
import sys
from collections.abc import Callable

import click

from planner.say.as_json import json_text
from planner.say.as_text import Page
from planner.say.as_text import text as as_text
from planner.say.document import Document

WIDTH = 80
"""Columns when the output is no terminal, and the most in any case: longer lines are hard to read."""

_NARROWEST = 40


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


def true_colour() -> bool:
    """Return whether this terminal shows 24-bit colour and the person wants colour."""
    ctx = click.get_current_context(silent=True)
    plain = not sys.stdout.isatty() or (ctx is not None and ctx.color is False)
    return not plain and os.environ.get("COLORTERM") in {"truecolor", "24bit"}
