"""Answers printed: as text for the terminal at hand, or as JSON."""

import os
import shutil
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

import click

from planner.say.as_json import json_text
from planner.say.as_text import Page
from planner.say.as_text import text as as_text
from planner.say.document import Document

WIDTH = 80
"""Columns when the output is no terminal, and the most in any case: longer lines are hard to read."""

_NARROWEST = 40

SOON = 1.0
"""Seconds after which somebody who waits is told how far it is (our choice)."""


def columns() -> int:
    """Return how many columns to write."""
    if not sys.stdout.isatty():
        return WIDTH
    return max(_NARROWEST, min(WIDTH, shutil.get_terminal_size().columns))


def tell(answer: Document, *, as_data: bool) -> None:
    """Print an answer: its figures as JSON, or its words."""
    click.echo(json_text(answer) if as_data else as_text(answer, page()))


def tell_in_turn(answers: Iterable[Document]) -> None:
    """Print the words of an answer as it grows: of each, which begins with the one before, what is new."""
    said = ""
    for answer in answers:
        words = as_text(answer, page())
        new = words.removeprefix(said)
        click.echo(new.removeprefix("\n") if said else new)
        sys.stdout.flush()
        said = words


@contextmanager
def progress(what: str) -> Iterator[Callable[[float], None]]:
    """Give a function that says, on the terminal of standard error, which share is done, 0 to 1.

    Nothing is said of what is over in a moment, and what is said is gone when the answer comes.
    """
    shown, begun = False, time.monotonic()

    def tell_done(share: float) -> None:
        nonlocal shown
        if sys.stderr.isatty() and (shown or time.monotonic() - begun > SOON):
            shown = True
            click.echo(f"\r{what}: {100 * share:.0f} %", nl=False, err=True)

    try:
        yield tell_done
    finally:
        if shown:
            click.echo("\r" + " " * (len(what) + 8) + "\r", nl=False, err=True)


def page() -> Page:
    """Return what text is printed on."""
    return Page(columns(), true_colour())


def true_colour() -> bool:
    """Return whether this terminal shows 24-bit colour and the person wants colour."""
    ctx = click.get_current_context(silent=True)
    plain = not sys.stdout.isatty() or (ctx is not None and ctx.color is False)
    return not plain and os.environ.get("COLORTERM") in {"truecolor", "24bit"}
