"""One answer as the screens show it: a reading with its words, worked out before anything is painted."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.catalogue.venue import Venue
from planner.fitting.record import remembered
from planner.job.model import Acceptance
from planner.reading.elsewhere import elsewhere as elsewhere_of
from planner.reading.matter import FINE, QUICK, Grade
from planner.reading.origin import kinds
from planner.reading.question import Question
from planner.reading.read import Reading, read
from planner.reading.sentence import cannot_tell, drift_basis, pairing, sentence
from planner.reading.verdict import Verdict, verdict
from planner.reading.warn import Concern, Elsewhere, accepted, warnings


@dataclass(frozen=True, eq=False)
class Look:
    """What there is to say about one question."""

    reading: Reading
    verdict: Verdict
    name: str
    """The pairing: "Pulley blue with the Halyard aurora film"."""
    sentence: str
    concerns: tuple[tuple[Concern, Acceptance | None], ...]
    """Gravest first, each with who accepts it."""
    notes: tuple[str, ...]
    basis: str
    """The weakest basis of what the answer rests on."""
    fine: bool
    """Whether it is worked out in full; else it is a first look."""


def look(
    question: Question, grade: Grade, *, venues: Iterable[Venue] = (), others: Sequence[Question] = (),
    accept: Iterable[Acceptance] = (),
) -> Look:  # fmt: skip
    """Return what there is to say about a question.

    Parameters
    ----------
    question, grade
        As for `planner.reading.read.read`.
    venues
        Where else the garment is seen.
    others
        The other lines of the job that hold the same pairing in another size.
    accept
        Warnings that somebody accepted.

    """
    reading = read(question, grade)
    readings = [read(one, QUICK) for one in others]
    return put(reading, [*elsewhere_of(question, venues)], readings, accept, grade is FINE)


def more(
    first: Look, venues: Iterable[Venue], others: Sequence[Question], accept: Iterable[Acceptance]
) -> Look:
    """Return a first look with what other venues and other lines add to it."""
    readings = [read(one, QUICK) for one in others]
    return put(first.reading, [*elsewhere_of(first.reading.question, venues)], readings, accept, first.fine)


def put(
    reading: Reading, elsewhere: Sequence[Elsewhere], others: Sequence[Reading],
    accept: Iterable[Acceptance], fine: bool,
) -> Look:  # fmt: skip
    """Return a reading in words."""
    unable = cannot_tell(reading)
    return Look(
        reading=reading,
        verdict=verdict(reading),
        name=pairing(reading),
        sentence=_said(reading) if unable is None else f"{unable} {_said(reading)}",
        concerns=accepted(warnings(reading, elsewhere, others), accept),
        notes=(*_notes(reading.question), *kinds(reading)),
        basis=drift_basis(reading),
        fine=fine,
    )


def _said(reading: Reading) -> str:
    """Return the sentence without the pairing's name, which stands over it, and with a capital."""
    said = sentence(reading).removeprefix(f"{pairing(reading)}: ")
    return said[:1].upper() + said[1:]


def _notes(question: Question) -> tuple[str, ...]:
    """Return what is to be known beside the sentence: sizes, and how near such predictions came so far."""
    record = remembered(question.stone, question.coating)
    told = () if record.track is None else (record.track.said,)
    notes = (*told, *(f"{one[:1].upper()}{one[1:]}" for one in record.notes))
    if question.size in question.stone.sizes:
        return notes
    sizes = ", ".join(question.stone.sizes)
    return (f"{question.stone.name} is not sold as {question.size}, only as {sizes}.", *notes)
