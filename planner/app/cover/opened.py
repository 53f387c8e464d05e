"""The screen of the areas, as the app opens it on its job."""

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING

from planner.app.cover.screen import CoverScreen
from planner.app.holding import OfApp

if TYPE_CHECKING:
    from planner.app.planner_app import PlannerApp


def opened(app: "PlannerApp", costume: Callable[["PlannerApp"], Awaitable[None]]) -> CoverScreen:
    """Return the screen on the app's job; `costume` opens the costume's form."""
    return CoverScreen(OfApp(app), app.depth, app.begun, lambda: costume(app))
