"""The screen of venues opened on a job, and the job after it."""

from dataclasses import replace
from pathlib import Path

from planner.app.fields import FIELDS
from planner.app.state import State
from planner.app.venues.screen import VenuesScreen
from planner.app.venues.understood import own_file
from planner.catalogue.palette import Palette
from planner.reading.of_job import line_question

_MAIN_VENUE = next(field for field in FIELDS if field.key == "v")


def opened(state: State, palettes: Path | None = None) -> VenuesScreen:
    """Return the screen for the line looked at, in the venues of its job.

    Parameters
    ----------
    state
        The job.
    palettes
        What ``--palettes`` names, if given: venues are kept there then.

    Raises
    ------
    ValueError
        If a line cannot be made like that, or a colour is no cloth's.

    """
    job, palette = state.job, state.palette
    lines = [line_question(job, line, palette) for line in job.lines]
    return VenuesScreen(
        palette, lines[state.line], lines, venues=job.venues, distance=job.distance,
        keep_in=own_file(palettes),
    )  # fmt: skip


def taken(state: State, palette: Palette, main: str | None) -> State:
    """Return the state that knows a palette's venues, with a venue as the main one if one was chosen."""
    after = replace(state, palette=palette)
    return after if main is None else _MAIN_VENUE.choose(after, main)
