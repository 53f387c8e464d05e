"""A pairing in one venue after another: what it does in each, decided here alone."""

from dataclasses import dataclass, replace

from planner.catalogue.venue import Venue
from planner.reading.fit import Fit, Outcome, fit, holds
from planner.reading.matter import QUICK, Grade
from planner.reading.question import Question
from planner.reading.read import Reading, read
from planner.reading.verdict import MARKS


@dataclass(frozen=True, eq=False)
class Judged:
    """What a pairing does in a venue."""

    reading: Reading
    fit: Fit

    @property
    def outcome(self) -> Outcome:
        """The answer: passes, just about, fails, can't tell."""
        return self.fit.outcome

    @property
    def holds(self) -> bool:
        """Whether it does what is wished, if only just."""
        return holds(self.outcome)

    @property
    def mark(self) -> str:
        """A sign for the answer."""
        return MARKS[self.outcome]


def in_venue(question: Question, venue: Venue, distance: float | None) -> Question:
    """Return a question asked in another venue, from a distance or else from where one usually sits there."""
    return replace(question, venue=venue, distance=venue.distance if distance is None else distance)


def judge(question: Question, grade: Grade = QUICK) -> Judged:
    """Read a pairing and judge it."""
    reading = read(question, grade)
    return Judged(reading, fit(reading))
