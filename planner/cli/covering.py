"""What a job's areas take, for ``planner cover``."""

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from planner.catalogue.coating import NONE
from planner.catalogue.errors import suggest
from planner.catalogue.palette import Palette
from planner.cli import as_json, text, wearer
from planner.cli.ask import palette_of
from planner.cli.cover_picture import drawn
from planner.cli.guard import plain, quoted
from planner.cli.next_step import command
from planner.cover.count import AreaCount, counts, needs, unplaced
from planner.cover.need import Need
from planner.cover.practice import COMPARED, GROSS, garments, gross_alike, in_gross
from planner.cover.work import Hours, grams, hours
from planner.job import Job, JobFile, read_job_file, unknown_names
from planner.job.today import today
from planner.refusal import Refusal

_MINUTES = 0.25
"""Hours below which a time is a few minutes."""
_EXAMPLE = """\
  [[area]]
  name = "Neckline"
  shape = "band"
  length_cm = 62
  pattern = "single line"
  mix = { name-of-a-line = 1 }"""


@dataclass(frozen=True)
class Covered:
    """A job's areas, and what they come to."""

    file: JobFile
    palette: Palette
    areas: tuple[AreaCount, ...]
    needed: tuple[Need, ...]
    worn: tuple[wearer.Warned, ...]

    @property
    def job(self) -> Job:
        """The job."""
        return self.file.job

    @property
    def grams(self) -> float:
        """Weight of the stones worn, g."""
        return grams(self.needed, self.palette)

    @property
    def hours(self) -> Hours:
        """Time to set them."""
        return hours(self.job, self.needed)

    @property
    def alike(self) -> float:
        """Gross of `COMPARED` that would hide as much cloth."""
        return gross_alike(self.needed)


def show(
    job: Path, palettes: Path | None, *, picture: str | None, across: float | None, as_data: bool
) -> None:
    """Print what a job's areas take, or the picture of one of them."""
    found = covered(job, palettes)
    if across is not None and picture is None:
        raise click.BadParameter("is the width of a picture; it goes with --picture", param_hint="--across")
    if picture is not None:
        area = next((one for one in found.areas if one.area.name == picture), None)
        if area is None:
            hint = suggest(picture, [one.area.name for one in found.areas])
            raise click.BadParameter(
                f"found {quoted(picture)}; there is no such area: {hint}", param_hint="--picture"
            )
        click.echo(drawn(area, found.job, found.palette, across, as_data=as_data))
        return
    click.echo(as_json.dumps(_data(found)) if as_data else _told(found, palettes))


def covered(job: Path, palettes: Path | None) -> Covered:
    """Return what the areas of a job file take.

    Raises
    ------
    Refusal
        If the file or a palette cannot be used, or an area's stones would overlap.

    """
    file = read_job_file(job)
    palette = palette_of(palettes, job)
    if unknown := unknown_names(file.job, palette):
        more = f" (and {len(unknown) - 1} more in this job)" if len(unknown) > 1 else ""
        raise Refusal(f"{file.path}, {unknown[0]}{more}")
    try:
        areas, needed = counts(file.job), needs(file.job, palette)
    except Refusal as problem:
        raise Refusal(f"{file.path}, {problem}") from None
    return Covered(file, palette, areas, needed, wearer.warned(file.job, palette))


def money(amount: Decimal, job: Job) -> str:
    """Return an amount in the job's currency."""
    return f"{amount:,.2f} {job.currency}"


def called(one: Need, palette: Palette) -> str:
    """Return the name of what is needed."""
    coating = "" if one.coating == NONE else f" with {palette.coatings[one.coating].name}"
    return f"{palette.stones[one.stone].name}{coating}, {one.size}"


def _told(found: Covered, palettes: Path | None) -> str:
    job = found.job
    parts = [text.heading(text.wrap(f"{job.title}: cover")), wearer.told(found.worn, job.wearer)]
    parts += [text.wrap(one) for one in _notes(job)]
    if not found.areas:
        parts.append(text.wrap(f"The job has no areas yet: add one to {plain(found.file.path)}, such as"))
        parts.append(_EXAMPLE)
        return "\n\n".join(part for part in parts if part)
    parts += [_areas(found.areas), _needed(found), _sums(found), _usual(found), _not_placed(job)]
    then = command(f"fixing {shlex.quote(str(found.file.path))}", {"--palettes": palettes})
    parts.append(f"How to fix them, and what to be careful of:\n{then}")
    return "\n\n".join(part for part in parts if part)


def _notes(job: Job) -> tuple[str, ...]:
    """Return what a maker may have overlooked in the job."""
    if job.event is None or job.event >= today():
        return ()
    return (f"Note: the event, {job.event}, is past; planner order refuses such a day.",)


def _areas(areas: Sequence[AreaCount]) -> str:
    lines = [text.heading(f"{'area, as worn':<38}{'cm²':>9}{'hidden':>9}{'stones':>10}")]
    for one in areas:
        times = f" × {one.area.times}" if one.area.times > 1 else ""
        surface = "–" if one.surface_cm2 is None else f"{one.surface_cm2:,.0f}"
        hidden = "–" if one.hidden is None else f"{100 * one.hidden:.0f} %"
        said = f"{one.area.name}{times}"
        if one.area.name.casefold() != one.area.pattern:
            said += f": {one.area.pattern}"
        lines += _row(said, 38, f"{surface:>9}{hidden:>9}{one.stones:>10,}")
        lines += [f"    {each.stones:>9,}  {each.line.name}" for each in one.lines]
    return "\n".join(lines)


