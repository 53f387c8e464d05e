"""The worker begins the first answer before anything asks for it."""

import pickle
import threading
from dataclasses import replace
from pathlib import Path
from time import monotonic

import numpy as np
import pytest

from planner.app import answer_worker
from planner.app.ahead import neighbours
from planner.app.answer import answer_of, first_look
from planner.app.answer_worker import Answered, AnswerWorker, LinesAnswered
from planner.app.fields import FIELDS
from planner.app.request import request
from planner.app.second_process import ProcessLostError, SameProcess, SecondProcess
from planner.app.state import state_of
from planner.reading.matter import QUICK
from planner.refusal import Refusal


@pytest.fixture
def state(job, few):
    return state_of(job, few, None, Path())


def test_what_was_begun_is_told_only_when_asked_for_and_looked_at_once(state, monkeypatch):
    posted, looked, told = [], [], threading.Event()
    look = answer_worker.answer_of

    def post(message):
        posted.append(message)
        told.set()

    def counted(*given, **more):
        looked.append(given)
        return look(*given, **more)

    monkeypatch.setattr(answer_worker, "answer_of", counted)
    one = AnswerWorker(state.palette, post, SameProcess(), rest=60.0)
    question = request(state, 1)
    one.begin(state)
    _wait(lambda: one.idle)
    assert one.known(question) is not None
    assert posted == []
    one.ask(question)
    assert told.wait(5.0)
    one.close()
    assert isinstance(posted[0], Answered)
    assert posted[0].serial == 1
    assert len(looked) == 1


@pytest.mark.parametrize(
    ("problem", "said"),
    [(Refusal("no such stone"), "no such stone"), (ValueError("17"), "wrong in the planner itself")],
)
def test_a_refusal_is_told_when_asked_for_and_a_fault_is_called_one(problem, said, state, monkeypatch):
    posted, told = [], threading.Event()

    def post(message):
        posted.append(message)
        told.set()

    def wrong(*_given, **_more):
        raise problem

    monkeypatch.setattr(answer_worker, "answer_of", wrong)
    one = AnswerWorker(state.palette, post, SameProcess())
    one.begin(state)
    _wait(lambda: one.idle)
    assert posted == []
    one.ask(request(state, 1))
    assert told.wait(5.0)
    one.close()
    assert said in posted[0].sentence


@pytest.mark.parametrize("process", [SameProcess, SecondProcess])
def test_what_is_looked_at_ahead_is_what_is_found_when_it_is_asked(state, process):
    coating = next(one for one in FIELDS if one.key == "c")
    state = coating.choose(state, [one.value for one in coating.choices(state)][1])
    there, third = [*neighbours(state, coating)], process()
    one = AnswerWorker(state.palette, lambda _message: None, SameProcess(), third=third, rest=60.0)
    one.look_ahead(state, there)
    _wait(lambda: one.idle)
    one.close()
    third.close()
    found = [(known, request(other, 1)) for other in there if (known := one.known(request(other, 1)))]
    assert len(found) >= 2
    for known, asked in found:
        _same(known, answer_of(asked.question, QUICK, accept=asked.accept))


def _same(known, fresh):
    """Check that two answers are the same, bit by bit."""
    for part in ("seen", "nearer", "uncoated", "glow", "flash", "drift", "sparkle"):
        assert getattr(known.reading, part) == getattr(fresh.reading, part)
    assert np.array_equal(known.reading.lab_lots, fresh.reading.lab_lots)
    for part in ("verdict", "leeway", "concerns", "short", "notes", "sentences"):
        assert getattr(known, part) == getattr(fresh, part)


class Begun(SecondProcess):
    """A process that was begun with something."""

    is_there = False

    def __init__(self, fetched, *, is_there=False):
        super().__init__()
        self.begun_with, self.is_there = fetched, is_there


@pytest.mark.parametrize("is_there", [False, True])
def test_the_first_answer_is_the_one_that_another_process_was_begun_with(is_there, state, monkeypatch):
    monkeypatch.setattr(answer_worker, "answer_of", lambda *_given, **_more: pytest.fail("worked out here"))
    asked, posted, told = request(state, 1), [], threading.Event()

    def post(message):
        posted.append(message)
        told.set()

    def fetched():
        found = first_look(asked.question, asked.accept)
        return pickle.loads(pickle.dumps(found))  # noqa: S301 - our own

    third = Begun(fetched, is_there=is_there)
    one = AnswerWorker(state.palette, post, SameProcess(), third=third, rest=60.0)
    one.begin(state, begun=True)
    assert not is_there or one.known(asked), "what is there already is taken over at once"
    one.ask(asked)
    assert told.wait(30.0)
    one.close()
    _same(posted[0].answer, answer_of(asked.question, QUICK, accept=asked.accept))
    assert posted[0].answer.reading.question is one.known(asked).reading.question


