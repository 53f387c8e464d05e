"""Readings and pictures of several venues, worked out in a thread in the order they are wanted.

All that a worker is asked concerns one pairing and one job, so an answer stays true and is kept; what is no
longer wanted is not begun.
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from textual.message import Message

from planner.app.answer_worker import fault
from planner.app.newest_worker import NewestWorker
from planner.assess.venues import Judged, in_venue, judge
from planner.catalogue.venue import Venue
from planner.picture.picture import frame, prepare
from planner.reading.question import Question
from planner.refusal import Refusal

Size: TypeAlias = tuple[int, int]
Answer: TypeAlias = "Judged | NDArray[np.uint8] | str"
"""A reading, a picture, or one sentence on why there is none."""


class Found(Message):
    """Something was worked out."""


@dataclass(frozen=True, eq=False)
class Wanted:
    """What the screen shows."""

    venues: tuple[Venue, ...]
    size: Size
    """Of each picture, pixels; too small a one is not drawn."""


class VenuesWorker:
    """The thread and what it found.

    Parameters
    ----------
    question
        The pairing.
    lines
        The lines of the job.
    distance
        m; None where each venue's usual one counts.
    post
        Takes a `Found` after every step.

    """

    def __init__(
        self, question: Question, lines: Sequence[Question], distance: float | None,
        post: Callable[[Message], object],
    ) -> None:  # fmt: skip
        self._question, self._lines, self._distance, self._post = question, tuple(lines), distance, post
        self._kept: dict[Hashable, Answer] = {}
        self._thread: NewestWorker[Wanted] = NewestWorker(self._work)

    def ask(self, wanted: Wanted) -> None:
        """Let all that is shown be worked out, unless it is known; what was asked before is dropped."""
        self._thread.ask(wanted)

    def close(self) -> None:
        """End all work."""
        self._thread.close()

    @property
    def idle(self) -> bool:
        """Whether nothing is worked on."""
        return self._thread.idle

    def reading(self, venue: Venue) -> Judged | str | None:
        """Return what the pairing does in a venue, a sentence where that has no answer, None if not known."""
        found = self._kept.get(("pairing", venue.id))
        return found if isinstance(found, Judged | str) else None

    def picture(self, venue: Venue, size: Size) -> NDArray[np.uint8] | None:
        """Return the picture of a venue, (height, width, 3), if it is there."""
        found = self._kept.get(("picture", venue.id, size))
        return found if isinstance(found, np.ndarray) else None

    def line(self, number: int, venue: Venue) -> Judged | None:
        """Return what a line of the job does in a venue, if it is known."""
        found = self._kept.get(("line", number, venue.id))
        return found if isinstance(found, Judged) else None

    def _work(self, wanted: Wanted) -> None:
        steps: list[tuple[Hashable, Callable[[], Answer]]] = [
            (("pairing", venue.id), lambda venue=venue: judge(self._asked(self._question, venue)))  # type: ignore[misc]  # mypy infers no default's type in a lambda
            for venue in wanted.venues
        ]
        if min(wanted.size) >= 2:
            steps += [
                (("picture", venue.id, wanted.size), lambda venue=venue: self._draw(venue, wanted.size))  # type: ignore[misc]  # as above
                for venue in wanted.venues
            ]
        steps += [
            (("line", number, venue.id), lambda line=line, venue=venue: judge(self._asked(line, venue)))  # type: ignore[misc]  # as above
            for number, line in enumerate(self._lines)
            for venue in wanted.venues
        ]
        for key, step in steps:
            if self._thread.stale:
                return
            if key not in self._kept:
                self._kept[key] = _answered(step)
                self._post(Found())

    def _asked(self, question: Question, venue: Venue) -> Question:
        return in_venue(question, venue, self._distance)

    def _draw(self, venue: Venue, size: Size) -> NDArray[np.uint8]:
        return frame(prepare(self._asked(self._question, venue), *size))


def _answered(step: Callable[[], Answer]) -> Answer:
    try:
        return step()
    except Refusal as problem:
        return str(problem)
    except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the screen waiting
        return fault(problem)
