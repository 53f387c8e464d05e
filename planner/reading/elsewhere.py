"""The same pairing in a job's other venues, and how sure it is that it fails there."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from planner.catalogue.venue import Venue
from planner.reading.concern import Elsewhere
from planner.reading.drift import difference
from planner.reading.fit import does, surely_fails
from planner.reading.matter import QUICK, Grade
from planner.reading.question import Question
from planner.reading.rank import seen_labs
from planner.reading.read import seen


def elsewhere(question: Question, venues: Iterable[Venue], grade: Grade = QUICK) -> Iterator[Elsewhere]:
    """Yield the pairing in each other venue in which the swatch's colour can be told.

    Parameters
    ----------
    question
        As it is asked in the first venue.
    venues
        The others.
    grade
        How finely to follow the stone.

    """
    told = [venue for venue in venues if replace(question, venue=venue).swatch_told]
    for venue, lab, swatch in seen_labs(question, told, grade):
        there = replace(question, venue=venue)
        yield Elsewhere(
            venue,
            seen(swatch),
            seen(lab),
            difference(swatch, lab),
            bool(does(lab, swatch, question)),
            surely_fails(lab, swatch, question, there.doubt.covariance),
        )
