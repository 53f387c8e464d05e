"""The flow of ``planner venue make`` and ``planner venue show``."""

from collections.abc import Sequence
from pathlib import Path

import click

from planner.cli.ask import called, palette_of
from planner.cli.keeping import keep, kept, place
from planner.cli.text import tell
from planner.lighting.made import UNSAVED, made
from planner.refusal import InvalidValue
from planner.say.venue import venue_document


def make(
    *, name: str, lamps: Sequence[str], total: float | None, surround: str, floor: str, distance: float,
    save: str | None, to: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print the venue that words make, and keep it if asked."""
    to = place(save, to, "venue")
    try:
        found = made(
            name, lamps, surround=surround, floor=floor, distance=distance, total=total,
            venue_id=UNSAVED if save is None else save,
        )  # fmt: skip
    except InvalidValue as problem:
        raise click.UsageError(str(problem)) from None
    if to is not None:
        keep((found.venue,), to, about="Venues of our own.")
    where = "" if to is None else kept((found.venue,), to)
    tell(venue_document(found.venue, found.notes, saved=to, where=where), as_data=as_data)


def show(*, venue_id: str, palettes: Path | None, as_data: bool) -> None:
    """Print what lights a venue of the palettes."""
    tell(venue_document(called("venue", venue_id, palette_of(palettes).venues)), as_data=as_data)
