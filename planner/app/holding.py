"""Who keeps the present job, as a screen on it needs to know: the app."""

from typing import TYPE_CHECKING, Protocol

from planner.app.state import State

if TYPE_CHECKING:
    from planner.app.planner_app import PlannerApp


class Keeper(Protocol):
    """Who keeps the job."""

    @property
    def state(self) -> State:
        """The job as it is."""

    def apply(self, state: State) -> None:
        """Make a state the present one."""


class OfApp:
    """The job as it is, and a way to change it; the main screen shows what changes."""

    def __init__(self, app: "PlannerApp") -> None:
        self._app = app

    @property
    def state(self) -> State:
        """The job as it is."""
        return self._app.state

    def apply(self, state: State) -> None:
        """Make a state the present one."""
        self._app.main.apply(state)
