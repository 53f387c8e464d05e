"""The flow of ``planner cover`` and ``planner fixing``: areas counted, and how their stones are fixed."""

from pathlib import Path

import click

from planner.assess import guarded
from planner.catalogue.errors import suggest
from planner.catalogue.palette import Palette
from planner.cli import text
from planner.cli.ask import job_file
from planner.cli.at_hand import palette_of
from planner.cli.guard import quoted
from planner.cli.text import tell, true_colour
from planner.cover.costume import dressed, outline_of
from planner.cover.count import AreaCount, lines_of
from planner.cover.picture import plan
from planner.cover.totals import Totals, totals
from planner.job import Job, JobFile, unknown_names
from planner.job.today import today
from planner.refusal import InvalidValue, Refusal
from planner.say.cover import cover_document
from planner.say.document import Document
from planner.say.drawn import LINES, costume_document, pattern_document
from planner.say.fixing import fixing_document


def show(
    job: Path, palettes: Path | None, *, picture: str | None, costume: bool, across: float | None,
    as_data: bool,
) -> None:  # fmt: skip
    """Print what a job's areas take, or the picture of one of them, or that of the costume."""
    file, palette, found = _covered(job, palettes)
    if across is not None and picture is None:
        raise click.BadParameter("is the width of a picture; it goes with --picture", param_hint="--across")
    if costume:
        tell(_costume(file, palette, colours=true_colour() and not as_data), as_data=as_data)
        return
    if picture is not None:
        area = _area(found, picture)
        colours = true_colour() and not as_data
        tell(_pattern(area, file.job, palette, across, colours=colours), as_data=as_data)
        return
    worn = guarded(file.job, palette)
    answer = cover_document(found, file.job, palette, worn, file.path, today(), palettes)
    tell(answer, as_data=as_data)


def _area(found: Totals, name: str) -> AreaCount:
    area = next((one for one in found.areas if one.area.name == name), None)
    if area is None:
        hint = suggest(name, [one.area.name for one in found.areas])
        raise click.BadParameter(
            f"found {quoted(name)}; there is no such area: {hint}", param_hint="--picture"
        )
    return area


def _pattern(
    count: AreaCount, job: Job, palette: Palette, across: float | None, *, colours: bool
) -> Document:
    lines = lines_of(count.area, job)
    try:
        picture = plan(count.area, lines, text.columns(), 2 * LINES, across)
    except InvalidValue as problem:
        raise click.BadParameter(str(problem), param_hint="--across") from None
    return pattern_document(picture, lines, job, palette, colours=colours)


def _costume(file: JobFile, palette: Palette, *, colours: bool) -> Document:
    try:
        drawn = dressed(file.job, outline_of(file.job, file.path.parent))
    except Refusal as problem:
        raise Refusal(f"{file.path}, {problem}") from None
    return costume_document(drawn, file.job, palette, text.columns(), colours=colours)


def show_fixing(job: Path, palettes: Path | None, *, as_data: bool) -> None:
    """Print how a job's stones are fixed, and every caution."""
    file, palette, _ = _covered(job, palettes)
    worn = guarded(file.job, palette)
    tell(fixing_document(file.job, palette, worn, file.path), as_data=as_data)


def _covered(job: Path, palettes: Path | None) -> tuple[JobFile, Palette, Totals]:
    """Return a job file, the palette it is read with, and what its areas come to."""
    file = job_file(job)
    palette = palette_of(palettes, job)
    if unknown := unknown_names(file.job, palette):
        more = f" (and {len(unknown) - 1} more in this job)" if len(unknown) > 1 else ""
        raise Refusal(f"{file.path}, {unknown[0]}{more}")
    try:
        return file, palette, totals(file.job, palette)
    except Refusal as problem:
        raise Refusal(f"{file.path}, {problem}") from None
