"""What a brief tells, before it is put into words: every line of a job read, judged and counted."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Final

from planner.brief.figures import Figures
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.cover import Need, needs
from planner.fixing import Caution, accepting, cautions
from planner.fixing.caution import WEARER
from planner.job import Acceptance, Job, Line, unknown_names
from planner.reading.drift import Difference, difference
from planner.reading.elsewhere import elsewhere
from planner.reading.fit import does
from planner.reading.instead import Instead, instead
from planner.reading.matter import FINE, Grade
from planner.reading.of_job import question_of
from planner.reading.rank import Ranked, glow_labs, rank
from planner.reading.read import Reading, Seen, read, seen
from planner.reading.warn import Concern, accepted, warnings
from planner.refusal import Refusal

TO_WEARER: Final = frozenset({*WEARER, "shed-on-ice", "shed-on-floor", "washed", "touched"})
"""Codes of `planner.fixing` that a client is told."""

MOST_IN_FULL = 2
"""Lines that a brief shows in full: pictures, patches, other venues, what else was looked at."""


@dataclass(frozen=True)
class Cost:
    """What the stones come to and when they come, as far as it is known and to be shown."""

    amount: Decimal | None
    """Stones with delivery; None where the client is not to see it."""
    currency: str
    """ISO 4217."""
    arrives: date | None = None
    """Day on which all is there."""
    whole: bool = True
    """Whether somebody offers everything that is needed."""


@dataclass(frozen=True, eq=False)
class There:
    """A pairing in another venue of the job, in which the swatch's colour can be told."""

    venue: Venue
    swatch: Seen
    glow: Seen
    drift: Difference
    holds: bool
    """Whether it does as wished there."""


@dataclass(frozen=True, eq=False)
class Told:
    """One line of a job and what is to be said of it."""

    number: int
    """From 1, as it stands in the job."""
    line: Line
    reading: Reading
    concerns: tuple[tuple[Concern, Acceptance | None], ...]
    """Warnings, gravest first, each with who accepts it."""
    elsewhere: tuple[There, ...]
    instead: tuple[Instead, ...]
    """Only of the lines that are shown in full."""


@dataclass(frozen=True, eq=False)
class Gathered:
    """A job, read."""

    job: Job
    lines: tuple[Told, ...]
    needs: tuple[Need, ...]
    """Of each pairing and size that some area takes."""
    cautions: tuple[tuple[Caution, Acceptance | None], ...]
    """What concerns who wears it, gravest first, each with who accepts it."""
    full: int
    """How many of `lines`, from the first, are to be shown in full; fewer where there is no room."""
    cost: Cost | None = None
    """From `planner.brief.supply.cost_of`; None where it is not known."""


def gather(
    job: Job, palette: Palette, *, grade: Grade = FINE, where: str = "", full: Sequence[int] = ()
) -> Gathered:
    """Return what a brief of a job has to tell.

    Parameters
    ----------
    job, palette
        What was chosen, and from what.
    grade
        How finely light is followed.
    where
        Begins every complaint: the job's file.
    full
        Numbers of the lines, from 1, that come first and are shown in full: one or two; the first two
        when not given.

    Raises
    ------
    Refusal
        One sentence, if the job has no pairing, has no line of a number in `full`, names
        something that the palette lacks, or cannot be made.

    """
    before = f"{where}, " if where else ""
    if not job.lines:
        raise Refusal(f"{where + ': ' if where else ''}the job has no pairing yet; a brief needs one")
    try:
        Figures(job.locale)
    except Refusal as problem:
        raise Refusal(f"{before}{problem}") from None
    first = _first(len(job.lines), full, before)
    unknown = unknown_names(job, palette)
    if unknown:
        more = f" (and {len(unknown) - 1} more in this job)" if len(unknown) > 1 else ""
        raise Refusal(f"{before}{unknown[0]}{more}")
    questions = [question_of(job, number, palette, before) for number in range(len(job.lines))]
    known: dict[tuple[str, str, str, str], Reading] = {}
    readings = []
    for line, question in zip(job.lines, questions, strict=True):
        key = (line.stone, line.coating, line.size, line.wish)
        if key not in known:
            known[key] = read(question, grade)
        readings.append(known[key])
    venues = [palette.venues[name] for name in job.venues[1:]]
    order = [*first, *(number for number in range(len(readings)) if number not in first)]
    told = [_told(job, number, readings, venues, grade) for number in order]
    told[: len(first)] = _with_instead(told[: len(first)], palette)
    counted = _needs(job, palette, before)
    return Gathered(job, tuple(told), counted, _cautions(job, palette), len(first))


def _first(count: int, full: Sequence[int], before: str) -> list[int]:
    """Return which lines come first and in full, from 0."""
    for number in full:
        if not 1 <= number <= count:
            raise Refusal(f"{before}line to show in full: found {number}; the job has lines 1 to {count}")
    wanted = list(dict.fromkeys(number - 1 for number in full))
    if len(wanted) > MOST_IN_FULL:
        raise Refusal(f"{before}lines to show in full: found {len(wanted)}; at most {MOST_IN_FULL} have room")
    return wanted or list(range(min(count, MOST_IN_FULL)))


def _told(job: Job, number: int, readings: Sequence[Reading], venues: list[Venue], grade: Grade) -> Told:
    reading, line = readings[number], job.lines[number]
    question = reading.question
    known = [venue for venue in venues if replace(question, venue=venue).swatch_told]
    there = tuple(
        There(venue, seen(swatch), seen(lab), difference(swatch, lab), bool(does(lab, swatch, question)))
        for venue, lab, swatch in glow_labs(question, known, grade)
    )
    others = [one for one in readings if one is not reading]
    found = warnings(reading, [*elsewhere(question, known, grade)], others)
    return Told(number + 1, line, reading, accepted(found, line.accept), there, ())


def _with_instead(lines: Sequence[Told], palette: Palette) -> list[Told]:
    """Return lines with what else was looked at; lines that wish alike in one size share the ranking."""
    ranked: dict[tuple[str, str], tuple[Ranked, ...]] = {}
    found = []
    for one in lines:
        question = one.reading.question
        key = question.size, question.wish
        if key not in ranked:
            ranked[key] = rank(palette, question)
        found.append(replace(one, instead=instead(palette, one.reading, best=ranked[key])))
    return found


def _needs(job: Job, palette: Palette, before: str) -> tuple[Need, ...]:
    """Return what the areas take; a job without areas is simply not counted."""
    if not job.areas:
        return ()
    try:
        return tuple(one for one in needs(job, palette) if one.count)
    except Refusal as problem:
        raise Refusal(f"{before}{problem}") from None


def _cautions(job: Job, palette: Palette) -> tuple[tuple[Caution, Acceptance | None], ...]:
    """Return the cautions for who wears it; those on how stones are fixed are the maker's."""
    found = [one for one in cautions(job, palette) if one.code in TO_WEARER]
    return tuple(
        (one, next(filter(None, (accepting(one, job.lines[line - 1]) for line in one.lines)), None))
        for one in found
    )
