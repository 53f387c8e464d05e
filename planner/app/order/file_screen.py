"""Which file: a question of the order screen."""

from collections.abc import Set as AbstractSet
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input
from textual.widgets.option_list import Option

from planner.app.parts.find import FindLine
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.steady import SteadySheet
from planner.app.photo.files import above, is_file, path_of, within_reach


class FileScreen(SteadySheet[Path | None]):
    """Asks for a file that is there; dismisses with it, or None."""

    DEFAULT_CSS = """
    FileScreen .sheet { height: 80%; max-height: 24; }
    FileScreen #file-names { height: 1fr; background: $surface; border: none; padding: 0; }
    FileScreen #file-says { height: auto; }
    FileScreen #file-path { background: $panel; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "Leave", show=False)]

    def __init__(self, title: str, says: str, endings: AbstractSet[str], begin: str = "") -> None:
        super().__init__()
        self._title, self._says, self._endings, self._begin = title, says, endings, begin
        self._paths: list[str] = []

    def compose(self) -> ComposeResult:
        """Yield the line and what it may lead to."""
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = Content(self._title)
            sheet.border_subtitle = "type or ↑ ↓ · Enter chooses · Esc leaves"
            yield Static(Content(self._says), id="file-says")
            yield FindLine("#file-names", value=self._begin, compact=True, id="file-path")
            names = OptionList(id="file-names", compact=True)
            names.can_focus = False
            yield names

    def on_mount(self) -> None:
        """List what is there."""
        self._fill(self._begin)
        self.query_one("#file-path").focus()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        self._fill(event.value)

    def _fill(self, typed: str) -> None:
        there, over = within_reach(typed, self._endings), above(typed)
        self._paths = [*there, *over]
        names = self.query_one("#file-names", OptionList)
        names.set_options([Option(Content(one)) for one in (*map(_last, there), *(".." for _ in over))])
        names.highlighted = 0 if self._paths else None

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        at = self.query_one("#file-names", OptionList).highlighted
        if is_file(event.value) or at is None:
            self._go(event.value)
        else:
            self._go(self._paths[at])

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        self._go(self._paths[event.option_index])

    def _go(self, typed: str) -> None:
        """Enter a folder, or dismiss with a file."""
        line = self.query_one("#file-path", FindLine)
        if not typed:
            return
        if is_file(typed):
            self.dismiss(path_of(typed))
        elif typed.endswith("/"):
            line.value = typed
            line.cursor_position = len(typed)
        else:
            self.notify(f"There is no file {typed} here; type or choose another.", severity="warning")


def _last(path: str) -> str:
    """Return the last part of a path, with its stroke where it is a folder."""
    return path.rstrip("/").rpartition("/")[2] + ("/" if path.endswith("/") else "")
