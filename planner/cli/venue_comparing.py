"""One pairing, or every line of a job, in several venues, for ``planner venue compare``."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from planner.assess.venues import in_venue, judge
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.cli.ask import GRADES, asked_for, called, job_file
from planner.cli.at_hand import palette_of
from planner.cli.text import tell
from planner.job import unknown_names
from planner.reading.named import Asked, asked_in
from planner.reading.of_job import question_of
from planner.refusal import Refusal
from planner.say.venues import Compared, venues_document

_LEAST, _MOST = 2, 4


def show(
    *, venues: Sequence[str], job: Path | None, palettes: Path | None, as_data: bool, **given: Any
) -> None:
    """Print a pairing, or the lines of a job, in several venues."""
    palette = palette_of(palettes, job)
    rows = _of_job(palette, job, venues, given) if job else [_of_pairing(palette, venues, given)]
    tell(venues_document(rows, whole_job=job is not None), as_data=as_data)


def _places(palette: Palette, names: Sequence[str]) -> list[Venue]:
    names = tuple(dict.fromkeys(names))
    if not _LEAST <= len(names) <= _MOST:
        raise click.UsageError(f"--venue: found {len(names)}; compare from {_LEAST} to {_MOST} venues")
    return [called("venue", name, palette.venues) for name in names]


def _of_pairing(palette: Palette, venues: Sequence[str], given: dict[str, Any]) -> Compared:
    missing = [f"--{name}" for name in ("stone", "coating", "swatch") if given[name] is None]
    if missing:
        raise click.UsageError(f"{missing[0]}: is missing; a pairing needs it, or give a job with --job")
    return _compared([asked_for(palette, venue=one.id, **given) for one in _places(palette, venues)])


def _of_job(palette: Palette, path: Path, venues: Sequence[str], given: dict[str, Any]) -> list[Compared]:
    typed = [f"--{name}" for name in ("stone", "coating", "swatch", "cloth") if given[name] is not None]
    if typed:
        raise click.UsageError(f"{typed[0]} and --job: found both; a job has its own")
    file = job_file(path)
    if unknown := unknown_names(file.job, palette):
        raise Refusal(f"{file.path}, {unknown[0]}")
    if not file.job.lines:
        raise Refusal(f"{file.path}: found no [[line]]; a job needs one to be compared")
    job, places, grade = file.job, _places(palette, venues or file.job.venues), given["grade"]
    questions = [question_of(job, number, palette, f"{file.path}, ") for number in range(len(job.lines))]
    return [
        _compared([
            asked_in(job, in_venue(one, place, job.distance), palette, grade) for place in places
        ])
        for one in questions
    ]  # fmt: skip


def _compared(asked: list[Asked]) -> Compared:
    return Compared(tuple(asked), tuple(judge(one.question, GRADES[one.grade]) for one in asked))
