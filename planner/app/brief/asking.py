"""Asks whether a file that is there may be written over."""

from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Button, Static


class OverScreen(ModalScreen[bool]):
    """Dismisses with whether to write over a file."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "answer(False)", "Leave it", show=False),
        Binding("w", "answer(True)", show=False),
    ]

    def __init__(self, path: Path) -> None:
        super().__init__()
        self._path = path

    def compose(self) -> ComposeResult:
        """Yield the question and its buttons; the harmless one has the focus."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "There is such a file"
            sheet.border_subtitle = "Esc leaves it"
            yield Static(Content(f"{self._path} is there already. It has not been touched."))
            with Horizontal(classes="buttons"):
                yield Button("Leave it", id="leave", compact=True)
                yield Button("w  Write over it", id="over", compact=True)

    def action_answer(self, answer: bool) -> None:
        """Answer."""
        self.dismiss(answer)

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        self.dismiss(event.button.id == "over")
