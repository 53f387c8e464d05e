"""Every line of a job, or one question alone, read and judged."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain
from typing import TypeAlias, cast

from planner.assess.wearer import Guarded, guarded
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.fitting.record import Remembered, remembered
from planner.fixing.caution import FINAL
from planner.job.check import unknown_names
from planner.job.model import Acceptance, Job, Line
from planner.reading.beside import Ahead, in_turns
from planner.reading.concern import Concern, Elsewhere
from planner.reading.elsewhere import elsewhere as elsewhere_of
from planner.reading.matter import FINE, QUICK, Grade
from planner.reading.of_job import question_of
from planner.reading.question import Question
from planner.reading.read import Reading, is_read, read
from planner.reading.verdict import Verdict, verdict
from planner.reading.warn import accepted, warnings
from planner.refusal import Refusal


@dataclass(frozen=True, eq=False)
class Assessed:
    """One question, read and judged."""

    reading: Reading
    concerns: tuple[tuple[Concern, Acceptance | None], ...]
    """Warnings, gravest first, each with who accepts it."""
    elsewhere: tuple[Elsewhere, ...]
    """The same in other venues, in which the swatch's colour can be told."""
    record: Remembered
    """How far such predictions were off so far."""
    fine: bool
    """Whether it is worked out in full; else it is a first look."""

    @property
    def verdict(self) -> Verdict:
        """The answer in a few words."""
        return verdict(self.reading)

    @property
    def standing(self) -> tuple[Concern, ...]:
        """Severe warnings that nobody accepted."""
        return tuple(one for one, by in self.concerns if one.severity == "severe" and by is None)

    @property
    def lots_straddle(self) -> bool:
        """Whether so many lots would answer otherwise that a second order is a gamble."""
        return any(one.code == "lots-straddle" for one, _ in self.concerns)

    def accepting(self, accept: Iterable[Acceptance]) -> "Assessed":
        """Return the same with what is accepted by now."""
        return replace(self, concerns=accepted([one for one, _ in self.concerns], accept))

    @property
    def wants_another(self) -> bool:
        """Whether something is warned of for which another pairing should be looked at."""
        return self.reading.question.swatch_told and any(one.severity != "note" for one, _ in self.concerns)


@dataclass(frozen=True, eq=False)
class LineAssessed(Assessed):
    """One line of a job, read and judged."""

    number: int
    """From 1, as it stands in the job."""
    line: Line
    unused: tuple[Acceptance, ...]
    """What was accepted but is not warned of."""


@dataclass(frozen=True, eq=False)
class Assessment:
    """A job, read and judged."""

    job: Job
    lines: tuple[LineAssessed, ...]
    """In the job's order; those that were asked for."""
    wearer: tuple[Guarded, ...]
    """What concerns who wears the garment, gravest first."""

    @property
    def well(self) -> bool:
        """Whether no severe warning stands, on a reading or for the wearer."""
        return not (any(one.standing for one in self.lines) or any(one.standing for one in self.wearer))


def assess_question(
    question: Question, grade: Grade = FINE, *, venues: Iterable[Venue] = (),
    others: Iterable[Question] = (), accept: Iterable[Acceptance] = (), reading: Reading | None = None,
) -> Assessed:  # fmt: skip
    """Return one question, read and judged.

    Parameters
    ----------
    question, grade
        As for `planner.reading.read.read`.
    venues
        Where else the garment is seen.
    others
        What the job's other lines ask, if they hold the same pairing in another size.
    accept
        Warnings that somebody accepted.
    reading
        The question's reading, where it is at hand.

    """
    found = read(question, grade) if reading is None else reading
    there = tuple(elsewhere_of(question, venues, grade))
    concerns = warnings(found, there, [read(one, QUICK) for one in others])
    record = remembered(question.stone, question.coating)
    return Assessed(found, accepted(concerns, accept), there, record, grade is FINE)


