"""What an answer depends on, taken from a state."""

from contextlib import suppress
from dataclasses import dataclass, replace

from planner.app.state import State
from planner.catalogue.venue import Venue
from planner.job.model import Acceptance
from planner.reading.of_job import line_question
from planner.reading.question import Question
from planner.refusal import Refusal

UNASKED = -1
"""Serial number of a request that nobody waits for yet."""


@dataclass(frozen=True, eq=False)
class Request:
    """Everything an answer depends on, taken from a state."""

    serial: int
    question: Question
    venues: tuple[Venue, ...]
    """Where else the garment is seen."""
    others: tuple[Question, ...]
    """The same pairing in other sizes, elsewhere on the costume."""
    accept: tuple[Acceptance, ...]
    key: tuple[object, ...]
    """What is the same only where the answer is."""
    lines: tuple["Request", ...] = ()
    """Every line of the costume."""


def request(state: State, serial: int) -> Request:
    """Return what to ask about the line looked at.

    Raises
    ------
    Refusal
        If no stone can be made like that, or a colour is no cloth's.

    """
    lines = []
    for number in range(len(state.job.lines)):
        with suppress(Refusal):  # told when that line is looked at
            lines.append(of_line(state.at_line(number), number))
    return replace(of_line(state, serial), lines=tuple(lines))


def of_line(state: State, serial: int) -> Request:
    """Return the same, without the other lines."""
    job, own = state.job, state.pairing
    twins = [
        number for number, line in enumerate(job.lines)
        if (line.stone, line.coating) == (own.stone, own.coating) and line.size != own.size
    ]  # fmt: skip
    # Titles, notes, money and what was accepted change no answer.
    key = tuple((line.stone, line.coating, line.size, line.wish) for line in
                (own, *(job.lines[number] for number in twins)))  # fmt: skip
    return Request(
        serial,
        state.question(),
        tuple(state.palette.venues[name] for name in job.venues[1:]),
        tuple(line_question(job, job.lines[number], state.palette) for number in twins),
        own.accept,
        (key, job.swatch, job.cloth, job.venues, job.distance, job.cover, job.tolerance),
    )


def alike(one: State, other: State) -> bool:
    """Say whether two states share what takes long to find out."""

    def slow(state: State) -> tuple[object, ...]:
        stone = state.palette.stones[state.pairing.stone]
        return stone.cut, stone.material, stone.foil, stone.back, stone.opaque, state.job.venues

    return slow(one) == slow(other)
