"""A row of names of which one is chosen: the views of a screen, or the ways to do a thing."""

from collections.abc import Sequence
from typing import Any

from textual import events
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget


class Ways(Widget):
    """One line; the chosen name stands on its reverse, with a sign before it."""

    DEFAULT_CSS = "Ways { height: 1; width: 1fr; }"

    chosen: reactive[int] = reactive(0)

    class Changed(Message):
        """Another one is chosen."""

        def __init__(self, chosen: int) -> None:
            super().__init__()
            self.chosen = chosen

    def __init__(self, names: Sequence[str], chosen: int = 0, **rest: Any) -> None:
        """Take the names, and which is chosen at first."""
        super().__init__(**rest)
        self._names = tuple(names)
        self.set_reactive(Ways.chosen, chosen)

    def render(self) -> Content:
        """Return the row."""
        said = [
            Content.styled(f"▸{name} ", "bold reverse") if number == self.chosen else Content(f" {name} ")
            for number, name in enumerate(self._names)
        ]
        return Content(" ").join(said)

    def watch_chosen(self, chosen: int) -> None:
        """Tell of a change."""
        self.post_message(self.Changed(chosen))

    def step(self) -> None:
        """Choose the next one, and after the last the first."""
        self.chosen = (self.chosen + 1) % len(self._names)

    def on_click(self, event: events.Click) -> None:
        """Choose what is under the mouse."""
        edge = 0
        for number, name in enumerate(self._names):
            edge += len(name) + 3
            if event.x < edge:
                self.chosen = number
                return
