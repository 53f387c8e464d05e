"""A picture that turns: coarse at once, then fine; by itself, by keys, under the mouse; or kept still."""

import asyncio
from functools import wraps
from types import SimpleNamespace

import pytest
from textual.app import App

from planner.app.parts.stage import FURTHEST, STEP, Stage
from planner.app.sight import costume_of
from planner.catalogue import load
from planner.data import demo
from planner.job import read_job_file
from planner.reading.question import Question, coating_called, typed_colour

PICTURES = DRAWN_AT_ONCE = True


def alone(story):
    """Run a story from start to end in a loop of its own."""

    @wraps(story)
    def told(*args, **given):
        asyncio.run(story(*args, **given))

    return told


@pytest.fixture(scope="module")
def question():
    palette = load(demo())
    stone, venue, colour = palette.stones["tackle-clear"], palette.venues["ballroom"], typed_colour("#10131c")
    film = coating_called("halyard-aurora", palette)
    return Question(stone, palette.cuts[stone.cut], film, "SS20", colour, colour, venue, venue.distance, 0.4)


class _Shown(App):
    def __init__(self, kind="stone", depth="true"):
        super().__init__()
        self.stage = Stage(depth, kind)

    def compose(self):
        yield self.stage


async def until(pilot, holds):
    for _ in range(400):
        await pilot.pause(0.02)
        if holds():
            return
    raise AssertionError("it never came")


def text(stage):
    return [[(one.style, one.text) for one in line] for line in stage._lines]


@alone
async def test_it_is_drawn_and_turned_by_keys_and_mouse(question):
    app = _Shown()
    async with app.run_test(size=(10, 5)) as pilot:
        stage = app.stage
        stage.show(question)
        await until(pilot, lambda: stage._fine is not None)
        first = text(stage)
        stage.focus()
        await pilot.press("right", "down")
        assert (stage.tilt, stage.nod) == (STEP, STEP)
        await until(pilot, lambda: text(stage) != first)
        await pilot.mouse_down(stage, offset=(5, 2))
        await pilot.hover(stage, offset=(0, 0))
        await pilot.mouse_up(stage)
        assert (stage.tilt, stage.nod) == (-FURTHEST, -FURTHEST)


@alone
async def test_it_turns_by_itself_and_stops(question):
    app = _Shown()
    async with app.run_test(size=(6, 3)) as pilot:
        stage = app.stage
        stage.show(question)
        await until(pilot, lambda: stage._quick is not None)
        stage.focus()
        await pilot.press("t")
        assert stage.moving
        await until(pilot, lambda: stage._number >= 2)
        await pilot.press("t")
        assert not stage.moving


@alone
async def test_it_stays_still_where_nothing_may_move(question, monkeypatch):
    monkeypatch.setenv("NO_MOTION", "1")
    app = _Shown()
    async with app.run_test(size=(6, 3)) as pilot:
        stage = app.stage
        stage.show(question)
        await until(pilot, lambda: stage._quick is not None)
        stage.focus()
        await pilot.press("t")
        assert not stage.moving
        await pilot.press("left")
        assert stage.tilt == -STEP


@alone
async def test_nothing_is_shown_for_nothing():
    app = _Shown()
    async with app.run_test(size=(6, 3)) as pilot:
        app.stage.show(None)
        await pilot.pause()
        assert app.stage._lines == []


@alone
async def test_a_whole_costume_is_drawn_and_what_cannot_be_is_told():
    file, palette = read_job_file(demo() / "jobs" / "hoop-second-half.toml"), load(demo())
    app = _Shown("seats")
    async with app.run_test(size=(16, 6), notifications=True) as pilot:
        made = costume_of(SimpleNamespace(job=file.job, palette=palette, file=file))
        app.stage.show_made(made)
        await until(pilot, lambda: app.stage._lines != [])
        wrong = file.job.model_copy(update={"outline": "cape"})
        app.stage.show_made(costume_of(SimpleNamespace(job=wrong, palette=palette, file=file)))
        await until(pilot, lambda: any("cape" in one.message for one in app._notifications))
        plain = SimpleNamespace(job=file.job.model_copy(update={"outline": None}), palette=palette, file=file)
        assert costume_of(plain) is None
