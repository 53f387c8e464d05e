"""The question under which name the coating of a card, or the lot that came, is kept."""

from collections.abc import Callable
from typing import ClassVar, Literal

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input

from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadySheet
from planner.app.photo.reading import sentence
from planner.catalogue.fields import Entry
from planner.refusal import Refusal


class KeepSamplesScreen(SteadySheet[tuple[Entry, ...] | Literal["log"] | None]):
    """Dismisses with the entries as kept, "log" for the log alone, or None to go back."""

    DEFAULT_CSS = """
    KeepSamplesScreen { align: center middle; }
    KeepSamplesScreen .sheet {
        width: 72; max-width: 96%; height: auto; border: round $primary; background: $surface; padding: 1 2;
    }
    KeepSamplesScreen #keep-name { margin: 1 0; }
    KeepSamplesScreen #keep-say { color: $text-warning; height: auto; }
    KeepSamplesScreen .buttons { height: 1; }
    KeepSamplesScreen .buttons Button { margin-right: 2; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "Back", show=False),
        Binding("ctrl+o", "log", "Only log it", show=False),
    ]

    def __init__(
        self, text: str, first: str, keep: Callable[[str], tuple[Entry, ...]], *, logs: bool
    ) -> None:
        """Take what to say, the name to begin with, and what keeps under one or refuses."""
        super().__init__()
        self._text, self._first, self._keep, self._logs = text, first, keep, logs

    def compose(self) -> ComposeResult:
        """Lay out the question, the name and the answers."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "Keep this?"
            sheet.border_subtitle = "Esc goes back"
            yield Static(Content(self._text))
            yield Input(self._first, compact=True, select_on_focus=True, id="keep-name")
            with Horizontal(classes="buttons"):
                yield Button("Enter  Keep it", id="keep", compact=True, variant="primary")
                if self._logs:
                    yield Button("Ctrl+O  Only log it", id="log", compact=True)
                yield Button("Back", id="back", compact=True)
            yield Static(id="keep-say")

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def _kept(self) -> None:
        try:
            found = self._keep(self.query_one(Input).value.strip())
        except Refusal as problem:
            self.query_one("#keep-say", Static).update(Content(sentence(str(problem))))
            return
        self.dismiss(found)

    @on(Button.Pressed, "#log")
    def action_log(self) -> None:
        """Log how far off the prediction was, and keep nothing."""
        if self._logs:
            self.dismiss("log")

    @on(Button.Pressed, "#back")
    def _back(self) -> None:
        self.dismiss(None)
