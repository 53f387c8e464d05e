"""A picture of stones that turns by itself, by keys or under the mouse.

It is in half blocks, and while it stands in pixels where the terminal has them.

It is drawn elsewhere (`planner.app.parts.drawing`): first coarsely, so that something is seen at once, then
finely, then in pixels. While it moves it goes slowly until every frame is drawn, with half of a processor,
and known not to flash too much; it does nothing while it is not seen. NO_MOTION in the environment keeps it
still unless it is turned by hand.
"""

import os
from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic, perf_counter, sleep
from typing import TYPE_CHECKING, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.timer import Timer
from textual.widget import Widget

from planner.app.depth import Depth
from planner.app.half_blocks import strips
from planner.app.parts.drawing import Drawing, Made, OfQuestion, Turning
from planner.app.parts.pixels import Way, below, pixel_image, pixels_of
from planner.app.second_process import ProcessLostError, SameProcess, SecondProcess
from planner.picture.kinds import FINER, Kind
from planner.picture.motion import RATE, UNHURRIED, Loop
from planner.reading.question import Question
from planner.refusal import Refusal

if TYPE_CHECKING:
    from textual_image.widget import SixelImage, TGPImage

STEP = 4.0
"""Degrees for one press of a key."""

FURTHEST = 36.0
"""Degrees that it turns by hand, each way."""

_QUICK = 2
"""Samples to a pixel, each way, of a first look and of what moves."""

_LOOKS = 60
"""Looks a second at whether a frame is due. A timer loses the beats that it is late for."""

CAUTION = "Light flashes in a picture that moves. Leave it still if flashing light can harm you."


def motion_wanted() -> bool:
    """Say whether pictures may move by themselves."""
    return not os.environ.get("NO_MOTION")


@dataclass(frozen=True, eq=False)
class _Asked:
    made: Made
    size: tuple[int, int]


