"""Every line of a job, for ``planner check``: what it reads as, what is warned of, what was accepted."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from planner.catalogue.errors import suggest
from planner.catalogue.palette import Palette
from planner.cli import as_json, telling, text, wearer
from planner.cli.arriving import track_data, track_told
from planner.cli.ask import GRADES, Asked, asked_for, not_offered, palette_of
from planner.cli.guard import plain
from planner.cli.next_step import command, pairing_options, same_match
from planner.cli.wearer import Warned
from planner.fitting.record import Remembered, remembered
from planner.fixing.caution import CODES as CAUTIONS
from planner.fixing.caution import FINAL, wearer_cautions
from planner.job import Acceptance, Job, JobFile, read_job_file, unknown_names
from planner.reading.elsewhere import elsewhere as elsewhere_of
from planner.reading.origin import kinds
from planner.reading.read import Reading, read
from planner.reading.sentence import pairing
from planner.reading.warn import CODES, Concern, accepted, warnings
from planner.refusal import Refusal

_SEVERE = "severe"
_HELD = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, eq=False)
class Checked:
    """One line of a job and what is to be said of it."""

    number: int
    """From 1."""
    asked: Asked
    reading: Reading
    found: tuple[tuple[Concern, Acceptance | None], ...]
    """Warnings, each with who accepts it."""
    unused: tuple[Acceptance, ...]
    """What was accepted but is not warned of."""
    record: Remembered
    """How far such predictions were off so far."""

    @property
    def standing(self) -> tuple[Concern, ...]:
        """Severe warnings that nobody accepted."""
        return tuple(one for one, by in self.found if one.severity == _SEVERE and by is None)


def show(*, job: Path, grade: str, palettes: Path | None, as_data: bool) -> bool:
    """Print every line of a job, and return whether no severe warning stands."""
    file = read_job_file(job)
    palette = palette_of(palettes, job)
    unknown = unknown_names(file.job, palette)
    if unknown:
        more = f" (and {len(unknown) - 1} more in this job)" if len(unknown) > 1 else ""
        raise Refusal(f"{file.path}, {unknown[0]}{more}")
    lines, worn = check(file, palette, grade), wearer.warned(file.job, palette)
    click.echo(as_json.dumps(_data(file, lines, worn)) if as_data else _told(file, lines, worn, palettes))
    return _ok(lines, worn)


def _ok(lines: Sequence[Checked], worn: Sequence[Warned]) -> bool:
    """Return whether no severe warning stands, on a reading or on the wearer."""
    return not any(one.standing for one in lines) and not any(one.standing for one in worn)


def check(file: JobFile, palette: Palette, grade: str) -> tuple[Checked, ...]:
    """Return every line of a job read in its first venue, with all that is to be warned of.

    Raises
    ------
    Refusal
        If a colour is no cloth's, or a coating cannot lie on its stone.

    """
    job = file.job
    asked = [_asked(file, number, palette, grade) for number in range(len(job.lines))]
    if sys.stderr.isatty() and asked:
        click.echo(f"Reading {len(asked)} lines …", err=True)
    readings = [read(one.question, GRADES[grade]) for one in asked]
    venues = [palette.venues[name] for name in job.venues[1:]]
    told = {(line, one.code) for one in wearer_cautions(job, palette) for line in one.lines}
    checked = []
    for number, (one, reading) in enumerate(zip(asked, readings, strict=True)):
        elsewhere = [*elsewhere_of(one.question, venues, GRADES[grade])]
        others = readings[:number] + readings[number + 1 :]
        concerns = warnings(reading, elsewhere, others)
        accept = job.lines[number].accept
        codes = {concern.code for concern in concerns}
        codes |= {code for line, code in told if line == number + 1 and code not in FINAL}
        unused = tuple(by for by in accept if by.code not in codes)
        record = remembered(one.question.stone, one.question.coating)
        checked.append(Checked(number + 1, one, reading, accepted(concerns, accept), unused, record))
    return tuple(checked)


def _asked(file: JobFile, number: int, palette: Palette, grade: str) -> Asked:
    job, line = file.job, file.job.lines[number]
    try:
        return asked_for(
            palette, stone=line.stone, coating=line.coating, size=line.size, swatch=job.swatch,
            cloth=job.cloth, venue=job.venues[0], distance=job.distance, cover=job.cover,
            tolerance=job.tolerance, wish=line.wish, grade=grade,
        )  # fmt: skip
    except click.BadParameter as problem:
        # No option was typed: what is wrong stands in the job.
        field = str(problem.param_hint).removeprefix("--")
        where = f"job line {number + 1}, field {field}" if field == "coating" else f"field {field}"
        raise Refusal(f"{file.path}, {where}: {problem.message}") from None


def _data(file: JobFile, lines: Sequence[Checked], worn: Sequence[Warned]) -> dict[str, Any]:
    job = file.job
    return {
        "schema": "planner check 1",
        "job": {
            "file": str(file.path), "title": job.title, "note": job.note,
            "event": None if job.event is None else job.event.isoformat(), "venues": list(job.venues),
        },
        "ok": _ok(lines, worn),
        "wearer": wearer.data(worn),
        "lines": [
            {
                "line": one.number,
                "inputs": as_json.inputs(one.asked),
                **as_json.answer(one.reading),
                "warnings": as_json.concerns(one.found),
                "accepted_in_vain": [by.model_dump() for by in one.unused],
                "notes": [*not_offered(one.asked.question), *one.record.notes],
                "track_record": track_data(one.record.track),
                "basis": as_json.basis(one.asked.question),
            }
            for one in lines
        ],
    }  # fmt: skip


def _told(file: JobFile, lines: Sequence[Checked], worn: Sequence[Warned], palettes: Path | None) -> str:
    job = file.job
    when = "" if job.event is None else f", first worn on {job.event.isoformat()}"
    parts = [text.heading(text.wrap(f"{job.title}{when}"))]
    if not lines:
        parts.append(text.wrap(f"The job has no lines yet: add one under [[line]] in {plain(file.path)}."))
        return "\n\n".join(parts)
    question = lines[0].asked.question
    parts.append(text.wrap(
        f"To match {lines[0].asked.swatch.name}, seen from {question.distance:g} m in {question.venue.name}."
    ))  # fmt: skip
    of_cloth = _alike(lines)
    said = [telling.got(lines[0].reading), *(text.wrap(one, 4, "  ") for one in of_cloth)]
    parts.append(telling.block("Swatch and cloth", "\n".join(said)))
    parts.append(wearer.told(worn, job.wearer))
    parts += [_line(one, job, of_cloth) for one in lines]
    parts.append(
        telling.invented(b for one in lines for b in as_json.basis(one.asked.question).values() if b)
    )
    parts.append(_verdict_on_wearer(worn))
    if not parts[-1] or any(one.standing for one in lines):
        parts.append(_verdict(file, lines, palettes))
    return "\n\n".join(part for part in parts if part)


def _alike(lines: Sequence[Checked]) -> tuple[str, ...]:
    """Return what the kind of cloth does to every line alike, so that it is told once."""
    of_each = [kinds(one.reading) for one in lines]
    return tuple(one for one in of_each[0] if all(one in some for some in of_each))


def _line(one: Checked, job: Job, told: Sequence[str]) -> str:
    question, note = one.asked.question, job.lines[one.number - 1].note
    of_cloth = [said for said in kinds(one.reading) if said not in told]
    parts = [
        text.heading(f"Line {one.number}: {pairing(one.reading)}, {question.size}, wish {question.wish}"),
        text.wrap(f"“{note}”") if note else "",
        telling.words(one.reading),
        telling.notes((*not_offered(question), *of_cloth, *one.record.notes)),
        track_told(one.record.track),
        telling.concerns(one.found, codes=True) if one.found else "  Nothing to warn of.",
        *(text.wrap(_in_vain(by), 4, "  ") for by in one.unused),
    ]
    return "\n".join(part for part in parts if part)


def _in_vain(by: Acceptance) -> str:
    """Say that an acceptance meets no warning: it is out of date, or its code is misspelt."""
    if by.code in FINAL:
        known = "nobody can accept that"
    elif by.code in {*CODES, *CAUTIONS}:
        known = "nothing of that code is warned of"
    else:
        known = f"there is no such warning: {suggest(by.code, [*CODES, *CAUTIONS])}"
    return f"{by.code}: accepted by {by.who} ({by.why}), but {known}"


def _verdict_on_wearer(worn: Sequence[Warned]) -> str:
    """Return what stands for the wearer's sake; nothing where nothing does."""
    standing = [one for one in worn if one.standing]
    if not standing:
        return ""
    parts = [text.heading("Before anything is bought")]
    for one in standing:
        code, where = one.caution.code, wearer.numbered(one.standing)
        may = "Nobody can accept it." if one.caution.final else "Who answers for it adds to each [[line]]:"
        parts.append(text.wrap(f"{code} stands for {where}. {one.caution.do} {may}"))
        if not one.caution.final:
            parts.append(f'  accept = [{{ code = "{code}", who = "…", why = "…" }}]')
    return "\n".join(parts)


def _verdict(file: JobFile, lines: Sequence[Checked], palettes: Path | None) -> str:
    """Return what stands, and what to do about it."""
    standing = [(one, concern) for one in lines for concern in one.standing]
    if not standing:
        return text.wrap("No severe warning stands that somebody has not accepted.")
    count = f"{len(standing)} severe warning{'s stand' if len(standing) > 1 else ' stands'}"
    listed = ", ".join(f"{concern.code} in line{_HELD}{one.number}" for one, concern in standing)
    first, concern = standing[0]
    accept = f'accept = [{{ code = "{concern.code}", who = "…", why = "…" }}]'
    return "\n".join([
        text.heading("Next"),
        text.wrap(f"{count} that nobody has accepted: {listed}."),
        "To see what to order instead:",
        command("try", {**pairing_options(first.asked.question), **same_match(first.asked, palettes)}),
        text.wrap(f"Or, if it may stay so, add to its [[line]] in {plain(file.path)}:"),
        f"  {accept}",
    ])  # fmt: skip
