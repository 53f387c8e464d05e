"""The command palette, as steady as every other screen of the planner."""

from typing import Any

from textual.app import ComposeResult
from textual.command import CommandList, CommandPalette
from textual.worker import Worker

from planner.app.parts.plain import OptionList
from planner.app.parts.steady import SteadyScreen


class Found(CommandList, OptionList, can_focus=False):
    """What was found, in a list as steady as ours: a click on a line that has gone does nothing."""


class Commands(CommandPalette, SteadyScreen[Any]):
    """Lists commands by what is typed; a search that comes too late for its screen finds nothing."""

    def compose(self) -> ComposeResult:
        """Yield the library's widgets, with a list of ours."""
        for one in super().compose():
            yield Found() if isinstance(one, CommandList) else one

    def run_worker(self, *given: Any, **options: Any) -> Worker[Any]:
        """Begin a search. Begun as the list is taken off the screen, it ends with an error."""
        return super().run_worker(*given, **{**options, "exit_on_error": False})

    def _action_command_list(self, action: str) -> None:
        """Pass a key on to the list; where a small terminal leaves no room for a line, there is no page."""
        if self.query_one(CommandList).scrollable_content_region or not action.startswith("page"):
            super()._action_command_list(action)
