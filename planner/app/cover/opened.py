"""The screen of the areas, as the app opens it on its job."""

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING

from planner.app.cover.screen import CoverScreen
from planner.app.state import State

if TYPE_CHECKING:
    from planner.app.planner_app import PlannerApp


class _OfApp:
    """The app, as the screen has it: the main screen shows what changes."""

    def __init__(self, app: "PlannerApp") -> None:
        self._app = app

    @property
    def state(self) -> State:
        """The job as it is."""
        return self._app.state

    def apply(self, state: State) -> None:
        """Make a state the present one."""
        self._app.main.apply(state)


def opened(app: "PlannerApp", costume: Callable[["PlannerApp"], Awaitable[None]]) -> CoverScreen:
    """Return the screen on the app's job; `costume` opens the costume's form."""
    return CoverScreen(_OfApp(app), app.depth, app.begun, lambda: costume(app))
