"""The desk begins the first answer before anything asks for it."""

import threading
from pathlib import Path

import pytest

from planner.app import desk
from planner.app.desk import Desk, Looked, asked
from planner.app.second_process import Here
from planner.app.state import state_of


@pytest.fixture
def state(job, few):
    return state_of(job, few, None, Path())


def test_what_was_begun_is_told_only_when_asked_for_and_looked_at_once(state, monkeypatch):
    posted, looked, told = [], [], threading.Event()
    look = desk.look

    def post(message):
        posted.append(message)
        told.set()

    def counted(*given, **more):
        looked.append(given)
        return look(*given, **more)

    monkeypatch.setattr(desk, "look", counted)
    one = Desk(state.palette, post, Here(), rest=60.0)
    question = asked(state, 1)
    one.begin(state)
    while not one.idle:
        threading.Event().wait(0.005)
    assert one.known(question) is not None
    assert posted == []
    one.ask(question)
    assert told.wait(5.0)
    one.close()
    assert isinstance(posted[0], Looked)
    assert posted[0].serial == 1
    assert len(looked) == 1


def test_a_fault_at_the_beginning_is_told_only_when_asked_for(state, monkeypatch):
    posted, told = [], threading.Event()

    def post(message):
        posted.append(message)
        told.set()

    def wrong(*_given, **_more):
        raise ValueError("no such stone")

    monkeypatch.setattr(desk, "look", wrong)
    one = Desk(state.palette, post, Here())
    one.begin(state)
    while not one.idle:
        threading.Event().wait(0.005)
    assert posted == []
    one.ask(asked(state, 1))
    assert told.wait(5.0)
    one.close()
    assert posted[0].sentence == "no such stone"
