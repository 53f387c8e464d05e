"""Every screen's keys are seen whole in its lowest line, on 80 columns."""

import asyncio

import pytest
from textual.app import App
from textual.binding import Binding
from textual.events import MouseScrollDown, MouseScrollUp
from textual.screen import Screen
from textual.widgets import Footer as LibraryFooter
from waiting import until

from planner.app.brief.screen import BriefScreen
from planner.app.choose.screen import SwatchScreen
from planner.app.cover.screen import CoverScreen
from planner.app.drawer.screen import DrawerScreen
from planner.app.main_screen import MainScreen
from planner.app.order.screen import OrderScreen
from planner.app.pairings.screen import PairingsScreen
from planner.app.parts.footer import Footer
from planner.app.planner_app import PlannerApp
from planner.app.plots.screen import PlotScreen
from planner.app.samples.screen import SamplesScreen
from planner.app.stones.screen import StonesScreen
from planner.app.venues.screen import VenuesScreen

SCREENS = (
    BriefScreen, SwatchScreen, CoverScreen, DrawerScreen, MainScreen, OrderScreen, PairingsScreen, PlotScreen,
    SamplesScreen, StonesScreen, VenuesScreen,
)  # fmt: skip


def bare(bindings, *, does=lambda _: True, footer=Footer):
    """Return an app that has keys at its foot and nothing else; `does` says whether one does."""

    class Keys(Screen):
        BINDINGS = bindings

        def compose(self):
            yield footer()

    class Bare(App):
        BINDINGS = PlannerApp.BINDINGS
        pressed = rung = 0

        def get_default_screen(self):
            return Keys()

        def check_action(self, action, _):
            return does(action)

        def action_count(self):
            self.pressed += 1

        def bell(self):
            self.rung += 1

    return Bare()


def played(app, story, width=80):
    async def tell():
        async with app.run_test(size=(width, 24)) as pilot:
            await pilot.pause()
            return await story(pilot)

    return asyncio.run(tell())


def foot(app):
    return app.screen._compositor.render_strips()[-1].text.rstrip()


@pytest.mark.parametrize("screen", SCREENS)
def test_no_key_is_cut_off_and_all_are_those_that_the_library_would_show(screen):
    def library():
        return LibraryFooter(compact=True, show_command_palette=False)

    async def shown(pilot):
        return foot(pilot.app)

    async def ends(pilot):
        return pilot.app.screen.query_one(Footer).ends(), foot(pilot.app)

    found, line = played(bare(screen.BINDINGS), ends)
    assert len(found) > 3
    assert max(found) <= 80
    assert line == played(bare(screen.BINDINGS, footer=library), shown)


COUNTED = [
    Binding("a", "app.count", "Count"),
    Binding("b", "app.sleep", "Sleep"),
    Binding("c,d", "app.wake", "Wake"),
]


def test_a_click_presses_a_key_and_one_that_does_nothing_now_only_rings():
    app = bare(COUNTED, does=lambda action: None if action == "sleep" else True)

    async def story(pilot):
        assert foot(app).startswith("a Count b Sleep c Wake ")
        for x in (0, 6):
            await pilot.click(Footer, offset=(x, 0))
        await until(pilot, lambda: app.pressed)
        assert (app.pressed, app.rung) == (2, 0)
        await pilot.click(Footer, offset=(7, 0))  # between two keys
        assert (app.pressed, app.rung) == (2, 0)
        await pilot.click(Footer, offset=(8, 0))
        assert (app.pressed, app.rung) == (2, 1)

    played(app, story)


def test_the_key_under_the_mouse_is_marked():
    app = bare(COUNTED)

    def grounds():
        line = app.screen._compositor.render_strips()[-1].crop(0, 14)
        return [str(one.style.bgcolor) for one in line for _ in one.text]

    async def story(pilot):
        plain, *rest = grounds()
        assert {*rest} == {plain}
        await pilot.hover(Footer, offset=(9, 0))
        await pilot.pause()
        assert [one != plain for one in grounds()] == [False] * 8 + [True] * 6
        await pilot.hover(offset=(5, 5))
        await pilot.pause()
        assert {*grounds()} == {plain}

    played(app, story)


def test_keys_that_find_no_room_are_shown_by_the_wheel():
    app = bare(COUNTED)

    async def turn(pilot, kind):
        app.post_message(kind(None, 1, 23, 0, 0, 0, False, False, False, 1, 23))
        await pilot.pause()

    async def story(pilot):
        assert "Help" not in foot(app)
        for _ in range(9):
            await turn(pilot, MouseScrollDown)
        assert foot(app).endswith("? Help")
        for _ in range(9):
            await turn(pilot, MouseScrollUp)
        assert foot(app).startswith("a Count b Sleep")

    played(app, story, width=20)


def test_keys_that_no_longer_do_anything_are_gone():
    off = set()
    app = bare(COUNTED, does=lambda action: action not in off)

    async def story(pilot):
        off.add("count")
        app.screen.refresh_bindings()
        await until(pilot, lambda: foot(app).startswith("b Sleep c Wake "))

    played(app, story)
