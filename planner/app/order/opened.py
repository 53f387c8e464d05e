"""The order screen, as the app opens it on its job."""

from typing import TYPE_CHECKING

from planner.app.holding import OfApp
from planner.app.order.screen import OrderScreen
from planner.app.second_process import SecondProcess
from planner.order.compare import beside

if TYPE_CHECKING:
    from planner.app.planner_app import PlannerApp


def opened(app: "PlannerApp", cover_key: str) -> OrderScreen:
    """Return the screen on the app's job, with a second process of its own for long files."""
    return OrderScreen(
        OfApp(app), SecondProcess(), app.depth, bands=beside(app.palettes), cover_key=cover_key
    )  # fmt: skip
