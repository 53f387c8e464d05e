"""What a brief tells, before it is put into words: every line of a job read, judged and counted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Final

from planner.assess import (
    Assessed,
    Guarded,
    LineAssessed,
    assess,
    assess_question,
    guarded,
)
from planner.brief.figures import Figures
from planner.brief.pictures import pictures
from planner.catalogue.coating import NONE
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.cover import Need, needs
from planner.cover.costume import SUFFIX, Dressed, dressed, outline_of
from planner.fixing.caution import ALWAYS, WEARER
from planner.job import Job, Line
from planner.reading.beside import Ahead
from planner.reading.fit import fit
from planner.reading.instead import Instead, instead
from planner.reading.looks import steps_ahead
from planner.reading.matter import FINE, Grade
from planner.reading.of_job import question_of
from planner.reading.rank import Ranked, rank
from planner.refusal import Refusal

TO_WEARER: Final = frozenset(
    {*WEARER, *ALWAYS, "shed-above-people", "shed-on-ice", "shed-on-floor", "washed", "touched"}
    - {"scrap-first", "rules-first"}
)
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
    unsaid: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """Each seller who does not state every charge, with those that are therefore not in the amount."""


@dataclass(frozen=True, eq=False)
class Gathered:
    """A job, read."""

    job: Job
    lines: tuple[LineAssessed, ...]
    """Those that are shown in full first, then the others in the job's order."""
    needs: tuple[Need, ...]
    """Of each pairing and size that some area takes."""
    cautions: tuple[Guarded, ...]
    """What concerns who wears it, gravest first."""
    full: int
    """How many of `lines`, from the first, are to be shown in full; fewer where there is no room."""
    asked: tuple[int, ...]
    """Numbers of those among them that somebody asked for."""
    instead: Mapping[int, tuple[Instead, ...]]
    """What else was looked at, by the numbers of the lines that are shown in full."""
    safe: LineAssessed | None = None
    """What is safer than the first line where that one is not safe and no line of the job is: beside it, with
    number 0."""
    dress: Dressed | None = None
    """The whole costume, where the job says how it is drawn and where on it areas lie."""
    quote: bool = False
    """Whether the page carries a quote."""
    cost: Cost | None = None
    """From `planner.brief.supply.cost_of`; None where it is not known."""


def gather(
    job: Job, palette: Palette, *, grade: Grade = FINE, where: str = "", full: Sequence[int] = (),
    folder: Path | None = None,
) -> Gathered:  # fmt: skip
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
        Numbers of the lines, from 1, that come first and are shown in full: one or two. The first when not
        given. Beside a single one that is not safe stands what is: another line, or a pairing of the palette.

    folder
        Of the job's file, in which an outline of the maker's own is found; without it there is no such one.

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
    found = assess(job, palette, grade, where=where, ahead=lambda: _ahead(job, palette, first)).lines
    venues = [palette.venues[name] for name in job.venues[1:]]
    others = _instead([found[at] for at in first], palette, venues)
    safe: LineAssessed | None = None
    if len(first) == 1 and not is_safe(loved := found[first[0]]):
        safe = _safe_line(loved, found) or _safe_other(others[loved.number], venues, grade)
        if safe is not None and safe.number:
            first, safe = [*first, safe.number - 1], None
    lines = (*(found[at] for at in first), *(one for at, one in enumerate(found) if at not in first))
    return Gathered(
        job, lines, _needs(job, palette, before), guarded(job, palette, codes=TO_WEARER), len(first),
        tuple(dict.fromkeys(full)), others, safe=safe, dress=_dressed(job, folder, before),
    )  # fmt: skip


def _ahead(job: Job, palette: Palette, first: Sequence[int]) -> Ahead:
    """Return what is asked for last: pictures of the first lines, and what could be instead."""
    asked = [question_of(job, at, palette) for at in first]
    rankings = [step for one in asked for step in steps_ahead(palette, one)]
    return Ahead(rankings, [partial(pictures, one) for one in asked])


def _dressed(job: Job, folder: Path | None, before: str) -> Dressed | None:
    own = job.outline is not None and job.outline.lower().endswith(SUFFIX)
    if job.outline is None or (own and folder is None) or all(one.part is None for one in job.areas):
        return None
    try:
        return dressed(job, outline_of(job, folder or Path()))
    except Refusal as problem:
        raise Refusal(f"{before}{problem}") from None


def is_safe(one: Assessed) -> bool:
    """Say whether a pairing does what is wished, with no severe warning that nobody accepted."""
    return one.verdict.holds and not one.standing


def _safe_line(loved: LineAssessed, found: Sequence[LineAssessed]) -> LineAssessed | None:
    """Return the safest other line with the same wish."""
    alike = [one for one in found if one is not loved and one.line.wish == loved.line.wish and is_safe(one)]
    return min(alike, key=lambda one: (len(one.concerns), fit(one.reading).misfit), default=None)


def _safe_other(others: Sequence[Instead], venues: Sequence[Venue], grade: Grade) -> LineAssessed | None:
    """Return the first of the pairings looked at that is safe in every venue of the job."""
    for other in others:
        if other.severe or not other.ranked.holds:
            continue
        one = assess_question(other.reading.question, grade, venues=venues)
        if is_safe(one):
            asked = other.reading.question
            coating = asked.coating.id if asked.coating else NONE
            line = Line(stone=asked.stone.id, coating=coating, size=asked.size, wish=asked.wish)
            return LineAssessed(one.reading, one.concerns, one.elsewhere, one.record, one.fine, 0, line, ())
    return None


def _first(count: int, full: Sequence[int], before: str) -> list[int]:
    """Return which lines come first and in full, from 0."""
    for number in full:
        if not 1 <= number <= count:
            raise Refusal(f"{before}line to show in full: found {number}; the job has lines 1 to {count}")
    wanted = list(dict.fromkeys(number - 1 for number in full))
    if len(wanted) > MOST_IN_FULL:
        raise Refusal(f"{before}lines to show in full: found {len(wanted)}; at most {MOST_IN_FULL} have room")
    return wanted or [0]


def _instead(
    lines: Sequence[LineAssessed], palette: Palette, venues: Sequence[Venue]
) -> dict[int, tuple[Instead, ...]]:
    """Return what else was looked at; lines that wish alike in one size share the ranking."""
    ranked: dict[tuple[str, str], tuple[Ranked, ...]] = {}
    found = {}
    for one in lines:
        question = one.reading.question
        key = question.size, question.wish
        if key not in ranked:
            ranked[key] = rank(palette, question)
        # A client is shown nothing that fails too.
        found[one.number] = tuple(
            other for other in instead(palette, one.reading, venues=venues, best=ranked[key]) if other.fits
        )
    return found


def _needs(job: Job, palette: Palette, before: str) -> tuple[Need, ...]:
    """Return what the areas take; a job without areas is simply not counted."""
    if not job.areas:
        return ()
    try:
        return tuple(one for one in needs(job, palette) if one.count)
    except Refusal as problem:
        raise Refusal(f"{before}{problem}") from None
