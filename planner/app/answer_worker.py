"""Where answers are worked out while the interface goes on: a first look, then the full answer.

Each thread has room for the newest request only. What comes back is a message with the serial number of
what was asked, so that the screen can drop what is stale.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import chain
from threading import Condition, Lock
from typing import cast

from textual.message import Message

from planner.app.answer import Answer, answer_of, first_look
from planner.app.newest_worker import NewestWorker
from planner.app.pauses import started
from planner.app.request import UNASKED, Request, alike, of_line, request
from planner.app.second_process import SameProcess, SecondProcess, parcel, unpacked
from planner.app.state import State
from planner.catalogue.coating import NONE
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.reading.elsewhere import elsewhere
from planner.reading.instead import Instead, instead
from planner.reading.matter import FINE, QUICK
from planner.reading.question import Question
from planner.reading.rank import rank
from planner.reading.read import Reading, read, seen
from planner.refusal import Refusal

PAINT = 0.2
"""Seconds after which an answer counts as painted, if the screen has not said so: another one may be
before it."""

LEAFS = 0.1
"""Seconds without a change before more is found out than a first look tells."""

NEARLY_THERE = 0.05
"""Seconds for which a look that another process has begun is waited for: as long as one takes here."""

REMEMBERED = 300
"""First looks kept, so that going back costs nothing."""

REST = 0.4
"""Seconds without a change before the full answer is begun."""


class Answered(Message):
    """An answer is there."""

    def __init__(self, serial: int, answer: Answer) -> None:
        super().__init__()
        self.serial, self.answer = serial, answer


class LinesAnswered(Message):
    """First looks at lines of the costume, by their number from 0."""

    def __init__(self, serial: int, answers: Mapping[int, Answer]) -> None:
        super().__init__()
        self.serial, self.answers = serial, answers


class ChoicesSeen(Message):
    """The swatch, and what choices of a field would read as beside it: "#rrggbb" by their value."""

    def __init__(self, field: str, swatch: str, colours: Mapping[str, str]) -> None:
        super().__init__()
        self.field, self.swatch, self.colours = field, swatch, colours


class InsteadFound(Message):
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
        f"Something is wrong in the planner itself ({type(problem).__name__}{': ' + said if said else ''}); "
        "please report it with what you chose."
    )


class AnswerWorker:
    """The threads, and the second process behind the slowest of them."""

    def __init__(
        self, palette: Palette, post: Callable[[Message], object], second: SecondProcess | SameProcess, *,
        third: SecondProcess | SameProcess | None = None, rest: float = REST,
    ) -> None:  # fmt: skip
        self._post, self._second, self._third = post, second, third or SameProcess()
        self._parcel = parcel(palette)
        self._painted = 0
        self._closed = False
        self._known: dict[tuple[object, ...], Answer] = {}
        self._remembering, self._telling = Condition(), Lock()
        self._refined: int | None = None
        """Serial number of the request whose full answer was told last."""
        self._next: Request | None = None
        """What lies nearest to the request on the screen."""
        self._asked = 0
        """How often the screen asked."""
        self._under_way: tuple[object, ...] | None = None
        """Key of the request that is being looked at ahead."""
        self._began_with: tuple[object, ...] | None = None
        """Key of the request that the third process was begun with, while its answer is not fetched."""
        self._colours: dict[tuple[object, ...], tuple[str, dict[str, str]]] = {}
        self._quick: NewestWorker[Request] = NewestWorker(self._answer)
        self._ahead: NewestWorker[Iterable[Request]] = NewestWorker(self._look_ahead)
        self._slow: NewestWorker[tuple[Request, Reading]] = NewestWorker(self._refine, rest=rest)
        self._choices: NewestWorker[tuple[str, Palette, Request]] = NewestWorker(self._see_choices)

    def use(self, palette: Palette) -> None:
        """Look for what to order instead in another palette."""
        self._parcel, self._known, self._colours = parcel(palette), {}, {}

    def known(self, one: Request) -> Answer | None:
        """Return the first look at a request if it is remembered."""
        return self._known.get(one.key)

    def begin(self, state: State, *, begun: bool = False) -> None:
        """Look at what will be asked first, so that the answer is remembered when the screen asks.

        `begun` says that the third process was begun with that: see `planner.app.answer.first_look`.
        """
        with suppress(Refusal):  # the screen says so when it asks
            first = request(state, UNASKED)
            self._began_with = first.key if begun else None
            if begun and self._third.is_there:
                self._begun(first)  # at once: a thread would wait for its turn
            self._quick.ask(first)

    def ask(self, one: Request) -> None:
        """Let a request be answered; what was asked before is dropped."""
        self._asked += 1
        self._slow.drop()
        self._next = None
        self._ahead.ask(())
        self._quick.ask(one)

    def look_ahead(self, state: State, others: Iterable[State]) -> None:
        """Look at what may well be asked next, so that it is remembered by then.

        That is done for what has the same glass, cut and venue: what it needs is at hand where the pictures
        are drawn, which wait for it.
        """
        near = (of_line(one, UNASKED) for one in others if alike(one, state))
        with suppress(Refusal):
            self._next = next(near, None)
        self._ahead.ask(chain(near, [] if self._next is None else [self._next]))

    def painted(self, serial: int) -> None:
        """Take note that the answer to a request is on the screen, so that other work may go on."""
        self._painted = max(self._painted, serial)
        self._quick.nudge()

    def see_choices(self, field: str, palette: Palette, one: Request) -> None:
        """Let every stone ("s") or coating ("c") be seen in place of a request's own."""
        self._choices.ask((field, palette, one))

    @property
    def idle(self) -> bool:
        """Whether nothing is worked on."""
        return all(one.idle for one in self._all())

    def close(self) -> None:
        """End all work."""
        self._closed = True
        for one in self._all():
            one.close()
        self._second.close()

    def _all(self) -> list[NewestWorker]:  # type: ignore[type-arg]  # of several kinds
        return [self._quick, self._ahead, self._slow, self._choices]

    def _tell(self, message: Message, serial: int) -> None:
        if serial == UNASKED:
            return
        try:
            self._post(message)
        except RuntimeError:  # the interface is gone, and nobody waits for the answer any more
            if not self._closed:
                raise

    def _tell_once(self, one: Request, found: Answer) -> None:
        """Tell an answer that takes an earlier one's place; but no first look after a full answer."""
        with self._telling:
            if found.fine:
                self._refined = one.serial
            elif self._refined == one.serial:
                return
            self._tell(Answered(one.serial, found), one.serial)

    def _answer(self, one: Request) -> None:
        try:
            first = self._first(one)
            if not self._quick.stale and one.serial != UNASKED:
                self._tell(Answered(one.serial, first), one.serial)
                self._go_on(one, first)
        except Refusal as problem:
            self._tell(Failed(one.serial, str(problem)), one.serial)
        except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the screen waiting
            self._tell(Failed(one.serial, fault(problem)), one.serial)

    def _go_on(self, one: Request, first: Answer) -> None:
        """Begin whatever can wait until the first look is on the screen; leave when it is stale."""
        # Python computes in one thread at a time: the answer is painted first.
        if self._quick.wait(PAINT, lambda: self._painted >= one.serial):
            return
        started()
        leafing = self._asked > 1
        if not leafing:  # so nothing else is wanted of the second process yet
            self._slow.ask((one, first.reading), at_once=True)
        # Whoever leafs on finds the next one there, however busy the machine is with other processes.
        if self._next is not None:
            _ = self._first(self._next).leeway
        if self._quick.wait(LEAFS):
            return
        if one.venues or one.others:
            if self._look_elsewhere(one):
                return
            first = answer_of(one.question, QUICK, venues=one.venues, others=one.others, accept=one.accept,
                              reading=first.reading)  # fmt: skip
        first = first.at_the_window()
        if self._quick.stale:
            return
        self._tell_once(one, first)
        self._answer_lines(one)
        if leafing:
            self._slow.ask((one, first.reading))

    def _look_ahead(self, asked: Iterable[Request]) -> None:
        """Look at what may well be asked next, one by one in another process: here keys come first."""
        known = self._known  # of this palette
        try:
            for one in asked:
                if self._ahead.stale:
                    return
                if one.key not in known:
                    self._look_there(known, one)
        except Exception:  # noqa: BLE001 - it is not asked for yet, and who asks is told
            return

    def _look_there(self, known: dict[tuple[object, ...], Answer], one: Request) -> None:
        self._under_way = one.key
        try:
            found = self._third.call(first_look, one.question, one.accept)
            self._remember(known, one.key, found.asked_as(one.question))
        finally:
            with self._remembering:
                self._under_way = None
                self._remembering.notify_all()

    def _look_elsewhere(self, one: Request) -> bool:
        """Look at the other venues and sizes one by one, so that another question waits for one at most.

        They are at hand then. Return whether something else was asked meanwhile.
        """
        sizes = (read(another, QUICK) for another in one.others)
        return any(self._quick.stale for _ in chain(elsewhere(one.question, one.venues, QUICK), sizes))

    def _first(self, one: Request) -> Answer:
        """Return the first look at a request, from memory if it is there."""
        known = self._known
        with self._remembering:
            self._remembering.wait_for(lambda: self._under_way != one.key, NEARLY_THERE)
        self._begun(one)
        found = known.get(one.key) or answer_of(one.question, QUICK, accept=one.accept)
        self._remember(known, one.key, found)
        return found

    def _begun(self, one: Request) -> None:
        """Remember the first look that the third process was begun with, if it was this one."""
        if one.key == self._began_with:
            self._began_with = None
            with suppress(Exception):  # whatever happened to it there, it is worked out here
                found = cast("Answer", self._third.begun_with())
                self._remember(self._known, one.key, found.asked_as(one.question))

    def _remember(
        self, known: dict[tuple[object, ...], Answer], key: tuple[object, ...], found: Answer
    ) -> None:
        with self._remembering:
            known.pop(key, None)
            known[key] = found  # the newest last
            if len(known) > REMEMBERED:
                del known[next(iter(known))]

    def _answer_lines(self, one: Request) -> None:
        """Tell what each line of the costume reads as: what is known at once, then one after the other."""
        there = {line.serial: known for line in one.lines if (known := self.known(line)) is not None}
        self._tell(LinesAnswered(one.serial, there), one.serial)
        for line in one.lines:
            if self._quick.stale:
                return
            if line.serial not in there:
                self._tell(LinesAnswered(one.serial, {line.serial: self._first(line)}), one.serial)

    def _see_choices(self, wanted: tuple[str, Palette, Request]) -> None:
        field, palette, one = wanted
        question, stones = one.question, field == "s"
        coating = question.coating
        fixed = (coating and coating.id) if stones else question.stone.id
        key = (field, fixed, question.size, question.wish, one.key[1:])
        if key not in self._colours:
            films = {} if coating is None else {coating.id: coating}
            some = {"coatings": films} if stones else {"stones": {question.stone.id: question.stone}}
            try:
                coated = (coating is not None) if stones else None
                found = rank(replace(palette, **some), question, coated=coated)
            except Exception as problem:  # noqa: BLE001 - a fault of ours must not end the thread
                self._tell(Failed(one.serial, fault(problem)), one.serial)
                return
            colours = {_value(each.question, field): each.seen.hex for each in found}
            self._colours[key] = (seen(found[0].swatch).hex if found else "#000000", colours)
        if not self._choices.stale:
            self._tell(ChoicesSeen(field, *self._colours[key]), one.serial)

    def _refine(self, wanted: tuple[Request, Reading]) -> None:
        """Find what to order instead, which matters more, and then the full answer."""
        one, first = wanted
        try:
            offers = self._second.call(alternatives, self._parcel, first, one.venues)
        except Exception:  # noqa: BLE001 - the first look stands whatever happens there
            offers = None
        if self._slow.stale:
            return
        self._tell(InsteadFound(one.serial, offers), one.serial)
        try:
            fine = self._second.call(full, replace(one, lines=()))
        except Exception:  # noqa: BLE001 - as above
            return
        if not self._slow.stale:
            self._tell_once(one, fine)


def _value(question: Question, field: str) -> str:
    """Return which choice of a field a question has."""
    return question.stone.id if field == "s" else question.coating.id if question.coating else NONE


def full(one: Request) -> Answer:
    """Return the full answer to a request."""
    found = answer_of(one.question, FINE, venues=one.venues, others=one.others, accept=one.accept)
    return found.at_the_window()


def alternatives(
    parts: dict[str, object], reading: Reading, venues: Sequence[Venue] = ()
) -> tuple[Instead, ...]:
    """Return what to order instead, out of a `planner.app.second_process.parcel`."""
    return instead(unpacked(parts), reading, venues=venues)
