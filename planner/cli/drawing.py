"""The picture of a reading, and its film, as files; what stands in the way is a fault of the option."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from planner.reading.question import Question
from planner.reading.read import Reading
from planner.refusal import Refusal


def check_places(picture: Path | None, film: Path | None) -> None:
    """Refuse a place where nothing can be written, before time goes into a reading.

    Raises
    ------
    click.BadParameter
        Saying what is in the way.

    """
    if picture is not None:
        from planner.picture.png import checked

        with _option("--picture"):
            checked(picture)
    if film is not None:
        from planner.picture.film import SUFFIX
        from planner.picture.png import checked

        with _option("--film"):
            checked(film, SUFFIX)


def draw(reading: Reading, path: Path) -> None:
    """Draw a reading.

    Raises
    ------
    click.BadParameter
        If the file cannot be written after all.

    """
    from planner.picture.sheet import write_picture

    with _option("--picture"):
        write_picture(reading, path)


def draw_film(question: Question, path: Path) -> None:
    """Draw what is asked as it moves, and say on a terminal how far that is.

    Raises
    ------
    click.BadParameter
        If the file cannot be written after all.

    """
    from planner.picture.film import write_film

    drawn = 0.0
    steps = click.progressbar(range(100), label="Drawing the film", file=sys.stderr)
    with _option("--film"), steps as bar:

        def done(share: float) -> None:
            nonlocal drawn
            bar.update(int(100.0 * share) - int(100.0 * drawn))
            drawn = share

        write_film(question, path, done)


@contextmanager
def _option(name: str) -> Iterator[None]:
    try:
        yield
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint=name) from None
