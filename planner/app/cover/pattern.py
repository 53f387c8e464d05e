"""An area from above: in its true colours, or in letters where colours would not tell stones apart."""

from rich.segment import Segment
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from planner.app.cover.content import plain
from planner.app.cover.worker import Above
from planner.app.depth import Depth
from planner.app.half_blocks import strips


class Pattern(Widget):
    """The last picture drawn."""

    DEFAULT_CSS = "Pattern { height: 1fr; width: 1fr; }"

    class Resized(Message):
        """The picture has another size."""

    def __init__(self, depth: Depth) -> None:
        super().__init__(id="pattern")
        self._depth = depth
        self._lines: list[Strip] = []

    @property
    def pixels(self) -> tuple[int, int]:
        """Pixels across and down that fill the widget."""
        return self.content_size.width, 2 * self.content_size.height

    def show(self, found: Above | None) -> None:
        """Show a picture, or nothing."""
        if found is None:
            self._lines = []
        elif plain(self._depth):
            self._lines = [Strip([Segment(line, self.rich_style)]) for line in found.letters]
        else:
            self._lines = strips(found.rgb, self._depth)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one line of it."""
        width = self.content_size.width
        if y < len(self._lines):
            return self._lines[y].adjust_cell_length(width, self.rich_style).crop(0, width)
        return Strip.blank(width, self.rich_style)

    def on_resize(self) -> None:
        """Ask for a picture of the new size."""
        self.post_message(self.Resized())
