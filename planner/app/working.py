"""What is shown while a new costume's best match is looked for: a first reading, then how far it is."""

from collections.abc import Callable
from typing import ClassVar, Final

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import ProgressBar

from planner.app.answer import Answer, answer_of
from planner.app.answer_worker import fault
from planner.app.depth import Depth, hex_shown
from planner.app.parts.plain import Static
from planner.app.parts.steady import SteadySheet
from planner.assess.begin import Begun
from planner.reading.matter import QUICK
from planner.reading.question import Question
from planner.reading.read import seen
from planner.refusal import Refusal

_FIRST: Final = (
    "First a look at your nearest stone, then at all of yours with every coating. It takes a few seconds."
)
_THEN: Final = "Now every stone of yours is held beside it, with every coating …"


class WorkingScreen(SteadySheet[Begun | str | None]):
    """Dismisses with the job begun, a sentence on why it cannot be, or None where that was left."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "Leave", show=False)]

    class FirstLook(Message):
        """One stone was read."""

        def __init__(self, answer: Answer) -> None:
            super().__init__()
            self.answer = answer

    class Done(Message):
        """All of it was worked out."""

        def __init__(self, found: Begun | str) -> None:
            super().__init__()
            self.found = found

    def __init__(self, first: Callable[[], Question], begin: Callable[[], Begun], depth: Depth) -> None:
        """Take what makes the question of the first look, and what begins the job."""
        super().__init__()
        self._first, self._begin, self._depth = first, begin, depth

    def compose(self) -> ComposeResult:
        """Lay out what is known so far, and a bar that moves."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "Working it out …"
            sheet.border_subtitle = "Esc leaves"
            yield Static(Content("\n"), id="first-look")
            yield Static(Content(_FIRST), id="now")
            yield ProgressBar(show_eta=False, show_percentage=False)

    def on_mount(self) -> None:
        """Begin once the sheet is painted."""
        self.soon(self._work)

    @work(thread=True, exit_on_error=False)
    def _work(self) -> None:
        try:
            question = self._first()
            if question.swatch_told:
                self.post_message(self.FirstLook(answer_of(question, QUICK)))
            self.post_message(self.Done(self._begin()))
        except Refusal as problem:
            self.post_message(self.Done(str(problem)))
        except Exception as problem:  # noqa: BLE001 - a fault of ours must not leave the sheet waiting
            self.post_message(self.Done(fault(problem)))

    @on(FirstLook)
    def _show(self, event: FirstLook) -> None:
        one = event.answer
        chips = [
            (" " * 4, f"on {hex_shown(each.hex, self._depth)}")
            for each in (seen(one.reading.question.swatch.lab), one.reading.seen)
        ]
        self.query_one("#first-look", Static).update(
            Content.assemble(*chips, " ", (one.name, "bold"), f": {one.verdict.text}. {one.looks()[0]}\n")
        )
        self.query_one("#now", Static).update(Content(_THEN))

    @on(Done)
    def _done(self, event: Done) -> None:
        self.dismiss(event.found)
