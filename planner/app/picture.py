"""The picture of the stones on their cloth, drawn in half blocks; it tilts when asked."""

from typing import ClassVar

import numpy as np
from numpy.typing import NDArray
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from planner.app.depth import Depth
from planner.app.half_blocks import strips

STEP = 6.0
"""Degrees of tilt for one press of a key."""

FURTHEST = 36.0
"""Furthest tilt, degrees."""


class Picture(Widget, can_focus=True):
    """The last frame drawn."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", f"tilt({-STEP})", "Tilt left", show=False),
        Binding("right", f"tilt({STEP})", "Tilt right", show=False),
        Binding("up", "app.focus_previous", show=False),
        Binding("down", "app.focus_next", show=False),
    ]

    class Tilted(Message):
        """A frame at another tilt is wanted."""

        def __init__(self, tilt: float) -> None:
            super().__init__()
            self.tilt = tilt

    class Resized(Message):
        """The picture has another size, in pixels."""

    def __init__(self, depth: Depth) -> None:
        super().__init__(id="picture")
        self.depth = depth
        self.tilt = 0.0
        self._lines: list[Strip] = []
        self.tooltip = "Drag, or press t, to tilt the cloth"

    @property
    def pixels(self) -> tuple[int, int]:
        """Width and height of a frame that fills the widget."""
        return self.content_size.width, 2 * self.content_size.height

    def show(self, rgb: NDArray[np.uint8]) -> None:
        """Show a frame (height, width, 3)."""
        self._lines = strips(rgb, self.depth)
        self.refresh()

    def clear(self) -> None:
        """Show nothing."""
        self._lines = []
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one line of the frame, in the middle of the widget."""
        width = self.content_size.width
        if self.depth == "16":
            text = "No picture: this console has too few colours." if y == 0 else ""
            return Strip([Segment(text[:width].ljust(width), self.rich_style)])
        if y < len(self._lines):
            return self._lines[y].adjust_cell_length(width, Style.null()).crop(0, width)
        return Strip.blank(width, self.rich_style)

    def on_resize(self) -> None:
        """Ask for a frame of the new size."""
        self.post_message(self.Resized())

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Begin to drag."""
        self.capture_mouse()
        event.stop()

    def on_mouse_up(self) -> None:
        """End dragging."""
        self.release_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Tilt by where the mouse is dragged to."""
        if self.app.mouse_captured is self and self.size.width > 1:
            share = 2.0 * event.x / (self.size.width - 1) - 1.0
            self.action_tilt(max(-1.0, min(1.0, share)) * FURTHEST - self.tilt)

    def action_tilt(self, by: float) -> None:
        """Tilt further by some degrees."""
        self.tilt = max(-FURTHEST, min(FURTHEST, self.tilt + by))
        self.post_message(self.Tilted(self.tilt))
