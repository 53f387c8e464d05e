"""Every line of a job, for ``planner check``."""

import sys
from pathlib import Path

import click

from planner.assess import assess
from planner.cli.ask import GRADES, job_file, palette_of
from planner.cli.text import tell
from planner.say.check import check_document
from planner.say.names import counted


def show(*, job: Path, grade: str, palettes: Path | None, as_data: bool) -> bool:
    """Print every line of a job, and return whether no severe warning stands."""
    file = job_file(job)
    palette = palette_of(palettes, job)
    if sys.stderr.isatty() and file.job.lines:
        click.echo(f"Reading {counted(len(file.job.lines), 'line')} …", err=True)
    found = assess(file.job, palette, GRADES[grade], where=str(file.path))
    tell(check_document(found, palette, grade, file.path, palettes), as_data=as_data)
    return found.well
