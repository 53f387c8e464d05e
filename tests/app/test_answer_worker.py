"""The worker begins the first answer before anything asks for it."""

import threading
from dataclasses import replace
from pathlib import Path

import pytest

from planner.app import answer_worker
from planner.app.answer_worker import Answered, AnswerWorker, request
from planner.app.fields import FIELDS, beside
from planner.app.second_process import SameProcess
from planner.app.state import state_of
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


def test_who_leafs_finds_the_next_one_looked_at_before_the_other_venues(state, monkeypatch):
    coating, look, asked = next(one for one in FIELDS if one.key == "c"), answer_worker.answer_of, []
    values = [one.value for one in coating.choices(state)]
    state = coating.choose(state, values[1])
    there = request(state, 1, beside(coating, state, values))
    ahead, back = there.beside

    def noted(question, *given, **more):
        asked.append((question.coating and question.coating.id, bool(more.get("venues"))))
        return look(question, *given, **more)

    monkeypatch.setattr(answer_worker, "answer_of", noted)
    one = AnswerWorker(state.palette, lambda _message: one.painted(1), SameProcess(), rest=60.0)
    one.ask(there)
    _wait(lambda: one.known(ahead) is not None and any(venues for _, venues in asked))
    assert asked[:3] == [(values[1], False), (values[2], False), (values[1], True)]
    # At rest the one behind is looked at as well.
    _wait(lambda: one.known(back) is not None)
    one.close()


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
    for _ in range(2000):
        if done():
            return
        threading.Event().wait(0.005)
    raise AssertionError("it never came")
