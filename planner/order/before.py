"""What is known before packs are chosen: lines ordered, cautions for the wearer, what wants a sample."""

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from planner.catalogue.palette import Palette
from planner.cover.need import Need
from planner.fixing.caution import Caution, accepting, wearer_cautions
from planner.job.model import Acceptance, Job
from planner.order.packs import Pairing, key_of
from planner.order.sample import sample_advised
from planner.reading.concern import Concern
from planner.reading.matter import QUICK, Grade
from planner.reading.of_job import question_of
from planner.reading.read import read
from planner.reading.warn import accepted, warnings

Found: TypeAlias = tuple[tuple[Concern, Acceptance | None], ...]
"""Warnings, each with who accepts it."""

Wearer: TypeAlias = tuple[tuple[Caution, Acceptance | None], ...]
"""Cautions for who wears it, each with who accepts it."""


def ordered_lines(job: Job, needed: Iterable[Need]) -> tuple[int, ...]:
    """Return the numbers, from 1, of the lines that stones are needed for."""
    wanted = {key_of(one) for one in needed}
    return tuple(
        number for number, line in enumerate(job.lines, 1) if (line.stone, line.coating, line.size) in wanted
    )


def wearer_of(job: Job, palette: Palette, wanted: Sequence[int]) -> Wearer:
    """Return the cautions for who wears what is ordered; one is accepted if all its lines say so."""
    found = []
    for one in wearer_cautions(job, palette):
        lines = [job.lines[number - 1] for number in one.lines if number in wanted]
        if lines:
            by = [accepting(one, line) for line in lines]
            found.append((one, by[0] if all(by) else None))
    return tuple(found)


def lines_read(
    job: Job, palette: Palette, wanted: Sequence[int], grade: Grade = QUICK
) -> tuple[tuple[int, Found], ...]:
    """Return what is warned of in each line that is ordered, in the job's first venue.

    Raises
    ------
    Refusal
        If a colour is no cloth's, or a coating cannot lie on its stone.

    """
    readings = {number: read(question_of(job, number - 1, palette), grade) for number in wanted}
    return tuple(
        (number, accepted(
            warnings(one, (), [other for at, other in readings.items() if at != number]),
            job.lines[number - 1].accept,
        ))
        for number, one in readings.items()
    )  # fmt: skip


def samples_of(job: Job, lines: Iterable[tuple[int, Found]]) -> tuple[frozenset[Pairing], frozenset[Pairing]]:
    """Return which pairings want a sample, and of which lots disagree."""
    samples, straddling = set(), set()
    for number, found in lines:
        line = job.lines[number - 1]
        pairing = line.stone, line.coating, line.size
        if sample_advised(found):
            samples.add(pairing)
        if any(one.code == "lots-straddle" for one, _ in found):
            straddling.add(pairing)
    return frozenset(samples), frozenset(straddling)
