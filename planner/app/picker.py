"""The picker: type to filter, move to look, Enter to keep, Escape to leave all as it was."""

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from planner.app.depth import Depth, hex_shown
from planner.app.fields import BY_EYE, Choice, Field
from planner.app.state import State


class Filter(Input):
    """The line to type in; moving keys go to the list."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move('cursor_up')", show=False),
        Binding("down", "move('cursor_down')", show=False),
        Binding("pageup", "move('page_up')", show=False),
        Binding("pagedown", "move('page_down')", show=False),
    ]

    def action_move(self, what: str) -> None:
        """Move in the list."""
        picker = self.parent
        if isinstance(picker, Picker):
            getattr(picker.query_one(OptionList), f"action_{what}")()


class Picker(Vertical):
    """Choices of one field, in place of the ticket."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Leave", show=False)]

    depth: Depth = "true"

    class Looked(Message):
        """A choice is to be tried without being kept."""

        def __init__(self, field: Field, choice: Choice) -> None:
            super().__init__()
            self.field, self.choice = field, choice

    class Chosen(Message):
        """A choice is to be kept."""

        def __init__(self, field: Field, choice: Choice) -> None:
            super().__init__()
            self.field, self.choice = field, choice

    class Left(Message):
        """Nothing is to be changed."""

    def __init__(self) -> None:
        super().__init__(id="picker")
        self.field: Field | None = None
        self._state: State | None = None
        self._all: Sequence[Choice] = ()
        self._shown: list[Choice] = []
        self._begun = False

    def compose(self) -> ComposeResult:
        """Yield the title, the line to type in and the list."""
        yield Static(id="picker-title")
        yield Filter(placeholder="type to filter", compact=True, id="filter", select_on_focus=False)
        choices = OptionList(id="choices", compact=True)
        choices.can_focus = False
        yield choices
        yield Static("Enter keeps · Esc leaves", id="picker-help")

    @property
    def values(self) -> list[str]:
        """What can be chosen as the list is filtered now."""
        return [one.value for one in self._shown]

    def open(self, field: Field, state: State) -> None:
        """Show the choices of a field, the present one highlighted."""
        self.field, self._state, self._begun = field, state, False
        self._all = field.choices(state)
        self.query_one("#picker-title", Static).update(
            Content.assemble((field.label, "bold $primary"), "\n", (field.help, "$foreground 65%"))
        )
        entry = self.query_one(Filter)
        with entry.prevent(Input.Changed):
            entry.value = ""
        self._fill("", field.value(state))
        entry.focus()

    def _fill(self, text: str, now: str | None) -> None:
        """Show what matches `text`; the choice `now` is highlighted, else the first."""
        words = text.lower().split()
        self._shown = [
            one for one in self._all if all(word in f"{one.label} {one.hint}".lower() for word in words)
        ]
        if text and self.field is not None and self._state is not None:
            typed = self.field.typed(self._state, text)
            if typed is not None and all(one.value != typed.value for one in self._shown):
                self._shown.insert(0, typed)
        choices = self.query_one("#choices", OptionList)
        choices.set_options([Option(self._prompt(one)) for one in self._shown])
        if self._shown:
            values = [one.value for one in self._shown]
            choices.highlighted = values.index(now) if now in values else 0
        nothing = "" if self._shown else "Nothing is called that."
        self.query_one("#picker-help", Static).update(nothing or "Enter keeps · Esc leaves")

    def _prompt(self, one: Choice) -> Content:
        width = max(10, self.size.width - 4)
        chip = [("██ ", hex_shown(one.hex, self.depth))] if one.hex else []
        used = len(one.label) + (3 if one.hex else 0)
        hint = f"{one.hint:>{width - used}}" if one.hint and len(one.hint) < width - used else ""
        return Content.assemble(*chip, one.label, (hint, "$foreground 60%"))

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self.field is not None:
            self._begun = True
            self._fill(event.value, None)

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        if self.field is None or event.option_index >= len(self._shown):
            return
        choice = self._shown[event.option_index]
        if choice.value != BY_EYE and self.field.label != "Also in":
            self.post_message(self.Looked(self.field, choice))

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._keep(event.option_index)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self._keep(self.query_one("#choices", OptionList).highlighted)

    def _keep(self, number: int | None) -> None:
        if self.field is not None and number is not None and number < len(self._shown):
            self.post_message(self.Chosen(self.field, self._shown[number]))

    def action_leave(self) -> None:
        """Leave all as it was."""
        self.post_message(self.Left())
