"""One venue: its name, a picture of the stones in its light, and the answer there."""

from typing import ClassVar

import numpy as np
from numpy.typing import NDArray
from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from planner.app.depth import Depth
from planner.app.half_blocks import strips
from planner.app.parts.plain import Button, Static
from planner.app.venues.judged import in_words, short
from planner.assess.venues import Judged
from planner.catalogue.venue import Venue
from planner.say.table import cut


class Still(Widget):
    """A picture that does not move."""

    def __init__(self, depth: Depth) -> None:
        super().__init__(classes="still" if depth != "16" else "still -none")
        self._depth = depth
        self._lines: list[Strip] = []

    def show(self, rgb: NDArray[np.uint8] | None) -> None:
        """Show a picture (height, width, 3), or nothing."""
        self._lines = [] if rgb is None else strips(rgb, self._depth)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one line."""
        width = self.size.width
        if self._depth == "16":
            text = "no picture in 16 colours" if y == 0 else ""
            return Strip([Segment(cut(text, width).ljust(width), self.rich_style)])
        if y < len(self._lines):
            return self._lines[y].adjust_cell_length(width, Style.null())
        return Strip.blank(width, self.rich_style)


class Card(Vertical, can_focus=True, can_focus_children=False):
    """A venue; arrow keys go on to the next one."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left,up", "app.focus_previous", show=False),
        Binding("right,down", "app.focus_next", show=False),
    ]

    class Taken(Message):
        """The venue is to be the main one."""

        def __init__(self, venue: Venue) -> None:
            super().__init__()
            self.venue = venue

    class Removed(Message):
        """The venue is not to be shown any more."""

        def __init__(self, venue: Venue) -> None:
            super().__init__()
            self.venue = venue

    class Resized(Message):
        """The picture has another size."""

    def __init__(self, venue: Venue, depth: Depth, *, main: bool) -> None:
        """Take the venue, what the console shows, and whether it is the main venue of the job."""
        super().__init__(classes="card")
        self.venue, self._depth, self._main = venue, depth, main
        self._found: Judged | str | None = None
        # Held here, as answers may still come while the card is taken down.
        self._still, self._said = Still(depth), Static("Working it out …", classes="said")

    def compose(self) -> ComposeResult:
        """Lay out picture, words and buttons."""
        self.border_title = Content(f"{short(self.venue)}{' · main venue' if self._main else ''}")
        yield self._still
        yield self._said
        with Horizontal(classes="does"):
            yield Button("Make main", classes="take", compact=True, disabled=self._main)
            yield Button("Take away", classes="remove", compact=True)

    @property
    def pixels(self) -> tuple[int, int]:
        """Width and height of a picture that fills its place; none where it cannot be shown."""
        wide, high = self._still.size
        return (0, 0) if self._depth == "16" else (wide, 2 * high)

    def show(self, found: Judged | str | None, rgb: NDArray[np.uint8] | None) -> None:
        """Show what is known so far."""
        self._found = found
        self._still.show(rgb)
        self._say()

    def _say(self) -> None:
        found = self._found
        if found is None:
            return
        width = max(10, self.content_size.width)
        said = Text(found) if isinstance(found, str) else in_words(found, width, self._depth)
        self._said.update(said)

    def on_resize(self, _event: events.Resize) -> None:
        """Fit the words, and ask for a picture of the new size."""
        self._say()
        self.post_message(self.Resized())

    @on(Button.Pressed, ".take")
    def _take(self, event: Button.Pressed) -> None:
        event.stop()
        self.post_message(self.Taken(self.venue))

    @on(Button.Pressed, ".remove")
    def _remove(self, event: Button.Pressed) -> None:
        event.stop()
        self.post_message(self.Removed(self.venue))
