"""Where answers are worked out while the interface goes on: a first look, the picture, the full answer.

Three threads, each with room for the newest question only. What comes back is a message with the
serial number of what was asked, so that the screen can drop what is stale.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from textual.message import Message

from planner.app.latest import Latest
from planner.app.look import Look, look, more
from planner.app.pauses import started
from planner.app.second_process import Here, SecondProcess, parcel, unpacked
from planner.app.state import State
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.job.model import Acceptance
from planner.picture.picture import Prepared, frame, prepare
from planner.reading.instead import Instead, instead
from planner.reading.matter import FINE, QUICK
from planner.reading.of_job import line_question
from planner.reading.question import Question
from planner.reading.read import Reading
from planner.refusal import Refusal

PAINT = 0.2
"""Seconds after which an answer counts as painted, if the screen has not said so: another one may be
before it."""

AHEAD = 0.1
"""Seconds without a change before the neighbouring choices are looked at, to have them ready."""

REMEMBERED = 300
"""First looks kept, so that going back costs nothing."""

UNASKED = -1
"""Serial number of a question that nobody waits for yet."""

REST = 0.4
"""Seconds without a change before the full answer is begun."""


@dataclass(frozen=True, eq=False)
class Asked:
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
    beside: tuple["Asked", ...] = ()
    """What may well be asked next."""


def asked(state: State, serial: int, beside: Sequence[State] = ()) -> Asked:
    """Return what to ask about the line looked at.

    Of the states `beside` those are looked at ahead whose glass, cut and venue are the same: what they
    need is at hand, and a sudden other question does not have to wait for long.

    Raises
    ------
    ValueError
        If no stone can be made like that, or a colour is no cloth's.

    """
    job, own = state.job, state.pairing
    twins = [
        number for number, line in enumerate(job.lines)
        if (line.stone, line.coating) == (own.stone, own.coating) and line.size != own.size
    ]  # fmt: skip
    # Titles, notes, money and what was accepted change no answer.
    key = tuple((line.stone, line.coating, line.size, line.wish) for line in
                (own, *(job.lines[number] for number in twins)))  # fmt: skip
    return Asked(
        serial,
        state.question(),
        tuple(state.palette.venues[name] for name in job.venues[1:]),
        tuple(line_question(job, job.lines[number], state.palette) for number in twins),
        own.accept,
        (key, job.swatch, job.cloth, job.venues, job.distance, job.cover, job.tolerance),
        tuple(asked(one, 0) for one in beside if _alike(one, state)),
    )


def _alike(one: State, other: State) -> bool:
    """Return whether two states share what takes long to find out."""

    def slow(state: State) -> tuple[object, ...]:
        stone = state.palette.stones[state.pairing.stone]
        return stone.cut, stone.material, stone.foil, stone.back, stone.opaque, state.job.venues

    return slow(one) == slow(other)


class Looked(Message):
    """An answer is there."""

    def __init__(self, serial: int, look: Look) -> None:
        super().__init__()
        self.serial, self.look = serial, look


class Drawn(Message):
    """A picture is there."""

    def __init__(self, serial: int, prepared: Prepared, rgb: NDArray[np.uint8]) -> None:
        super().__init__()
        self.serial, self.prepared, self.rgb = serial, prepared, rgb


class Offered(Message):
    """What to order instead is known; None where it could not be found out."""

    def __init__(self, serial: int, offers: tuple[Instead, ...] | None) -> None:
        super().__init__()
        self.serial, self.offers = serial, offers


class Failed(Message):
    """No answer could be given."""

    def __init__(self, serial: int, sentence: str) -> None:
        super().__init__()
        self.serial, self.sentence = serial, sentence


def fault(problem: BaseException) -> str:
    """Return one sentence for a fault of the planner's own."""
    said = " ".join(str(problem).split())[:200]
    return (
        f"The planner has a fault of its own ({type(problem).__name__}{': ' + said if said else ''}); "
        "please report it with what you chose."
    )


@dataclass(frozen=True)
class View:
    """How the picture is to be drawn."""

    width: int
    height: int
    tilt: float


