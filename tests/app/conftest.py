"""A few stones and coatings of the demo, and a way to play a story on the screen and see how it ends."""

import asyncio
import gc
from contextlib import asynccontextmanager

import pytest
import styled_once
from few import HOOP, NoSecond, few_of
from looked_up_once import look_up_once
from textual import screen
from textual.app import App
from textual.pilot import Pilot
from textual.screen import Screen
from waiting import all_answered, at_rest, draw, press, until

from planner.app import answer_worker
from planner.app.answer_worker import AnswerWorker
from planner.app.drafts import Drafts
from planner.app.pauses import started
from planner.app.planner_app import PlannerApp
from planner.app.sight import Sight
from planner.app.state import state_of
from planner.catalogue import load
from planner.data import demo
from planner.job import new_job_file


@pytest.fixture(autouse=True)
def _own_folders(monkeypatch, tmp_path):
    """Keep the palettes, drafts and colours of whoever runs the tests out of them."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.delenv("NO_COLOR", raising=False)


@pytest.fixture(autouse=True)
def _read_once(readings_are_shared):
    """Take from memory what another test read, as finely as a first look: here is seen what becomes of it."""
    readings_are_shared.quick = True


@pytest.fixture(autouse=True)
def _no_pictures(request, readings_are_shared):
    """Draw pictures grey, but where PICTURES says that they are looked at, or whatever happens is tried."""
    readings_are_shared.plain = not getattr(request.module, "PICTURES", False)


@pytest.fixture(scope="session", autouse=True)
def _styles_are_shared():
    with pytest.MonkeyPatch.context() as patch:
        styled_once.share(patch)
        yield


@pytest.fixture(scope="session")
def _forget_handlers():
    with pytest.MonkeyPatch.context() as patch:
        yield look_up_once(patch)


@pytest.fixture(autouse=True)
def _looked_up_once(_forget_handlers):
    """Let the library look up once in each test what it would look up with every message."""
    _forget_handlers()


@pytest.fixture(scope="session", autouse=True)
def _garbage_is_looked_for_as_seldom_as_in_other_tests():
    """Let the first app that has started, which says it for its process, say it now."""
    seldom = gc.get_threshold()
    started()
    gc.set_threshold(*seldom)


@pytest.fixture(scope="session", autouse=True)
def _pilots_wait_no_longer_than_they_must():
    """Let pilots see from the queues of messages whether all is dealt with, and screens be laid out soon."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Pilot, "_wait_for_screen", all_answered)
        patch.setattr(Pilot, "press", press)
        patch.setattr("textual.app.wait_for_idle", at_rest)
        patch.setattr("textual.pilot.wait_for_idle", at_rest)
        patch.setattr(screen, "UPDATE_PERIOD", screen.UPDATE_PERIOD / 4)
        yield


@pytest.fixture(scope="session", autouse=True)
def _nobody_is_waited_for_who_may_press_another_key():
    """Let work that is put off for somebody who leafs on begin at once: a pilot waits until it is done."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(answer_worker, "LEAFS", 0.01)
        patch.setitem(AnswerWorker.__init__.__kwdefaults__, "rest", 0.02)
        yield


@pytest.fixture(autouse=True)
def _drawn_when_waited_for(request, monkeypatch):
    """Draw screens when a story has waited for them and when it ends, not after every message.

    Files that say DRAWN_AT_ONCE have every change drawn, as a terminal does.
    """
    if getattr(request.module, "DRAWN_AT_ONCE", False):
        return
    draw_now, run_test = Screen._compositor_refresh, App.run_test

    def draw_later(self):
        if self is not self.app.screen or self.app.is_inline:
            draw_now(self)
            return
        self._dirty_widgets.clear()
        self.app._update_mouse_over(self)

    @asynccontextmanager
    async def run_and_draw(self, **given):
        async with run_test(self, **given) as pilot:
            yield pilot
            draw(self)

    monkeypatch.setattr(Screen, "_compositor_refresh", draw_later)
    monkeypatch.setattr(App, "run_test", run_and_draw)


@pytest.fixture(scope="session")
def few():
    """Return a palette small enough to be looked through at once."""
    return few_of(load(demo()))


@pytest.fixture
def job():
    """Return a job of two lines, the second of which drifts."""
    return HOOP


@pytest.fixture
def saved(job, tmp_path):
    """Return the job saved in a file."""
    return new_job_file(tmp_path / "hoop.toml", job).save()


@pytest.fixture
def make_app(few, saved, tmp_path):
    """Return a function that makes an app on the saved job."""

    def make(*, start=False, second=None, depth="true", line=1, palette=few):
        state = None if start else state_of(saved.job, palette, saved, saved.path).at_line(line)
        return PlannerApp(
            palette, state, second=second or NoSecond(), drafts=Drafts(tmp_path / "drafts"), depth=depth
        )

    return make


async def settle(app, pilot, **drawn):
    """Wait until everything asked is answered and painted."""
    await until(pilot, lambda: app.answer_worker.idle and painted(app), **drawn)


def painted(app):
    """Return whether every picture is drawn."""
    waiting = any(sight.waiting for sight in app.main.query(Sight))
    return not waiting and all(one.is_finished for one in app.workers if one.group == "stage")


@pytest.fixture
def play():
    """Return a function that runs an app and a story told to it."""

    def run(app, story, size=(80, 24), *, notifications=False):
        async def tell():
            async with app.run_test(size=size, notifications=notifications) as pilot:
                if app.asks:
                    await until(pilot, lambda: app.screen.id != "_default", drawn=False)
                else:
                    await settle(app, pilot, drawn=False)  # the story draws what it sees, and its end
                await story(pilot, lambda: settle(app, pilot))

        asyncio.run(tell())

    return run


def lines_of(app):
    """Return the screen as lines of text."""
    width, height = app.size
    return [
        "".join(segment.text for segment in strip)[:width].rstrip()
        for strip in app.screen._compositor.render_strips()
    ][:height]


@pytest.fixture
def screen_text():
    """Return a function that gives the screen as one text."""
    return lambda app: "\n".join(lines_of(app))
