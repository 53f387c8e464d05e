"""The brief's screen, as the app opens it on its job."""

from typing import TYPE_CHECKING

from planner.app.brief.screen import BriefScreen
from planner.app.holding import OfApp
from planner.app.second_process import SecondProcess

if TYPE_CHECKING:
    from planner.app.planner_app import PlannerApp


def opened(app: "PlannerApp") -> BriefScreen:
    """Return the screen on the app's job, with a second process of its own."""
    return BriefScreen(OfApp(app), SecondProcess())