class Desk:
    """The threads, and the second process behind the slowest of them."""

    def __init__(
        self,
        palette: Palette,
        post: Callable[[Message], object],
        second: SecondProcess | Here,
        *,
        rest: float = REST,
    ) -> None:
        self._post, self._second = post, second
        self._parcel = parcel(palette)
        self.view = View(0, 0, 0.0)
        self._painted = 0
        self._closed = False
        self._known: dict[tuple[object, ...], Look] = {}
        self._quick: Latest[Asked] = Latest(self._look)
        self._slow: Latest[tuple[Asked, Reading]] = Latest(self._refine, rest=rest)
        self._frames: Latest[tuple[int, Prepared | Question, View]] = Latest(self._draw)

    def use(self, palette: Palette) -> None:
        """Look for what to order instead in another palette."""
        self._parcel, self._known = parcel(palette), {}

    def known(self, question: Asked) -> Look | None:
        """Return the first look at a question if it is remembered."""
        return self._known.get(question.key)

    def begin(self, state: State) -> None:
        """Look at what will be asked first, so that the answer is remembered when the screen asks."""
        with suppress(Refusal):  # the screen says so when it asks
            self._quick.ask(asked(state, UNASKED))

    def ask(self, question: Asked) -> None:
        """Let a question be answered; what was asked before is dropped."""
        self._slow.drop()
        self._quick.ask(question)

    def painted(self, serial: int) -> None:
        """Take note that the answer to a question is on the screen, so that other work may go on."""
        self._painted = max(self._painted, serial)
        self._quick.nudge()

    def draw(self, serial: int, what: Prepared | Question, view: View) -> None:
        """Let a frame be drawn, of a question or of what its last frame left prepared."""
        self._frames.ask((serial, what, view))

    @property
    def idle(self) -> bool:
        """Whether nothing is worked on."""
        return self._quick.idle and self._slow.idle and self._frames.idle

    def close(self) -> None:
        """End all work."""
        self._closed = True
        for one in (self._quick, self._slow, self._frames):
            one.close()
        self._second.close()

    def _tell(self, message: Looked | Drawn | Offered | Failed) -> None:
        if message.serial == UNASKED:
            return
        try:
            self._post(message)
        except RuntimeError:  # the interface is gone, and nobody waits for the answer any more
            if not self._closed:
                raise

    def _look(self, one: Asked) -> None:
        try:
            first = self._first(one)
            if self._quick.stale or one.serial == UNASKED:
                return
            self._tell(Looked(one.serial, first))
            # Python computes in one thread at a time: the answer is painted first.
            if self._quick.wait(PAINT, lambda: self._painted >= one.serial):
                return
            started()
            self.draw(one.serial, one.question, self.view)
            if one.venues or one.others:
                first = more(first, one.venues, one.others, one.accept)
                if self._quick.stale:
                    return
                self._tell(Looked(one.serial, first))
            self._slow.ask((one, first.reading))
            if not self._quick.wait(AHEAD):
                self._look_ahead(one.beside)
        except Refusal as problem:
            self._tell(Failed(one.serial, str(problem)))
        except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the screen waiting
            self._tell(Failed(one.serial, fault(problem)))

    def _first(self, one: Asked) -> Look:
        """Return the first look at a question, from memory if it is there."""
        known = self._known.pop(one.key, None)
        found = known or look(one.question, QUICK, accept=one.accept)
        self._known[one.key] = found  # the newest last
        if len(self._known) > REMEMBERED:
            del self._known[next(iter(self._known))]
        return found

    def _look_ahead(self, beside: Sequence[Asked]) -> None:
        for one in beside:
            if self._quick.stale:
                return
            self._first(one)

    def _draw(self, wanted: tuple[int, Prepared | Question, View]) -> None:
        serial, what, view = wanted
        if min(view.width, view.height) < 2:
            return
        prepared = prepare(what, view.width, view.height) if isinstance(what, Question) else what
        rgb = frame(prepared, view.tilt)
        self._tell(Drawn(serial, prepared, rgb))

    def _refine(self, wanted: tuple[Asked, Reading]) -> None:
        """Find what to order instead, which matters more, and then the full answer."""
        one, first = wanted
        try:
            offers = self._second.call(alternatives, self._parcel, first)
        except Exception:  # noqa: BLE001 - the first look stands whatever happens there
            offers = None
        if self._slow.stale:
            return
        self._tell(Offered(one.serial, offers))
        try:
            fine = self._second.call(full, one)
        except Exception:  # noqa: BLE001 - as above
            return
        if not self._slow.stale:
            self._tell(Looked(one.serial, fine))


def full(one: Asked) -> Look:
    """Return the full answer to a question."""
    return look(one.question, FINE, venues=one.venues, others=one.others, accept=one.accept)


def alternatives(parts: dict[str, object], reading: Reading) -> tuple[Instead, ...]:
    """Return what to order instead, out of a `planner.app.second_process.parcel`."""
    return instead(unpacked(parts), reading)
