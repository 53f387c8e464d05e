"""The screen of a form: every refusal stands under its own line, and nothing is kept while there is one."""

from collections.abc import Sequence
from typing import ClassVar, Final

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.suggester import SuggestFromList
from textual.widgets import Input

from planner.app.form.entry import Entry
from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadySheet

_KEYS: Final = "↑ ↓ to the other lines · Enter keeps · Esc leaves"
_LONG: Final = 6
"""Entries beyond which a form takes most of the screen, and scrolls."""

_SURE: Final = "Esc once more throws away what you typed; Enter keeps it."


class Line(Input):
    """Where an answer is typed."""


class Asked(Vertical):
    """One entry: its label, the line, and under it how it is understood or why it is refused."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(classes="entry")
        self.entry = entry
        self.good = True

    def compose(self) -> ComposeResult:
        """Yield label, line and note."""
        among = SuggestFromList(self.entry.among, case_sensitive=False) if self.entry.among else None
        with Horizontal():
            yield Static(Content(self.entry.label), classes="label")
            yield Line(
                self.entry.text,
                suggester=among,
                select_on_focus=False,
                compact=True,
                id=f"entry-{self.entry.name}",
            )
        yield Static(classes="note")

    @property
    def text(self) -> str:
        """What stands in the line."""
        return self.query_one(Line).value.strip()

    def judge(self) -> None:
        """Say how the text is understood, or why it is refused."""
        said, wrong = self.entry.fault(self.text)
        self.good = not wrong
        note = self.query_one(".note", Static)
        note.display = bool(said)
        note.update(
            Content.styled(f"✗ {said}", "$error") if wrong else Content.styled(said, "$foreground 65%")
        )


class FormScreen(SteadySheet[dict[str, str] | None]):
    """Dismisses with every answer by its name, or None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave", show=False),
        Binding("ctrl+s", "keep", "Keep", show=False),
        # From the buttons too; and before what is typed next, which belongs to the next line.
        Binding("up", "app.focus_previous", show=False, priority=True),
        Binding("down", "app.focus_next", show=False, priority=True),
    ]

    def __init__(self, title: str, entries: Sequence[Entry], intro: Content | None = None) -> None:
        super().__init__()
        self._title, self._entries, self._intro = title, entries, intro
        self._asked_once = False

    def compose(self) -> ComposeResult:
        """Yield the entries and the buttons."""
        with Vertical(classes="sheet form -long" if len(self._entries) > _LONG else "sheet form") as sheet:
            sheet.border_title = Content(self._title)
            sheet.border_subtitle = _KEYS
            if self._intro is not None:
                yield Static(self._intro, id="intro")
            with VerticalScroll(classes="entries", can_focus=False):
                for entry in self._entries:
                    yield Asked(entry)
            yield Static(id="form-help")
            with Horizontal(classes="buttons"):
                yield Button("Keep", id="keep", compact=True)
                yield Button("Leave", id="leave", compact=True)

    def on_mount(self) -> None:
        """Judge what stands there, and begin at the first line."""
        for one in self.query(Asked):
            one.judge()
            # A line still to be filled in is not wrong before anything was typed.
            if not one.good and not one.text:
                one.query_one(".note").display = False
        self.query(Line).first().focus()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        entry = event.input.query_ancestor(Asked)
        if entry.text != entry.entry.text or not entry.good:
            entry.judge()
        self._asked_once = False

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Say what belongs in the line."""
        if isinstance(event.widget, Line):
            self._say(event.widget.query_ancestor(Asked).entry.help)

    def _say(self, text: str) -> None:
        self.query_one("#form-help", Static).update(Content.styled(text, "$foreground 80%"))

    @property
    def texts(self) -> dict[str, str]:
        """What stands in every line, by its name; in those not asked for at present too."""
        return {one.entry.name: one.text for one in self.query(Asked)}

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def action_keep(self) -> None:
        """Dismiss with the answers, or go to the first that is refused."""
        asked = [one for one in self.query(Asked) if one.display]
        for one in asked:
            one.judge()
        wrong = next((one for one in asked if not one.good), None)
        if wrong is not None:
            wrong.query_one(Line).focus()
        elif together := self.refusal():
            self._say(together if together.startswith("? ") else f"✗ {together}")
        else:
            self.dismiss(self.texts)

    def refusal(self) -> str:
        """Return what is the matter with the answers taken together, in one sentence; nothing as a rule.

        What is no more than a question begins with "? ".
        """
        return ""

    @on(Button.Pressed, "#leave")
    def action_leave(self) -> None:
        """Leave all as it was; ask once where something was typed."""
        typed = any(one.text != one.entry.text.strip() for one in self.query(Asked))
        if typed and not self._asked_once:
            self._asked_once = True
            self._say(_SURE)
        else:
            self.dismiss(None)
