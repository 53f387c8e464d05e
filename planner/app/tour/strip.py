"""The strip of the tour, over whichever screen is on top."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message

from planner.app.parts.plain import Button, Static
from planner.app.tour.steps import Step


class Press(Button):
    """A button that never takes the focus from the screen below."""

    can_focus = False
    BINDINGS: ClassVar[list[BindingType]] = []


class Strip(Vertical):
    """What is seen, what to do next, and three ways to go."""

    DEFAULT_CSS = """
    Strip {
        dock: top; width: 100%; height: auto; max-height: 4; background: $primary 25%; padding: 0 1;
        .tour-see { width: 100%; height: auto; max-height: 2; }
        Horizontal { width: 100%; height: 1; }
        .tour-do { width: 1fr; height: 1; text-style: bold; text-wrap: nowrap; text-overflow: ellipsis; }
        Press { width: auto; min-width: 4; margin: 0 0 0 1; }
    }
    """

    class Wish(Message):
        """Back, on, or off the tour."""

        def __init__(self, way: str) -> None:
            super().__init__()
            self.way = way

    def __init__(self) -> None:
        super().__init__()
        self._said: tuple[int, str, str] | None = None

    def compose(self) -> ComposeResult:
        """Lay out the words and the buttons."""
        yield Static(classes="tour-see")
        with Horizontal():
            yield Static(classes="tour-do")
            yield Press("F2 Back", name="back", compact=True)
            yield Press("F3 On", name="on", compact=True)
            yield Press("F4 Leave", name="leave", compact=True)

    def show(self, step: Step, number: int, of: int, away: str) -> None:
        """Show a step; `away` says how to get back where the person is elsewhere."""
        said = (number, away or step.see, step.do)
        lines = [*self.query(".tour-see, .tour-do").results(Static)]
        if said == self._said or len(lines) < 2:  # its lines go one by one where it is taken away
            return
        self._said = said
        see, do = lines
        see.update(Content.assemble((f"Tour {number} of {of}  ", "bold $primary"), away or step.see))
        do.update(Content(f"▸ {step.do}"))

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        event.stop()
        self.post_message(self.Wish(event.button.name or ""))
