"""A photograph in half blocks with frames on it, such as C on the cloth and W on the white paper."""

from typing import ClassVar, Final, Generic, TypeVar

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from planner.app.depth import Depth, as_shown
from planner.app.parts.cells import Cell, strip
from planner.app.photo.frames import Framing, Grid, fit, moved, resized
from planner.colour.screen import ink_on, to_hex

_HALF: Final = "▀"
_THIN: Final = "┌┐└┘─│"
_THICK: Final = "┏┓┗┛━┃"
_KEYS: Final = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


F = TypeVar("F", bound=Framing)


class PhotoView(Widget, Generic[F], can_focus=True):
    """The frame that keys work on is drawn thick; the mouse moves a frame, or resizes it by its corner."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "other(1)", "Next frame", show=False),
        *(Binding(key, f"move({x}, {y})", show=False) for key, (x, y) in _KEYS.items()),
        *(Binding(f"shift+{key}", f"resize({x}, {y})", show=False) for key, (x, y) in _KEYS.items()),
    ]

    class Framed(Message):
        """A frame lies elsewhere."""

        def __init__(self, frames: Framing) -> None:
            super().__init__()
            self.frames = frames

    class Chosen(Message):
        """Keys work on another frame."""

        def __init__(self, which: str) -> None:
            super().__init__()
            self.which = which

    def __init__(self, depth: Depth) -> None:
        super().__init__(id="photo-view")
        self._depth = depth
        self._small: NDArray[np.uint8] | None = None
        self._whole = (1, 1)
        self.frames: F | None = None
        self.which = ""
        self.grid: Grid | None = None
        self._cells: list[list[Cell]] = []
        self._drag: tuple[bool, int, int] | None = None

    def show(self, small: NDArray[np.uint8], width: int, height: int, frames: F) -> None:
        """Show a photograph of this size by a small copy of it (h, w, 3), and its frames."""
        self._small, self._whole, self.frames = small, (width, height), frames
        self.which = self.which if self.which in frames.names else frames.names[0]
        self._draw()

    def _draw(self) -> None:
        """Turn the copy into cells of the present size."""
        columns, lines = self.size
        if self._small is None or not columns or not lines:
            return
        self.grid = fit(*self._whole, columns, lines)
        if self._depth == "16":
            self._cells = [[Cell()] * self.grid.columns for _ in range(self.grid.lines)]
        else:
            image = Image.fromarray(self._small)
            pixels = image.resize((self.grid.columns, 2 * self.grid.lines), Image.Resampling.BOX)
            shown = as_shown(np.asarray(pixels), self._depth)
            self._cells = [
                [Cell(_HALF, to_hex(upper), to_hex(lower)) for upper, lower in zip(*pair, strict=True)]
                for pair in zip(shown[0::2], shown[1::2], strict=True)
            ]
        self.refresh()

    def on_resize(self) -> None:
        """Fit the photograph to the new size."""
        self._draw()

    def on_focus(self) -> None:
        """Draw the frame that keys work on."""
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one line of the photograph with the frames over it."""
        if self.frames is None or self.grid is None or y >= len(self._cells):
            return Strip.blank(self.size.width, self.rich_style)
        cells = list(self._cells[y])
        # The one that keys work on lies above.
        for which in reversed(self._order()):
            self._frame(cells, y, which)
        line = strip(cells, self.rich_style)
        return line.adjust_cell_length(self.size.width, Style(bgcolor=self.rich_style.bgcolor))

    def _frame(self, cells: list[Cell], y: int, which: str) -> None:
        """Put one frame's part of a line over its cells."""
        if self.frames is None or self.grid is None:
            return
        left, right, top, low = self.grid.cells(self.frames.of(which))
        if not top <= y <= low:
            return
        signs = _THICK if which == self.which else _THIN
        if y in {top, low}:
            corners = signs[:2] if y == top else signs[2:4]
            row = f"{corners[0]}{signs[4] * max(0, right - left - 1)}{corners[1]}"[: right - left + 1]
            places = range(left, right + 1)
        else:
            row, places = signs[5] * 2, range(left, right + 1, max(1, right - left))
        for place, sign in zip(places, row, strict=False):
            cells[place] = self._over(cells[place], sign)
        if y == top:
            cells[left] = self._over(cells[left], which)

    @staticmethod
    def _over(cell: Cell, sign: str) -> Cell:
        ground = cell.ground
        return Cell(sign, ink_on(ground) if ground else None, ground, bold=True)

    # By keys.

    def action_other(self, step: int) -> None:
        """Let keys work on the next frame, or the last."""
        if self.frames is not None:
            names = self.frames.names
            self.choose(names[(names.index(self.which) + step) % len(names)])

    def choose(self, which: str) -> None:
        """Let keys work on a frame."""
        self.which = which
        self.refresh()
        self.post_message(self.Chosen(which))

    def _order(self) -> tuple[str, ...]:
        """Return the frames' names, the uppermost first."""
        names = () if self.frames is None else self.frames.names
        return (self.which, *(one for one in names if one != self.which)) if names else ()

    def action_move(self, across: int, down: int) -> None:
        """Move the frame by cells."""
        self._change(across, down, resize=False)

    def action_resize(self, across: int, down: int) -> None:
        """Move the frame's right and lower edges by cells."""
        self._change(across, down, resize=True)

    def _change(self, across: int, down: int, *, resize: bool) -> None:
        if self.frames is None or self.grid is None:
            return
        change = resized if resize else moved
        area = change(self.frames.of(self.which), *self.grid.step(across, down), *self._whole)
        frames = self.frames.put(self.which, area)
        if frames != self.frames:
            self.frames = frames
            self.refresh()
            self.post_message(self.Framed(frames))

    # By mouse.

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Take hold of the frame under the mouse, by its corner to resize it."""
        event.stop()
        self.focus()
        for which in self._order():
            if self.frames is None or self.grid is None:
                return
            left, right, top, low = self.grid.cells(self.frames.of(which))
            if left <= event.x <= right and top <= event.y <= low:
                self.choose(which)
                self._drag = event.x >= right - 1 and event.y == low, event.x, event.y
                self.capture_mouse()
                return

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Drag what is held."""
        if self._drag is None:
            return
        resize, x, y = self._drag
        self._drag = resize, event.x, event.y
        self._change(event.x - x, event.y - y, resize=resize)

    def on_mouse_up(self) -> None:
        """Let go."""
        self._drag = None
        self.release_mouse()
