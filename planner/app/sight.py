"""What is to be seen: the cloth with its stones, one stone large, and the colours side by side."""

from pathlib import Path

from rich.segment import Segment
from rich.style import Style
from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.strip import Strip
from textual.timer import Timer

from planner.app.answer import Answer
from planner.app.colours import Patches, Sparkle
from planner.app.depth import Depth
from planner.app.parts.drawing import Made, OfCostume
from planner.app.parts.pixels import Way
from planner.app.parts.stage import Stage
from planner.app.second_process import SameProcess, SecondProcess, parcel
from planner.app.state import State
from planner.reading.question import Question

REST = 0.1
"""Seconds without another answer before pictures are drawn: words and patches come first."""


class Picture(Stage):
    """A picture with what it shows written into its corner."""

    ABOVE = 1
    caption = ""

    def render_line(self, y: int) -> Strip:
        """Return one line of the frame."""
        line = super().render_line(y)
        caption = f" {self.caption} "
        if y or not self.caption or len(caption) > line.cell_length:
            return line
        style = self.rich_style + Style(bold=self.has_focus)
        return Strip.join([Strip([Segment(caption, style)]), line.crop(len(caption), line.cell_length)])


class Sight(Container):
    """Pictures and patches of one answer."""

    def __init__(
        self, depth: Depth, way: Way = "blocks", painter: SecondProcess | SameProcess | None = None
    ) -> None:
        super().__init__(id="sight")
        self._depth, self._way, self._painter = depth, way, painter or SameProcess()
        self._serial = 0
        self._question: Question | None = None
        self._timer: Timer | None = None
        self._costume: Made | None = None
        self._whole = False

    def compose(self) -> ComposeResult:
        """Yield the pictures and the colours."""
        yield Picture(self._depth, "seats", way=self._way, painter=self._painter, id="cloth")
        with Container(id="near"):
            yield Picture(self._depth, "stone", way=self._way, painter=self._painter, id="stone")
            with Vertical(id="colours"):
                patches, sparkle = Patches(id="patches"), Sparkle(id="sparkle")
                patches.depth = sparkle.depth = self._depth
                yield patches
                yield sparkle

    @property
    def waiting(self) -> bool:
        """Whether pictures are still to be begun."""
        return self._timer is not None

    def show(self, serial: int, answer: Answer, costume: Made | None = None) -> None:
        """Show the colours of an answer, and soon its pictures; a fuller answer has the same pictures.

        `costume` makes the picture of the whole costume, where its outline is known.
        """
        self._costume = costume
        patches, sparkle = self.query_one(Patches), self.query_one(Sparkle)
        if patches.answer is None or patches.answer.reading is not answer.reading:
            patches.answer = sparkle.answer = answer
        if serial != self._serial:
            self._serial, self._question = serial, answer.reading.question
            self._draw_soon()

    def clear(self) -> None:
        """Show nothing: there is no answer."""
        self._serial, self._question = 0, None
        self.query_one(Patches).answer = self.query_one(Sparkle).answer = None
        self._draw_soon()

    def _draw_soon(self) -> None:
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(REST, self._draw)

    def _draw(self) -> None:
        self._timer = None
        cloth, stone = self._pictures()
        if self._question is not None:
            far = f"From {self._question.distance:g} m"
            cloth.caption = far if cloth.kind == "seats" else "Near by"
            stone.caption = f"One stone, {self._question.size}"
        stone.show(self._question)
        if self._whole and self._costume is not None and self._question is not None:
            cloth.caption = f"All of it, from {self._question.distance:g} m"
            cloth.show_made(self._costume)
        else:
            cloth.show(self._question)

    def _pictures(self) -> tuple[Picture, Picture]:
        return self.query_one("#cloth", Picture), self.query_one("#stone", Picture)

    @property
    def moving(self) -> bool:
        """Whether a picture turns by itself."""
        return any(one.moving for one in self._pictures())

    def swing(self) -> None:
        """Let the pictures turn as their wearer does; once more stops them."""
        moving = self.moving
        for one in self._pictures():
            if one.moving == moving:
                one.action_swing()

    def show_in(self, way: Way) -> None:
        """Show the pictures in pixels or half blocks."""
        for one in self._pictures():
            one.show_in(way)

    def change_kind(self) -> None:
        """Show the cloth from where it is seen, near by, or the whole costume where it has an outline."""
        cloth, _ = self._pictures()
        if self._whole or cloth.kind == "seats":
            cloth.kind = "seats" if self._whole else "hand"
            self._whole = False
        else:
            cloth.kind, self._whole = "seats", self._costume is not None
        self._draw()


def costume_of(state: State) -> Made | None:
    """Return what makes the picture of the whole costume; None where it has no outline."""
    job, palette = state.job, state.palette
    if job.outline is None or not job.areas:
        return None
    folder = Path() if state.file is None else state.file.path.parent
    return OfCostume(job, parcel(palette), folder)