def _needed(found: Covered) -> str:
    lines = [text.heading(f"{'needed':<38}{'worn':>8}{'spare':>8}{'in all':>9}  gross")]
    for one in found.needed:
        figures = f"{one.worn:>8,}{one.spares:>8,}{one.count:>9,}  {in_gross(one.count)}"
        lines += _row(called(one, found.palette), 38, figures)
    job, packet = found.job, ""
    if job.repair:
        packet = f", and {job.repair} for repairs"
    lines.append(text.wrap(
        f"Spare: {100 * job.spares:g} % for loss while setting, rounded up for each{packet} (the job's "
        "spares and repair). Packs are rounded when they are chosen, not here."
    ))  # fmt: skip
    return "\n".join(lines)


def _row(name: str, wide: int, figures: str) -> list[str]:
    """Return a row of a table whose name may take more lines than one; figures stand on the last."""
    *before, last = text.fold(name, wide - 2)
    return [*before, f"{last:<{wide}}{figures}"]


def _sums(found: Covered) -> str:
    job, time = found.job, found.hours
    cost = "; set hourly_rate in the job to count it as money"
    if time.cost is not None:
        cost = f", {money(time.cost, job)} at {money(job.hourly_rate or Decimal(0), job)} an hour"
    set_in = f"{_hours(time.usual)} ({hours_told(time.least, time.most)})"
    if time.most < _MINUTES:
        set_in = hours_told(time.least, time.most).capitalize()
    return "\n".join([
        text.heading("About"),
        text.wrap(
            f"{_grams(found.grams)} on the garment, without glue: the volume of each cut × the density of "
            "its material (good to about 10 %).", 4, "  ",
        ),
        text.wrap(
            f"{set_in} to set them by {job.fixing}{cost}. {time.basis} An estimate of common practice, no "
            "source.", 4, "  ",
        ),
    ])  # fmt: skip


def _hours(value: float) -> str:
    return f"{value:.1f} h" if value < 10 else f"{value:.0f} h"


def _grams(value: float) -> str:
    return "Under 1 g" if value < 1.0 else f"{value:,.0f} g"


def hours_told(least: float, most: float) -> str:
    """Return how long something takes: "a few minutes", "about 0.5 h", "2.0 to 5.5 h"."""
    if most < _MINUTES:
        return "a few minutes"
    return between(least, most, "h", 1 if most < 10 else 0)


def between(least: float, most: float, unit: str, digits: int) -> str:
    """Return a range of an amount, never from nothing or to the same: "under 0.1 ml", "about 0.3 ml"."""
    low, high = f"{least:,.{digits}f}", f"{most:,.{digits}f}"
    if float(most) < 0.5 * 10.0**-digits:
        return f"under {10.0**-digits:g} {unit}"
    if low == high:
        return f"about {high} {unit}"
    return f"up to {high} {unit}" if float(low.replace(",", "")) == 0.0 else f"{low} to {high} {unit}"


def _usual(found: Covered) -> str:
    """Return the usual counts beside this one."""
    lines = [text.heading("For comparison"), text.wrap(
        f"{in_gross(sum(one.count for one in found.needed))} in all sizes with spares; the stones worn hide "
        f"as much cloth as {found.alike:.1f} gross of {COMPARED}.", 4, "  ",
    )]  # fmt: skip
    for one in garments():
        note = f" ({one.note})" if one.note else ""
        lines.append(
            text.wrap(f"{one.name}: {one.gross[0]} to {one.gross[1]} gross of {one.size}{note}", 4, "  ")
        )
    lines.append(text.wrap("Common practice, no source; nothing here is fitted to it.", 4, "  "))
    if hidden := [one.hidden for one in found.areas if one.hidden is not None]:
        lines.append(text.wrap(
            f"The areas hide {100 * min(hidden):.0f} to {100 * max(hidden):.0f} % of their cloth; readings "
            f"of this job reckon with {100 * found.job.cover:g} % (its cover).", 4, "  ",
        ))  # fmt: skip
    return "\n".join(lines)


def _not_placed(job: Job) -> str:
    left = unplaced(job)
    if not left:
        return ""
    names = ", ".join(one.name or f"{one.stone} {one.size}" for one in left)
    return text.wrap(f"On no area, so not counted: {names}.")


def _data(found: Covered) -> dict[str, Any]:
    job, time = found.job, found.hours
    return {
        "schema": "planner cover 1",
        "job": {"file": str(found.file.path), "title": job.title, "cover": job.cover},
        "wearer": wearer.data(found.worn),
        "notes": list(_notes(job)),
        "areas": [
            {
                "name": one.area.name, "shape": one.area.shape, "pattern": one.area.pattern,
                "times": one.area.times, "surface_cm2": one.surface_cm2, "hidden": one.hidden,
                "stones": one.stones,
                "lines": [{"line": each.line.name, "stones": each.stones} for each in one.lines],
            }
            for one in found.areas
        ],
        "needs": [
            {
                "stone": one.stone, "coating": one.coating, "size": one.size, "worn": one.worn,
                "spares": one.spares, "count": one.count, "gross": one.count // GROSS,
                "rest": one.count % GROSS,
            }
            for one in found.needed
        ],
        "grams": found.grams,
        "hours": {"least": time.least, "usual": time.usual, "most": time.most, "basis": time.basis,
                  "cost": None if time.cost is None else str(time.cost), "currency": job.currency},
        "alike_gross": {"size": COMPARED, "gross": found.alike},
        "usual": [{"garment": one.name, "size": one.size, "gross": list(one.gross)} for one in garments()],
        "on_no_area": [{"stone": one.stone, "coating": one.coating, "size": one.size, "name": one.name}
                       for one in unplaced(job)],
    }  # fmt: skip
