"""Every screen's keys are seen whole in its lowest line, on 80 columns."""

import asyncio

import pytest
from textual.app import App
from textual.screen import Screen
from textual.widgets import Footer

from planner.app.brief.screen import BriefScreen
from planner.app.choose.screen import SwatchScreen
from planner.app.cover.screen import CoverScreen
from planner.app.drawer.screen import DrawerScreen
from planner.app.main_screen import MainScreen
from planner.app.order.screen import OrderScreen
from planner.app.pairings.screen import PairingsScreen
from planner.app.planner_app import PlannerApp
from planner.app.plots.screen import PlotScreen
from planner.app.samples.screen import SamplesScreen
from planner.app.stones.screen import StonesScreen
from planner.app.venues.screen import VenuesScreen

SCREENS = (
    BriefScreen, SwatchScreen, CoverScreen, DrawerScreen, MainScreen, OrderScreen, PairingsScreen, PlotScreen,
    SamplesScreen, StonesScreen, VenuesScreen,
)  # fmt: skip


@pytest.mark.parametrize("screen", SCREENS)
def test_no_key_is_cut_off(screen):
    class Keys(Screen):
        BINDINGS = screen.BINDINGS

        def compose(self):
            yield Footer(compact=True, show_command_palette=False)

    class Bare(App):
        BINDINGS = PlannerApp.BINDINGS

        def get_default_screen(self):
            return Keys()

        def check_action(self, *_):
            return True

    async def ends():
        async with Bare().run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            return [key.region.right for key in pilot.app.screen.query_one(Footer).children]

    found = asyncio.run(ends())
    assert len(found) > 3
    assert max(found) <= 80
