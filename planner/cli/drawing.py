"""The picture of a reading, as a file; whatever stands in its way is a fault of ``--picture``."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from planner.reading.read import Reading
from planner.refusal import Refusal


def check_place(path: Path) -> None:
    """Refuse a place where no picture can be written, before time goes into a reading.

    Raises
    ------
    click.BadParameter
        Saying what is in the way.

    """
    from planner.picture.png import checked

    with _option():
        checked(path)


def draw(reading: Reading, path: Path) -> None:
    """Draw a reading.

    Raises
    ------
    click.BadParameter
        If the file cannot be written after all.

    """
    from planner.picture.sheet import write_picture

    with _option():
        write_picture(reading, path)


@contextmanager
def _option() -> Iterator[None]:
    try:
        yield
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--picture") from None