def assess(
    job: Job, palette: Palette, grade: Grade = FINE, *, lines: Collection[int] | None = None,
    where: str = "", ahead: Callable[[], Ahead] = Ahead,
) -> Assessment:  # fmt: skip
    """Return every line of a job, read in its first venue and judged, and what concerns its wearer.

    Parameters
    ----------
    job, palette
        What was chosen, and from what.
    grade
        How finely light is followed.
    lines
        Numbers, from 1, of the lines asked for, such as those that are ordered; all when not given. The
        others are read all the same, since sizes are compared.
    where
        Begins every complaint: the job's file.
    ahead
        What will be asked for afterwards, of which a second process does its share, as it does of the lines.

    Raises
    ------
    Refusal
        One sentence, if the job names what the palette lacks, a colour is no cloth's, or a coating cannot
        lie on its stone.

    """
    before = f"{where}, " if where else ""
    if unknown := unknown_names(job, palette):
        more = f" (and {len(unknown) - 1} more in this job)" if len(unknown) > 1 else ""
        raise Refusal(f"{before}{unknown[0]}{more}")
    wanted = range(1, len(job.lines) + 1) if lines is None else sorted(lines)
    looked = _looked(job, palette, grade, before, wanted, ahead)
    worn = guarded(job, palette)
    return Assessment(
        job,
        tuple(_line(job, number, looked, grade, worn) for number in wanted),
        worn if lines is None else guarded(job, palette, lines),
    )


_Looked: TypeAlias = tuple[Reading, tuple[Elsewhere, ...]]
"""A line's reading, and the same elsewhere."""


def _looked(
    job: Job,
    palette: Palette,
    grade: Grade,
    before: str,
    wanted: Collection[int],
    ahead: Callable[[], Ahead],
) -> tuple[_Looked, ...]:
    """Return what every line is seen as, elsewhere where it is `wanted`; lines that ask alike share it.

    Line by line, since what a film does is worked out once for all venues.
    """
    venues = [palette.venues[name] for name in job.venues[1:]]
    asked = [question_of(job, at, palette, before) for at in range(len(job.lines))]
    alike = [(line.stone, line.coating, line.size, line.wish) for line in job.lines]
    steps: dict[object, Callable[[], Reading | tuple[Elsewhere, ...]]] = {}
    for number, (question, key) in enumerate(zip(asked, alike, strict=True), 1):
        steps.setdefault(key, partial(read, question, grade))
        for venue in venues if number in wanted else ():
            steps.setdefault((key, venue.id), partial(_there, question, venue, grade))
    shared = in_turns(list(steps.values()), ahead, known=not asked or is_read(asked[-1], grade))
    found = dict(zip(steps, shared, strict=True))
    there = [
        [found[key, venue.id] for venue in venues if number in wanted] for number, key in enumerate(alike, 1)
    ]
    return tuple(
        (cast("Reading", found[key]), tuple(chain.from_iterable(cast("list[tuple[Elsewhere, ...]]", each))))
        for key, each in zip(alike, there, strict=True)
    )


def _there(question: Question, venue: Venue, grade: Grade) -> tuple[Elsewhere, ...]:
    return tuple(elsewhere_of(question, [venue], grade))


def _line(
    job: Job, number: int, looked: Sequence[_Looked], grade: Grade, worn: Sequence[Guarded]
) -> LineAssessed:
    line, (reading, there) = job.lines[number - 1], looked[number - 1]
    others = [one for at, (one, _) in enumerate(looked, 1) if at != number]
    concerns = accepted(warnings(reading, there, others), line.accept)
    record = remembered(reading.question.stone, reading.question.coating)
    known = {one.code for one, _ in concerns} | {
        one.caution.code for one in worn if number in one.caution.lines and one.caution.code not in FINAL
    }
    unused = tuple(by for by in line.accept if by.code not in known)
    return LineAssessed(reading, concerns, there, record, grade is FINE, number, line, unused)
