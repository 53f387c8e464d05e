"""What the screen shows first: the answer if it comes soon, and else that it is on its way."""

import threading

import pytest
from textual.screen import Screen
from waiting import until

from planner.app import answer_worker, main_screen
from planner.app.answer_content import VerdictLine
from planner.app.main_screen import MainScreen

DRAWN_AT_ONCE = True


@pytest.fixture
def painted(monkeypatch):
    """Return a list that is told of every time the main screen is painted whether its answer was there."""
    found, paint = [], Screen._compositor_refresh

    def noted(screen):
        if isinstance(screen, MainScreen) and screen.is_current:
            found.append(screen.answer is not None)
        paint(screen)

    monkeypatch.setattr(Screen, "_compositor_refresh", noted)
    return found


def test_nothing_is_painted_before_an_answer_that_comes_soon(make_app, play, painted, monkeypatch):
    monkeypatch.setattr(main_screen, "FIRST", 60.0)

    async def story(_pilot, _settle):
        assert painted
        assert all(painted)

    play(make_app(), story)


def test_what_there_is_is_painted_before_an_answer_that_takes_long(make_app, play, painted, monkeypatch):
    look, go_on = answer_worker.answer_of, threading.Event()

    def late(*given, **more):
        go_on.wait(30.0)
        return look(*given, **more)

    monkeypatch.setattr(answer_worker, "answer_of", late)
    monkeypatch.setattr(main_screen, "FIRST", 0.05)
    app = make_app(start=True)

    async def story(pilot, settle):
        app.asks = False
        app.push_screen(app.main)
        await until(pilot, lambda: painted and not app._batch_count)
        assert not any(painted)
        assert "Working it out" in str(app.main.query_one(VerdictLine).render())
        go_on.set()
        await settle()
        assert painted[-1]
        assert app.main.query_one(VerdictLine).told.answer is not None

    play(app, story)


def test_nothing_else_is_worked_on_before_the_first_answer_is_painted(make_app, play, painted, monkeypatch):
    begun = []

    def noted(_worker, _state, others):
        begun.append(len(painted))
        list(others)

    monkeypatch.setattr(main_screen, "FIRST", 60.0)
    monkeypatch.setattr(answer_worker.AnswerWorker, "look_ahead", noted)

    async def story(pilot, _settle):
        await until(pilot, lambda: begun)
        assert begun[0] > 0

    play(make_app(), story)