@pytest.mark.parametrize("problem", [ProcessLostError("gone"), ValueError("wrong"), EOFError()])
def test_where_the_process_that_was_begun_with_it_fails_the_first_answer_is_worked_out_here(state, problem):
    posted, told = [], threading.Event()

    def post(message):
        posted.append(message)
        told.set()

    def fetched():
        raise problem

    one = AnswerWorker(state.palette, post, SameProcess(), third=Begun(fetched), rest=60.0)
    one.begin(state, begun=True)
    one.ask(asked := request(state, 1))
    assert told.wait(30.0)
    one.close()
    _same(posted[0].answer, answer_of(asked.question, QUICK, accept=asked.accept))


def test_what_was_changed_since_is_not_answered_with_what_another_process_was_begun_with(state):
    third = Begun(lambda: pytest.fail("asked for"))
    one = AnswerWorker(state.palette, lambda _message: None, SameProcess(), third=third, rest=60.0)
    one._began_with = request(state, 1).key
    one.ask(other := request(state.with_job(distance=7.0), 1))
    _wait(lambda: one.known(other))
    one.close()
    assert one.known(other).reading.question.distance == 7.0


def test_what_was_looked_at_ahead_in_another_palette_is_not_remembered(state):
    begun, go_on = threading.Event(), threading.Event()

    class Late(SameProcess):
        def call(self, work, *given):
            begun.set()
            go_on.wait(30.0)
            return super().call(work, *given)

    one = AnswerWorker(state.palette, lambda _message: None, SameProcess(), third=Late(), rest=60.0)
    one.look_ahead(state, [state])
    assert begun.wait(30.0)
    one.use(state.palette)
    go_on.set()
    _wait(lambda: one.idle)
    one.close()
    assert one.known(request(state, 1)) is None


def test_keys_wait_for_nothing_that_is_looked_at_ahead(state):
    begun, go_on, told = threading.Event(), threading.Event(), threading.Event()

    class Stuck(SameProcess):
        def call(self, _work, *_given):
            begun.set()
            go_on.wait(30.0)
            raise ProcessLostError

    one = AnswerWorker(state.palette, lambda _message: told.set(), SameProcess(), third=Stuck(), rest=60.0)
    one.look_ahead(state, [state])
    assert begun.wait(30.0)
    one.ask(request(state, 1))
    assert told.wait(30.0)
    go_on.set()
    one.close()


def test_what_to_order_instead_is_looked_for_at_once_at_first_and_later_when_nobody_leafs(state, monkeypatch):
    looked, posted = [], []
    monkeypatch.setattr(answer_worker, "alternatives", lambda *_given: looked.append(1) or ())
    monkeypatch.setattr(answer_worker, "full", lambda one: answer_of(one.question, QUICK, accept=one.accept))

    def post(message):
        posted.append(message)
        if isinstance(message, Answered):
            one.painted(message.serial)

    one = AnswerWorker(state.palette, post, SameProcess(), rest=60.0)
    one.ask(request(state, 1))
    _wait(lambda: one.idle)
    assert looked == [1]
    one.ask(request(state, 2))
    _wait(lambda: any(isinstance(each, LinesAnswered) and each.serial == 2 for each in posted))
    _wait(lambda: one._quick.idle)
    one.close()
    assert looked == [1]


def test_no_first_look_is_told_after_a_full_answer(state, monkeypatch):
    there, posted, fine = request(state, 1), [], threading.Event()
    there = replace(there, venues=tuple(state.palette.venues.values())[:1])

    def post(message):
        posted.append(message)
        if isinstance(message, Answered):
            one.painted(message.serial)
            if message.answer.fine:
                fine.set()

    def late(_question, _venues, _grade):
        fine.wait(30.0)
        return iter(())

    monkeypatch.setattr(answer_worker, "elsewhere", late)
    monkeypatch.setattr(answer_worker, "alternatives", lambda *_given: ())
    found = answer_of(there.question, QUICK, accept=there.accept)
    found = replace(found, assessed=replace(found.assessed, fine=True))
    monkeypatch.setattr(answer_worker, "full", lambda _one: found)
    one = AnswerWorker(state.palette, post, SameProcess(), rest=60.0)
    one.ask(there)
    _wait(lambda: fine.is_set() and one.idle)
    one.close()
    assert [message.answer.fine for message in posted if isinstance(message, Answered)] == [False, True]


def test_another_question_waits_for_one_of_the_other_venues_at_most(state, monkeypatch):
    there, looked = request(state, 1), []
    there = replace(there, venues=tuple(state.palette.venues.values()) * 2)
    assert len(there.venues) > 1

    def venue_by_venue(_question, venues, _grade):
        for venue in venues:
            looked.append(venue)
            one.ask(replace(there, serial=2, venues=()))
            yield venue

    monkeypatch.setattr(answer_worker, "elsewhere", venue_by_venue)
    posted = []

    def post(message):
        posted.append(message)
        one.painted(message.serial)

    one = AnswerWorker(state.palette, post, SameProcess(), rest=60.0)
    one.ask(there)
    _wait(lambda: any(message.serial == 2 for message in posted))
    one.close()
    assert len(looked) == 1


def _wait(done):
    end = monotonic() + 60.0
    while monotonic() < end:
        if done():
            return
        threading.Event().wait(0.005)
    raise AssertionError("it never came")