class Stage(Widget, can_focus=True):
    """One picture: from the seats, in the hand, or a stone large."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "swing", "Turn", show=False),
        Binding("left", f"turn(-{STEP}, 0)", "Turn left", show=False),
        Binding("right", f"turn({STEP}, 0)", "Turn right", show=False),
        Binding("up", f"turn(0, -{STEP})", "Lean back", show=False),
        Binding("down", f"turn(0, {STEP})", "Lean forwards", show=False),
    ]

    class Drawn(Message):
        """A frame was drawn in the worker."""

        def __init__(self, asked: _Asked, show: Callable[[], None]) -> None:
            super().__init__()
            self.asked, self.show = asked, show

    ABOVE = 0
    """Rows on top that stay half blocks where the rest is pixels: something is written there."""

    def __init__(
        self,
        depth: Depth,
        kind: Kind,
        *,
        way: Way = "blocks",
        painter: SecondProcess | SameProcess | None = None,
        id: str | None = None,  # noqa: A002 - Textual's word
    ) -> None:
        super().__init__(id=id)
        self.depth, self.kind, self.way = depth, kind, way
        self._painter = painter or SameProcess()
        self._pixels: TGPImage | SixelImage | None = None
        self.tilt, self.nod = 0.0, 0.0
        self._made: Made | None = None
        self._asked: _Asked | None = None
        self._quick: Turning | None = None
        self._fine: Turning | None = None
        self._loop: Loop | None = None
        self._lines: list[Strip] = []
        self._kept: dict[int, list[Strip]] = {}
        self._number = 0
        self._due = 0.0
        self._ahead = False
        self._timer: Timer | None = None
        self.tooltip = f"Drag to turn it, or press t. {CAUTION}"

    @property
    def moving(self) -> bool:
        """Whether it turns by itself."""
        return self._timer is not None

    def show(self, question: Question | None) -> None:
        """Show a question's picture; nothing for None."""
        self.show_made(None if question is None else OfQuestion(question, self.kind))

    def show_made(self, made: Made | None) -> None:
        """Show what is made in the worker; nothing for None."""
        self._made = made
        self._begin()

    def show_in(self, way: Way) -> None:
        """Show it in pixels or half blocks from now on."""
        self.way = way
        if self._pixels is not None:
            self._pixels.remove()
            self._pixels = None
        self._begin()

    def on_resize(self) -> None:
        """Draw it anew in its new size."""
        self._begin()

    def on_unmount(self) -> None:
        """Stop."""
        self._stop()

    def _begin(self) -> None:
        size = self.content_size.width, 2 * self.content_size.height
        if self._made is None or min(size) < 1:
            self._asked, self._lines = None, []
            self._stop()
            self._hide_pixels()
            self.refresh()
            return
        moved = self.moving
        self._stop()
        self._hide_pixels()
        self._asked = asked = _Asked(self._made, size)
        self._quick, self._fine, self._loop, self._kept, self._ahead = None, None, None, {}, False
        tilt, nod = self.tilt, self.nod

        def work() -> None:
            quick = self._drawing(asked, asked.size, _QUICK)
            self._tell(asked, quick, None, quick.frame(tilt, nod))
            if asked is not self._asked:  # a thread cannot be stopped from outside
                return
            fine = self._drawing(asked, asked.size, FINER)
            self._tell(asked, quick, fine, fine.frame(tilt, nod))
            self._draw_pixels(asked, tilt, nod)

        self._work(asked, work, "stage")
        if moved:
            self.action_swing()

    def _drawing(self, asked: _Asked, size: tuple[int, int], finer: int) -> Drawing:
        return Drawing(self._painter, asked.made, size, finer)

    def _work(self, asked: _Asked, work: Callable[[], object], group: Literal["stage", "frames"]) -> None:
        """Have something drawn in a thread, which waits for the painter."""

        def done() -> None:
            try:
                work()
            except Refusal as problem:
                said = str(problem)
                self.post_message(self.Drawn(asked, lambda: self.notify(said, severity="warning")))
            except ProcessLostError:  # as when the planner is left: what is shown stays
                return

        self.run_worker(done, thread=True, exclusive=group == "stage", group=group)

    def _tell(self, asked: _Asked, quick: Turning, fine: Turning | None, rgb: NDArray[np.uint8]) -> None:
        """From the worker: hand a frame over, unless something else is wanted by now."""
        if asked is not self._asked:
            return
        lines = strips(rgb, self.depth)

        def show() -> None:
            self._quick, self._fine = quick, fine
            if not self.moving:
                self._lines = lines
                self.refresh()

        self.post_message(self.Drawn(asked, show))

    def _draw_pixels(self, asked: _Asked, tilt: float, nod: float) -> None:
        """From the worker: hand over the picture in pixels where the terminal has them."""
        if self.way == "blocks" or asked is not self._asked:
            return
        columns, rows = asked.size[0], asked.size[1] // 2
        if rows <= self.ABOVE:
            return
        image = below(
            self._drawing(asked, pixels_of(columns, rows), _QUICK).frame(tilt, nod), rows, self.ABOVE
        )

        def show() -> None:
            if self.moving or self.way == "blocks" or (tilt, nod) != (self.tilt, self.nod):
                return
            if self._pixels is None:
                self._pixels = pixel_image(self.way)
                self._pixels.styles.width, self._pixels.styles.height = "100%", "1fr"
                self._pixels.styles.margin = (self.ABOVE, 0, 0, 0)
                self.mount(self._pixels)
            self._pixels.image, self._pixels.display = image, True

        self.post_message(self.Drawn(asked, show))

    def _hide_pixels(self) -> None:
        if self._pixels is not None:
            self._pixels.display = False

    def on_stage_drawn(self, message: Drawn) -> None:
        """Show what was drawn if it is still what is asked."""
        message.stop()
        if message.asked is self._asked:
            message.show()

    def action_swing(self) -> None:
        """Turn by itself; once more stops it where it is, to be drawn finely there."""
        if self.moving:
            self._stop()
            if self._loop is not None:
                self._turn_to(*self._loop.angle(self._number - 1))
            return
        if self._asked is not None and motion_wanted():
            self._hide_pixels()
            self._timer = self.set_interval(1.0 / _LOOKS, self._tick)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    def _tick(self) -> None:
        """Show the next frame if it is drawn and due; have others drawn meanwhile."""
        if self._quick is None or not self.screen.is_current or not self.region:
            return
        if self._loop is None:
            self._loop = Loop(self._quick.frame)
        self._draw_ahead(self._loop)
        number, now = self._number % self._loop.count, monotonic()
        if now < self._due or number not in self._kept:
            return
        self._lines = self._kept[number]
        self._number += 1
        # A late frame does not make the next one late, but where it may yet flash too much.
        calm = self._loop.whole
        self._due = max(self._due, now - 1.0 / RATE) + 1.0 / RATE if calm else now + 1.0 / UNHURRIED
        self.refresh()

    def _draw_ahead(self, loop: Loop) -> None:
        """Have the next frame drawn that is not."""
        asked = self._asked
        if self._ahead or asked is None or len(self._kept) == loop.count:
            return
        coming = ((self._number + one) % loop.count for one in range(loop.count))
        number = next(one for one in coming if one not in self._kept)
        self._ahead = True
        self._work(asked, lambda: self._draw_next(asked, loop, number), "frames")

    def _draw_next(self, asked: _Asked, loop: Loop, number: int) -> None:
        was, begun = loop.whole, perf_counter()
        lines = strips(loop.frame(number), self.depth)
        sleep(perf_counter() - begun)  # half of a processor is enough

        def show() -> None:
            if loop.whole and not was:
                self._kept = {}  # frames drawn so far may have been calmed since
            self._kept[number], self._ahead = lines, False

        self.post_message(self.Drawn(asked, show))

    def action_turn(self, tilt: float, nod: float) -> None:
        """Turn by hand, by some degrees."""
        self._turn_to(self.tilt + tilt, self.nod + nod)

    def _turn_to(self, tilt: float, nod: float) -> None:
        self._stop()
        self._hide_pixels()
        self.tilt, self.nod = (max(-FURTHEST, min(FURTHEST, one)) for one in (tilt, nod))
        asked, quick, fine = self._asked, self._quick, self._fine
        if asked is None or quick is None:
            return
        tilt, nod = self.tilt, self.nod

        def work() -> None:
            self._tell(asked, quick, fine, quick.frame(tilt, nod))
            if fine is not None and (tilt, nod) == (self.tilt, self.nod):
                self._tell(asked, quick, fine, fine.frame(tilt, nod))
            if (tilt, nod) == (self.tilt, self.nod):
                self._draw_pixels(asked, tilt, nod)

        self._work(asked, work, "stage")

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Begin to drag."""
        self.capture_mouse()
        event.stop()

    def on_mouse_up(self) -> None:
        """End dragging."""
        self.release_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Turn by where the mouse is dragged to."""
        if self.app.mouse_captured is self and min(self.size) > 1:
            across, down = event.x / (self.size.width - 1), event.y / (self.size.height - 1)
            self._turn_to((2.0 * across - 1.0) * FURTHEST, (2.0 * down - 1.0) * FURTHEST)

    def render_line(self, y: int) -> Strip:
        """Return one line of the frame."""
        width = self.content_size.width
        if y < len(self._lines):
            return self._lines[y].adjust_cell_length(width, Style.null()).crop(0, width)
        return Strip.blank(width, self.rich_style)
