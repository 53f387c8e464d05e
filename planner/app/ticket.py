"""The ticket: what is asked, one row a field, the pairings on the costume below it, and what comes then."""

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from planner.app.depth import Depth, hex_shown
from planner.app.fields import FIELDS, Field, coating_label
from planner.app.places import PLACES, Place
from planner.app.state import State

_LABEL = 8


class Row(Widget, can_focus=True):
    """One field: its key, its name and its value. Left and right step through the choices."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "open", "Choose", show=False),
        Binding("left", "step(-1)", "Last choice", show=False),
        Binding("right", "step(1)", "Next choice", show=False),
        Binding("up", "app.focus_previous", "Up", show=False),
        Binding("down", "app.focus_next", "Down", show=False),
    ]

    text: reactive[str] = reactive("")
    chip: reactive[str | None] = reactive(None)

    class Opened(Message):
        """The choices of a field are wanted."""

        def __init__(self, field: Field) -> None:
            super().__init__()
            self.field = field

    class Stepped(Message):
        """The next choice (1) or the last one (-1) is wanted."""

        def __init__(self, field: Field, step: int) -> None:
            super().__init__()
            self.field, self.step = field, step

    def __init__(self, field: Field) -> None:
        super().__init__(id=f"row-{field.key}")
        self.field = field
        self.tooltip = field.help

    def render(self) -> Content:
        """Return the row as one line."""
        room = self.size.width - _LABEL - 2 - (3 if self.chip else 0)
        width = max(4, room - (4 if self.has_focus else 0))
        text = self.text if len(self.text) <= width else self.text[: width - 1] + "…"
        parts: list[str | Content | tuple[str, str]] = [
            (f"{self.field.key} ", "$primary"),
            (f"{self.field.label:<{_LABEL}}", "$foreground 65%"),
        ]
        if self.chip:
            parts += [("██", self.chip), " "]
        parts.append((text, "bold" if self.has_focus else ""))
        if self.has_focus:
            used = 2 + _LABEL + (3 if self.chip else 0) + len(text)
            parts.append((" " * max(0, self.size.width - used - 3) + "‹ ›", "$primary"))
        return Content.assemble(*parts)

    def on_click(self, event: events.Click) -> None:
        """Step at the arrows, else open."""
        from_right = self.size.width - event.x
        if self.has_focus and from_right <= 3:
            self.post_message(self.Stepped(self.field, 1 if from_right == 1 else -1))
        else:
            self.post_message(self.Opened(self.field))

    def action_open(self) -> None:
        """Ask for the choices."""
        self.post_message(self.Opened(self.field))

    def action_step(self, step: int) -> None:
        """Ask for a neighbouring choice."""
        self.post_message(self.Stepped(self.field, step))


class Lines(OptionList):
    """The pairings on the costume; choosing one looks at it."""


class Step(Static):
    """A step that comes after the pairings; a click goes there as its key does."""

    def __init__(self, place: Place) -> None:
        text = Content.assemble((f"{place.key} ", "$primary"), place.label)
        super().__init__(text, id=f"then-{place.name}", classes="then")
        self.place = place
        self.tooltip = place.help

    async def on_click(self) -> None:
        """Go there."""
        await self.run_action(f"app.go('{self.place.name}')")


class Ticket(Vertical):
    """All rows and the lines of the job."""

    class LineChosen(Message):
        """Another line is to be looked at."""

        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    def compose(self) -> ComposeResult:
        """Yield the rows, then the lines."""
        with VerticalScroll(id="rows", can_focus=False):
            for field in FIELDS:
                yield Row(field)
        yield Static("On this costume", id="lines-title")
        yield Lines(id="lines", compact=True)
        yield Static("Then", id="then-title")
        for place in PLACES:
            if place.then:
                yield Step(place)

    def show(self, state: State, depth: Depth) -> None:
        """Show what is asked in a state; its lines are shown with the answer, in one layout."""
        for field in FIELDS:
            row = self.query_one(f"#row-{field.key}", Row)
            colour = field.hex(state)
            row.text, row.chip = field.shown(state), colour and hex_shown(colour, depth)

    def show_lines(self, state: State) -> None:
        """Show the lines of a job."""
        lines = self.query_one(Lines)
        wanted = [_line_name(state, number) for number in range(len(state.job.lines))]
        if [option.id for option in lines.options] != [f"{i}" for i in range(len(wanted))]:
            lines.set_options([Option(text, id=f"{i}") for i, text in enumerate(wanted)])
        else:
            for i, text in enumerate(wanted):
                if lines.get_option_at_index(i).prompt != text:
                    lines.replace_option_prompt_at_index(i, text)
        if lines.highlighted != state.line and not lines.has_focus:
            lines.highlighted = state.line

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Look at the line chosen."""
        event.stop()
        self.post_message(self.LineChosen(event.option_index))


def _line_name(state: State, number: int) -> str:
    line = state.job.lines[number]
    stone = state.palette.stones[line.stone].name.partition(",")[0]
    coating = state.palette.coatings.get(line.coating)
    film = "" if coating is None else f" + {coating_label(coating).partition(',')[0]}"
    mark = "▸" if number == state.line else " "
    return f"{mark}{number + 1} {stone}{film} {line.size}"
