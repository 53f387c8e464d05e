"""A line to find by: letters go into it, and keys that move go on to the list below it."""

from typing import Any, Final

from textual import events
from textual.widget import Widget
from textual.widgets import Input

_MOVES: Final = {
    "down": "cursor_down",
    "up": "cursor_up",
    "pagedown": "page_down",
    "pageup": "page_up",
}


class FindLine(Input):
    """An input whose up, down and page keys move through a list, so that hands need not leave it."""

    def __init__(self, target: str, **rest: Any) -> None:
        """Take the selector of the list, and whatever an `Input` takes."""
        super().__init__(select_on_focus=False, **rest)
        self._target = target

    async def on_key(self, event: events.Key) -> None:
        """Hand moving keys on."""
        action = _MOVES.get(event.key)
        if action is None:
            return
        event.stop()
        event.prevent_default()
        target = self.screen.query_one(self._target, Widget)
        getattr(target, f"action_{action}")()
