"""The order screen, as the app opens it on its job."""

from typing import TYPE_CHECKING

from planner.app.order.screen import OrderScreen
from planner.app.second_process import SecondProcess
from planner.app.state import State
from planner.order.compare import beside

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


def opened(app: "PlannerApp", cover_key: str) -> OrderScreen:
    """Return the screen on the app's job, with a second process of its own for long files."""
    return OrderScreen(
        _OfApp(app), SecondProcess(), app.depth, bands=beside(app.palettes), cover_key=cover_key
    )  # fmt: skip
