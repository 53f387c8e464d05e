"""The flow of ``planner venue make`` and ``planner venue show``."""

from collections.abc import Sequence
from pathlib import Path

import click

from planner.cli.ask import called
from planner.cli.at_hand import palette_of
from planner.cli.keeping import keeping
from planner.cli.text import tell
from planner.lighting.made import UNSAVED, made
from planner.refusal import InvalidValue
from planner.say.venue import venue_document


def make(
    *, lamps: Sequence[str], total: float | None, surround: str, floor: str, distance: float,
    save: str | None, over: bool, to: Path | None, as_data: bool,
) -> None:  # fmt: skip
    """Print the venue that words make, and keep it if asked."""
    kept = keeping(save, to, over=over)
    try:
        found = made(
            kept.name if kept else "A venue in your words", lamps, surround=surround, floor=floor,
            distance=distance, total=total, venue_id=kept.id("venue") if kept else UNSAVED,
        )  # fmt: skip
    except InvalidValue as problem:
        raise click.UsageError(str(problem)) from None
    where = "" if kept is None else kept.keep((found.venue,), "My own venues.")
    saved = None if kept is None else kept.file("venue")
    tell(venue_document(found.venue, found.notes, saved=saved, where=where), as_data=as_data)


def show(*, venue_id: str, palettes: Path | None, as_data: bool) -> None:
    """Print what lights a venue of the palettes."""
    tell(venue_document(called("venue", venue_id, palette_of(palettes).venues)), as_data=as_data)
