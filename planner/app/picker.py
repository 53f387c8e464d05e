"""The picker: type to filter, move to look, Enter to keep, Escape to leave all as it was."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input
from textual.widgets.option_list import Option

from planner.app.depth import Depth, hex_shown
from planner.app.fields import BY_EYE, Choice, Field
from planner.app.parts.find import FindLine
from planner.app.parts.patch import pair
from planner.app.parts.plain import OptionList, Static
from planner.app.state import State


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
        self._swatch = ""
        self._colours: Mapping[str, str] = {}

    def compose(self) -> ComposeResult:
        """Yield the title, the line to type in and the list."""
        yield Static(id="picker-title")
        yield FindLine("#choices", placeholder="type to filter", compact=True, id="filter")
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
        self.field, self._state, self._colours = field, state, {}
        self._all = field.choices(state)
        self.query_one("#picker-title", Static).update(
            Content.assemble((field.label, "bold $primary"), "  ", (field.help, "$foreground 65%"))
        )
        entry = self.query_one(FindLine)
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

    def show_colours(self, swatch: str, colours: Mapping[str, str]) -> None:
        """Show the swatch beside what each choice reads as, "#rrggbb" by its value."""
        self._swatch, self._colours = swatch, colours
        choices = self.query_one("#choices", OptionList)
        for number, one in enumerate(self._shown):
            choices.replace_option_prompt_at_index(number, self._prompt(one))

    def _prompt(self, one: Choice) -> Content:
        width = max(10, self.size.width - 4)
        chip = Content("")
        if (seen := self._colours.get(one.value)) is not None:
            chip = pair(self._swatch, seen, self.depth, 3) + " "
        elif one.hex:
            chip = Content.styled("███ ", hex_shown(one.hex, self.depth))
        used = len(one.label) + chip.cell_length
        hint = f"{one.hint:>{width - used}}" if one.hint and len(one.hint) < width - used else ""
        return Content.assemble(chip, one.label, (hint, "$foreground 60%"))

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self.field is not None:
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
