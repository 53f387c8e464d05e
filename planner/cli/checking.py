"""Every line of a job, for ``planner check``."""

import sys
from pathlib import Path

import click

from planner.assess import assess
from planner.cli.ask import GRADES, job_file
from planner.cli.at_hand import palette_of
from planner.cli.text import tell
from planner.cover.costume import outline_of
from planner.refusal import Refusal
from planner.say.check import check_document
from planner.say.names import counted


def show(*, job: Path, grade: str, palettes: Path | None, as_data: bool) -> bool:
    """Print every line of a job, and return whether no severe warning stands."""
    file = job_file(job)
    palette = palette_of(palettes, job)
    if file.job.outline is not None:
        # Refused now, and not only where the costume is to be drawn.
        try:
            outline_of(file.job, file.path.parent)
        except Refusal as problem:
            said = str(problem).removeprefix("field outline: ")
            raise Refusal(f"{file.path}, field outline: {said}") from None
    if sys.stderr.isatty() and file.job.lines:
        click.echo(f"Reading {counted(len(file.job.lines), 'line')} …", err=True)
    found = assess(file.job, palette, GRADES[grade], where=str(file.path))
    tell(check_document(found, palette, grade, file.path, palettes), as_data=as_data)
    return found.well
