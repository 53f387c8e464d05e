"""The question under which name something that was found is kept, or what is done instead."""

from collections.abc import Callable
from typing import ClassVar, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input

from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadySheet
from planner.app.photo.reading import sentence
from planner.refusal import Refusal

Kept = TypeVar("Kept")


class KeepScreen(SteadySheet[Kept | str | None]):
    """Dismisses with what was kept, the word for what is done instead, or None to go back.

    Parameters
    ----------
    title, text
        What is kept, and what is asked.
    name
        A name to begin with.
    keep
        Keeps it under what is typed, the name and each further line; a Refusal says why that cannot be.
    further
        What can be typed in a second line; none where empty.
    instead
        The word for what else can be done and how that is called, if anything can.
    note
        What is said last.

    """

    DEFAULT_CSS = """
    KeepScreen { align: center middle; }
    KeepScreen .sheet {
        width: 72; max-width: 96%; height: auto; border: round $primary; background: $surface; padding: 1 2;
    }
    KeepScreen Input { margin-top: 1; }
    KeepScreen #keep-say { color: $text-warning; height: auto; }
    KeepScreen .buttons { height: 1; margin-top: 1; }
    KeepScreen .buttons Button { margin-right: 2; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "Back", show=False),
        Binding("ctrl+o", "instead", "Instead", show=False),
    ]

    def __init__(
        self, title: str, text: str, name: str, keep: Callable[..., Kept], *, further: str = "",
        instead: tuple[str, str] | None = None, note: str = "",
    ) -> None:  # fmt: skip
        super().__init__()
        self._title, self._text, self._name, self._keep = title, text, name, keep
        self._further, self._instead, self._note = further, instead, note

    def compose(self) -> ComposeResult:
        """Lay out the question, the lines and the answers."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = self._title
            sheet.border_subtitle = "Esc goes back"
            yield Static(Content(self._text))
            yield Input(self._name, compact=True, id="keep-name")
            if self._further:
                yield Input(placeholder=self._further, compact=True, id="keep-kind")
            with Horizontal(classes="buttons"):
                yield Button("Enter  Keep it", id="keep", compact=True, variant="primary")
                if self._instead is not None:
                    yield Button(f"Ctrl+O  {self._instead[1]}", id="instead", compact=True)
                yield Button("Back", id="back", compact=True)
            yield Static(id="keep-say")
            if self._note:
                yield Static(Content.styled(self._note, "$foreground 60%"))

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def _kept(self) -> None:
        try:
            found = self._keep(*(one.value.strip() for one in self.query(Input)))
        except Refusal as problem:
            self.query_one("#keep-say", Static).update(Content(sentence(str(problem))))
            return
        self.dismiss(found)

    @on(Button.Pressed, "#instead")
    def action_instead(self) -> None:
        """Do the other thing."""
        if self._instead is not None:
            self.dismiss(self._instead[0])

    @on(Button.Pressed, "#back")
    def _back(self) -> None:
        self.dismiss(None)
