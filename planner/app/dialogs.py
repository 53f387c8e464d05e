"""Small questions: one line, such as the name of a file; whether to do it; unsaved changes."""

import os
from pathlib import Path
from typing import ClassVar, Final, Literal, TypeAlias

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.suggester import Suggester
from textual.widgets import Input

from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadySheet
from planner.app.photo.files import within_reach

_JOBS: Final = frozenset({".toml"})

Leaving: TypeAlias = Literal["save", "draft", "discard"]


class Paths(Suggester):
    """Completes the name of a folder, or of a job file in it."""

    def __init__(self) -> None:
        super().__init__(use_cache=False, case_sensitive=True)

    async def get_suggestion(self, value: str) -> str | None:
        """Return the first name that goes on from `value`."""
        fitting = (one for one in within_reach(value, _JOBS) if one.startswith(value))
        return next(fitting, None) if os.path.split(value)[1] else None


class TextScreen(SteadySheet[str | None]):
    """Asks for one line; dismisses with it, or None."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "Leave", show=False)]

    def __init__(self, title: str, help_text: str, value: str = "", *, path: bool = False) -> None:
        super().__init__()
        self._title, self._help, self._value, self._path = title, help_text, value, path

    def compose(self) -> ComposeResult:
        """Yield the line and its buttons."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = Content(self._title)
            yield Static(Content(self._help))
            yield Input(self._value, suggester=Paths() if self._path else None, select_on_focus=False)
            with Horizontal(classes="buttons"):
                yield Button("Go on", id="go", compact=True)
                yield Button("Leave", id="no", compact=True)

    @on(Input.Submitted)
    @on(Button.Pressed, "#go")
    def _go(self) -> None:
        self.dismiss(self.query_one(Input).value.strip() or None)

    @on(Button.Pressed, "#no")
    def _no(self) -> None:
        self.dismiss(None)


class SureScreen(SteadySheet[bool]):
    """Says what will change, and asks; dismisses with whether it is wanted."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,n", "answer(False)", "Leave", show=False),
        Binding("y", "answer(True)", "Do it", show=False),
    ]

    def __init__(self, title: str, text: Content, does: str) -> None:
        super().__init__()
        self._title, self._text, self._does = title, text, does

    def compose(self) -> ComposeResult:
        """Yield the question and its buttons."""
        with VerticalScroll(classes="sheet", can_focus=False) as sheet:
            sheet.border_title = Content(self._title)
            yield Static(self._text)
            with Horizontal(classes="buttons"):
                yield Button(f"y  {self._does}", id="sure", compact=True)
                yield Button("n  Leave as it is", id="leave", compact=True)

    def on_mount(self) -> None:
        """Begin at the button that changes nothing."""
        self.query_one("#leave", Button).focus()

    def action_answer(self, answer: bool) -> None:
        """Answer by a key."""
        self.dismiss(answer)

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        self.dismiss(event.button.id == "sure")


class LeavingScreen(SteadySheet[Leaving | None]):
    """Asks what becomes of unsaved changes."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "Stay", show=False),
        Binding("s", "answer('save')", show=False),
        Binding("k", "answer('draft')", show=False),
        Binding("x", "answer('discard')", show=False),
    ]

    def __init__(self, what: str, draft: Path | None) -> None:
        super().__init__()
        self._what, self._draft = what, draft

    def compose(self) -> ComposeResult:
        """Yield the question and its buttons."""
        kept = f" So far they are kept in {self._draft}." if self._draft else ""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "Before you go"
            sheet.border_subtitle = "Esc stays"
            yield Static(Content(f"{self._what} has changes that are not saved.{kept}"))
            with Horizontal(classes="buttons"):
                yield Button("s  Save", id="save", compact=True)
                yield Button("k  Keep for next time", id="draft", compact=True)
                yield Button("x  Throw away", id="discard", compact=True)

    def action_answer(self, answer: Leaving) -> None:
        """Answer by a key."""
        self.dismiss(answer)

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        answer: Leaving
        for answer in ("save", "draft", "discard"):
            if event.button.id == answer:
                self.dismiss(answer)
