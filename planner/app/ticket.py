"""What is chosen: the ticket, one row a field; the pairings on the costume; and the steps after them."""

from collections.abc import Mapping
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets.option_list import Option

from planner.app.answer import Answer
from planner.app.colours import seen_there
from planner.app.depth import Depth, hex_shown
from planner.app.fields import FIELDS, Field, coating_label
from planner.app.parts.patch import pair
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.tones import TONES
from planner.app.places import PLACES, Place
from planner.app.state import State
from planner.say.table import cut

_LABEL = 8
_FIRST = 6
"""Rows in the first of two columns."""


class Row(Widget, can_focus=True):
    """One field: its key, its name and its value. Left and right step through the choices."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "open", "Choose", show=False),
        Binding("left", "step(-1)", "Last choice", show=False),
        Binding("right", "step(1)", "Next choice", show=False),
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
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
        before = 2 + _LABEL + (3 if self.chip else 0)
        after = 4 if self.has_focus else 1
        text = cut(self.text, max(4, self.size.width - before - after))
        parts: list[str | tuple[str, str]] = [
            (f"{self.field.key} ", "$primary"), (f"{self.field.label:<{_LABEL}}", "$foreground 65%"),
        ]  # fmt: skip
        if self.chip:
            parts += [("██", self.chip), " "]
        parts.append((text, "bold" if self.has_focus else ""))
        if self.has_focus:
            parts.append((" " * max(0, self.size.width - before - len(text) - 4) + " ‹ ›", "$primary"))
        return Content.assemble(*parts)

    def on_click(self, event: events.Click) -> None:
        """Step at the arrows, else open."""
        from_right = self.size.width - event.x
        if self.has_focus and from_right <= 3:
            self.post_message(self.Stepped(self.field, 1 if from_right == 1 else -1))
        else:
            self.post_message(self.Opened(self.field))

    def action_move(self, step: int) -> None:
        """Go to the next row or the last one; after them all, to the lines of the costume."""
        rows = list(self.screen.query(Row))
        at = rows.index(self) + step
        if at < len(rows):
            rows[max(0, at)].focus()
        else:
            self.screen.query_one(Lines).focus()

    def action_open(self) -> None:
        """Ask for the choices."""
        self.post_message(self.Opened(self.field))

    def action_step(self, step: int) -> None:
        """Ask for a neighbouring choice."""
        self.post_message(self.Stepped(self.field, step))


class Ticket(Container):
    """All rows, in one column or two."""

    def compose(self) -> ComposeResult:
        """Yield the rows."""
        with Vertical(classes="rows"):
            for field in FIELDS[:_FIRST]:
                yield Row(field)
        with Vertical(classes="rows"):
            for field in FIELDS[_FIRST:]:
                yield Row(field)

    def show(self, state: State, depth: Depth) -> None:
        """Show what is asked in a state."""
        for field in FIELDS:
            row = self.query_one(f"#row-{field.key}", Row)
            colour = field.hex(state)
            row.text, row.chip = field.shown(state), colour and hex_shown(colour, depth)


class Step(Static):
    """A step that comes after the pairings; a click goes there as its key does."""

    def __init__(self, place: Place) -> None:
        text = Content.assemble((f"{place.key} ", "$primary"), place.step)
        super().__init__(text, id=f"step-{place.name}", classes="step")
        self.place = place
        self.tooltip = place.help

    async def on_click(self) -> None:
        """Go there."""
        await self.run_action(f"app.go('{self.place.name}')")


class Lines(OptionList):
    """The pairings on the costume; choosing one looks at it."""


class Costume(Vertical):
    """The pairings on the costume, each with its mark and its colours, and what comes after them."""

    class LineChosen(Message):
        """Another line is to be looked at."""

        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    def compose(self) -> ComposeResult:
        """Yield the list and the steps."""
        yield Static(Content.assemble(("On this costume", "$primary"), ("  + -", "$foreground 50%")),
                     id="lines-title")  # fmt: skip
        yield Lines(id="lines", compact=True)
        with Horizontal(id="steps"):
            for place in PLACES:
                if place.step:
                    yield Step(place)

    def show(self, state: State, answers: Mapping[int, Answer], depth: Depth) -> None:
        """Show the lines of a job, with the answers that are there."""
        lines = self.query_one(Lines)
        wanted = [_line(state, number, answers.get(number), depth) for number in range(len(state.job.lines))]
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


def _line(state: State, number: int, answer: Answer | None, depth: Depth) -> Content:
    """Return a line: number, mark, swatch and stones side by side, name."""
    line = state.job.lines[number]
    stone = state.palette.stones[line.stone].name.partition(",")[0]
    coating = state.palette.coatings.get(line.coating)
    film = "" if coating is None else f" + {coating_label(coating).partition(',')[0]}"
    at = f"{'▸' if number == state.line else ' '}{number + 1} "
    name = f" {stone}{film} {line.size}"
    if answer is None:
        return Content.assemble(at, ("…", "$foreground 65%"), "     ", name)
    verdict, reading = answer.verdict, answer.reading
    colours = pair(reading.swatch.hex, seen_there(reading).hex, depth)
    return Content.assemble(at, (verdict.mark, TONES[verdict.tone]), " ", colours, name)
