"""A pairing in one venue after another: what it does in each, decided here alone."""

from dataclasses import dataclass, replace

from planner.catalogue.venue import Venue
from planner.reading.fit import Fit, fit
from planner.reading.matter import QUICK, Grade
from planner.reading.question import Question
from planner.reading.read import Reading, read
from planner.reading.sentence import cannot_tell


@dataclass(frozen=True, eq=False)
class Judged:
    """What a pairing does in a venue."""

    reading: Reading
    fit: Fit
    told: bool
    """Whether there is an answer; else the swatch is not known well enough for one."""

    @property
    def holds(self) -> bool:
        """Whether it surely enough does what is wished."""
        return self.told and self.fit.fits

    @property
    def mark(self) -> str:
        """A sign for it."""
        return "?" if not self.told else "✓" if self.fit.fits else "✗"

    @property
    def word(self) -> str:
        """A word or two for it."""
        return "can't tell" if not self.told else "holds" if self.fit.fits else "does not hold"


def in_venue(question: Question, venue: Venue, distance: float | None) -> Question:
    """Return a question asked in another venue, from a distance or else from where one usually sits there."""
    return replace(question, venue=venue, distance=venue.distance if distance is None else distance)


def judge(question: Question, grade: Grade = QUICK) -> Judged:
    """Read a pairing and judge it."""
    reading = read(question, grade)
    return Judged(reading, fit(reading), cannot_tell(reading) is None)
