"""The tour is walked whole by keys and by mouse, waits for who looks round, and touches nothing of theirs."""

import asyncio
from dataclasses import replace
from typing import ClassVar

import pytest
from few import COATINGS, NoSecond
from once import asked
from textual.widgets import Static

from planner.app.answer_worker import alternatives
from planner.app.main_screen import MainScreen
from planner.app.tour import tour_app
from planner.app.tour.steps import CALLED, SCREENS, place_keys, steps
from planner.app.tour.strip import Press, Strip
from planner.app.tour.tour_app import TourApp
from planner.catalogue import load
from planner.data import demo

STONES = ("pulley-blue", "treadle-blue", "marlinspike-navy", "tackle-clear")


class OffersOnly(NoSecond):
    """Finds what to order instead, once for every tour, and nothing in full."""

    found: ClassVar = {}

    def call(self, work, *given):
        if work is not alternatives:
            return super().call()
        key = asked(given[1].question)
        if key not in self.found:
            self.found[key] = work(*given)
        return self.found[key]


@pytest.fixture
def make_tour(tmp_path, monkeypatch):
    """Return a function that makes a tour among few stones, which are looked through quickly."""
    whole = load(demo())
    few = replace(
        whole,
        stones={name: whole.stones[name] for name in STONES},
        coatings={name: whole.coatings[name] for name in COATINGS},
    )
    monkeypatch.setattr(tour_app, "load", lambda *_: few)

    def make(second=None):
        folder = tmp_path / "tour"
        folder.mkdir()
        return TourApp(folder, second=second or NoSecond(), depth="true")

    return make


def walk(app, story, size=(80, 24)):
    async def tell():
        async with app.run_test(size=size) as pilot:
            await until(pilot, lambda: isinstance(app.screen, MainScreen))
            await story(pilot)

    asyncio.run(tell())


async def until(pilot, holds, seconds=20.0):
    for _ in range(round(seconds / 0.05)):
        await pilot.pause(0.05)
        if holds():
            return
    raise AssertionError(f"still at step {pilot.app.step + 1}, on {pilot.app.screen}")


def strip_text(app):
    return " ".join(one.render().plain for strip in app.screen.query(Strip) for one in strip.query(Static))


def test_every_step_is_within_its_room_and_uses_words_that_are_known():
    keys = place_keys()
    for one in steps():
        assert len(one.see) <= 150 - len("Tour 10 of 16  ") + 10, one.see
        assert len(one.do) <= 48, one.do
        assert one.at in SCREENS.values()
        assert one.at in CALLED
        assert {*one.done} <= {"screen", "picker", "page", "changed"}
    assert all(not one.done for one in steps()[-1:])
    assert all(one.done and one.press for one in steps()[:-1])
    for name in ("pairings", "cover", "order", "brief"):
        assert keys[name]


def test_walked_whole_by_its_own_keys(make_tour):
    """What a step says to press is pressed; nothing else is needed to come to the end."""

    async def story(pilot):
        app = pilot.app
        for number, step in enumerate(steps()[:-1]):
            # The strip comes with its screen and says its step a moment after it is there.
            await until(pilot, lambda n=number: app.step == n and f"Tour {n + 1} of" in strip_text(app))
            # Nobody can be warned of a pairing, or offered another, before it is read.
            await until(pilot, lambda: app.main.answer is not None and app.answer_worker.idle)
            for key in step.press:
                await pilot.press(key)
        await until(pilot, lambda: app.step == len(steps()) - 1)
        await pilot.press("f4")
        await until(pilot, lambda: not app.touring and not app.screen.query(Strip))

    walk(make_tour(OffersOnly()), story)


def test_walked_whole_by_the_mouse_alone(make_tour):
    async def story(pilot):
        app = pilot.app
        for number in range(len(steps())):
            await until(pilot, lambda n=number: app.step >= n and not app._pressing)
            await until(pilot, lambda n=number: app.step > n or f"Tour {n + 1} of" in strip_text(app))
            await pilot.pause(0.15)  # until the strip lies where it is clicked
            if app.step > number:
                continue
            on = next(one for one in app.screen.query(Press) if one.name == "on")
            await pilot.click(on)
        await until(pilot, lambda: not app.touring)

    walk(make_tour(OffersOnly()), story, (120, 40))


def test_a_main_screen_that_is_slow_to_come_is_asked_nothing(make_tour, monkeypatch):
    compose, looked = MainScreen.compose, []

    def slow(self):
        looked.append(self.app.screen is self)
        self.app._watch()
        yield from compose(self)

    monkeypatch.setattr(MainScreen, "compose", slow)

    async def story(pilot):
        await until(pilot, lambda: pilot.app.screen.query(Strip))

    walk(make_tour(), story)
    assert looked == [True]


def test_a_strip_that_is_taken_away_is_told_nothing(make_tour):
    async def story(pilot):
        await until(pilot, lambda: pilot.app.screen.query(Strip) and pilot.app.main.answer is not None)
        strip = pilot.app.screen.query_one(Strip)
        await strip.query_one(".tour-see").remove()
        strip._said = None
        pilot.app._show()

    walk(make_tour(), story)


def test_who_looks_round_is_waited_for_and_told_the_way_back(make_tour):
    async def story(pilot):
        app = pilot.app
        await until(pilot, lambda: app.screen.query(Strip) and app.main.answer is not None)
        await pilot.press("h")
        await until(pilot, lambda: "Esc takes you back to the main screen" in strip_text(app))
        assert type(app.screen).__name__ == "PlotScreen"
        assert app.step == 0
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is app.main)
        await pilot.pause(0.6)  # a screen just come back to takes no keys for a moment
        await pilot.press("m")
        await until(pilot, lambda: app.step == 1)
        await pilot.press("f2")
        await pilot.pause(0.4)
        assert app.step == 0  # the choices are still open, and are not taken for a step just done
        await pilot.press("escape")
        await pilot.pause(0.6)
        await pilot.press("m")
        await until(pilot, lambda: app.step == 1)

    walk(make_tour(), story)


def test_nothing_of_the_persons_is_touched(make_tour, tmp_path):
    before = {path: path.read_bytes() for path in demo().rglob("*") if path.is_file()}

    async def story(pilot):
        app = pilot.app
        await pilot.press("plus")
        await pilot.pause(1.2)
        assert app.state.unsaved
        await pilot.press("ctrl+s")
        await pilot.pause(0.3)
        await pilot.press("q")
        await pilot.pause(0.3)

    walk(make_tour(), story)
    assert before == {path: path.read_bytes() for path in demo().rglob("*") if path.is_file()}
    assert not (tmp_path / "data").exists()
    assert not (tmp_path / "state").exists()
