"""What a job's areas take: stones by area, by pairing and size, their weight and the hours, usual counts."""

import shlex
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any, Final

from planner.assess import Guarded
from planner.catalogue.pairing import name_in
from planner.catalogue.palette import Palette
from planner.cover.count import AreaCount
from planner.cover.practice import COMPARED, GROSS, garments, in_gross
from planner.cover.totals import Totals
from planner.job.model import Job
from planner.say.document import (
    Column,
    Command,
    Document,
    Item,
    Literally,
    Part,
    Row,
    Section,
    Sentence,
    Table,
    document,
)
from planner.say.names import day, hours_between, money
from planner.say.reading import notes_parts
from planner.say.warned import guarded_data, wearer_section

_BY: Final = {"glue": "with glue", "hot-fix": "by hot-fix"}

_EXAMPLE: Final = """\
[[area]]
name = "Neckline"
shape = "band"
length_cm = 62
pattern = "single line"
mix = { name-of-a-line = 1 }"""


def cover_document(
    found: Totals, job: Job, palette: Palette, worn: Sequence[Guarded], file: Path, today: date,
    palettes: Path | None = None,
) -> Document:  # fmt: skip
    """Return what the areas of a job take.

    Parameters
    ----------
    found, job, palette
        What they come to, and what its ids mean.
    worn
        What concerns the wearer.
    file
        The job's.
    today
        A past event is noted.
    palettes
        What was read instead of the demo and the person's own folder.

    """
    notes = _notes(job, today)
    parts: list[Part | None] = [wearer_section(worn, job.wearer), *notes_parts(notes)]
    if found.areas:
        then = Command(f"fixing {shlex.quote(str(file))}", {"--palettes": palettes})
        parts += [
            _areas(found.areas), needs_section(found, job, palette), work_section(found, job),
            usual_section(found, job), unplaced_part(found, palette),
            Section("", (Sentence("How to fix them, and what to be careful of:"), then)),
        ]  # fmt: skip
    else:
        parts.append(Sentence(f"The job has no areas yet: add one to {file}, such as"))
        parts.append(Section("", tuple(map(Literally, _EXAMPLE.split("\n")))))
    return document(f"{job.title}: cover", parts, _data(found, job, worn, file, notes))


def _notes(job: Job, today: date) -> tuple[str, ...]:
    """Return what a maker may have overlooked in the job."""
    if job.event is None or job.event >= today:
        return ()
    return (f"the event, {day(job.event)}, is past; planner order will not take it.",)


def _areas(areas: Sequence[AreaCount]) -> Section:
    columns = (
        Column("area, as worn", folds=True), Column("cm²", "right"), Column("covered", "right"),
        Column("stones", "right"),
    )  # fmt: skip
    return Section("", (Table(columns, tuple(map(_area, areas))),))


def _area(one: AreaCount) -> Row:
    said = one.area.name + (f" × {one.area.times}" if one.area.times > 1 else "")
    if one.area.name.casefold() != one.area.pattern:
        said += f": {one.area.pattern}"
    cells = (
        said,
        "–" if one.surface_cm2 is None else f"{one.surface_cm2:,.0f}",
        "–" if one.hidden is None else f"{100 * one.hidden:.0f} %",
        f"{one.stones:,}",
    )
    lines = tuple(Row((f"{each.stones:,}", each.line.name or "")) for each in one.lines)
    return Row(cells, (Table((Column("", "right"), Column("", folds=True)), lines),))


def needs_section(found: Totals, job: Job, palette: Palette) -> Section:
    """Return what is needed of each pairing and size."""
    columns = (
        Column("needed", folds=True), Column("worn", "right"), Column("spare", "right"),
        Column("in all", "right"), Column("gross"),
    )  # fmt: skip
    rows = tuple(
        Row((
            name_in(palette, one.stone, one.coating, one.size), f"{one.worn:,}", f"{one.spares:,}",
            f"{one.count:,}", in_gross(one.count),
        ))
        for one in found.needed
    )  # fmt: skip
    packet = f", and {job.repair} for repairs" if job.repair else ""
    spare = (
        f"Spare: {100 * job.spares:g} % for losses while setting, rounded up for each{packet} (the job's "
        "spares and repair). Whole packs come in when you order, not here."
    )
    return Section("", (Table(columns, rows), Sentence(spare)))


def work_section(found: Totals, job: Job, price: str = "set hourly_rate in the job") -> Section:
    """Return weight and hours; `price` says how hours become money where the job does not tell."""
    time = found.hours
    cost = f"; {price} to see the cost"
    if time.cost is not None and job.hourly_rate is not None:
        each = money(job.hourly_rate, job.currency)
        cost = f", {money(time.cost, job.currency)} at {each} an hour"
    span = hours_between(time.least, time.most)
    usual = f"{time.usual:.{1 if time.usual < 10 else 0}f} h"
    set_in = span.capitalize() if span == hours_between(0.0, 0.0) else f"{usual} ({span})"
    weight = "Under 1 g" if found.grams < 1.0 else f"{found.grams:,.0f} g"
    return Section("About", (
        Item(f"{weight} on the garment, without glue: the volume of each cut × the density of its material "
             "(good to about 10 %)."),
        Item(f"{set_in} to set them {_BY[job.fixing]}{cost}. {time.basis} Estimated from common practice, no "
             "source."),
    ))  # fmt: skip


def usual_section(found: Totals, job: Job) -> Section:
    """Return the usual counts beside this one."""
    count, alike = in_gross(found.count), f"{found.alike:.1f} gross of {COMPARED}"
    said = [f"{count} in all sizes with spares; the stones worn cover as much cloth as {alike}."]
    for one in garments():
        note = f" ({one.note})" if one.note else ""
        said.append(f"{one.name}: {one.gross[0]} to {one.gross[1]} gross of {one.size}{note}")
    said.append("Common practice, no source; your own count does not depend on it.")
    hidden = [100 * one.hidden for one in found.areas if one.hidden is not None]
    if hidden:
        low, high = f"{min(hidden):.0f}", f"{max(hidden):.0f}"
        span = low if low == high else f"{low} to {high}"
        said.append(
            f"In your areas the stones cover {span} % of the cloth; readings of this job assume "
            f"{100 * job.cover:g} % (its cover)."
        )
    return Section("For comparison", tuple(map(Item, said)))


def unplaced_part(found: Totals, palette: Palette) -> Sentence | None:
    """Return which lines no area takes."""
    if not found.unplaced:
        return None
    names = "; ".join(name_in(palette, one.stone, one.coating, one.size) for one in found.unplaced)
    return Sentence(f"Not in any area, so not counted: {names}.")


def _data(
    found: Totals, job: Job, worn: Sequence[Guarded], file: Path, notes: Sequence[str]
) -> dict[str, Any]:
    time = found.hours
    return {
        "schema": "planner cover 1",
        "job": {"file": str(file), "title": job.title, "cover": job.cover},
        "wearer": [guarded_data(one) for one in worn],
        "notes": [f"Note: {one}" for one in notes],
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
                       for one in found.unplaced],
    }  # fmt: skip
