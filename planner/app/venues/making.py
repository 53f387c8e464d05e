"""A venue made from words: five lines to fill in, and what was understood of them as they are typed."""

from collections.abc import Mapping
from pathlib import Path
from typing import ClassVar, Final

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input

from planner.app.parts.plain import Button, Label, Static
from planner.app.parts.steady import SteadySheet
from planner.app.venues.understood import Understood, Words, keep, understood
from planner.catalogue.venue import Venue
from planner.lighting.places import floors, surrounds
from planner.refusal import Refusal

_FIELDS: Final = (
    ("name", "Name", "", "what you call it: Town hall, gala night"),
    ("lamps", "Lamps", "", "halogen 3200 front 400 lx; LED 5600 overhead array 300 lx"),
    ("surround", "Surround", "dim", f"{', '.join(surrounds())}, or such as 40 lx"),
    ("floor", "Floor", "dark stage", f"{', '.join(floors())}, a colour or a share"),
    ("distance", "Seen from", "12", "metres"),
)
"""Id, label, what stands in it at first, what can be typed."""


class MakingScreen(SteadySheet[Venue | None]):
    """Dismisses with a venue that has been kept, or None."""

    DEFAULT_CSS = """
    MakingScreen {
        align: center middle; background: $background 70%;
        #sheet { width: 96; max-width: 98%; height: 20; max-height: 96%; border: round $primary; }
        #sheet { background: $surface; padding: 0 1; border-title-color: $primary; }
        .field { height: 1; }
        .field Label { width: 11; color: $primary; }
        .field Input { width: 1fr; }
        #hint { height: 2; margin-left: 11; color: $foreground 65%; }
        #heard { height: 1fr; border-top: solid $panel; }
        #make-buttons { height: 1; }
        #make-buttons Button { margin-right: 2; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave", show=False),
        Binding("ctrl+s", "keep", "Keep", show=False),
        Binding("down", "app.focus_next", show=False, priority=True),
        Binding("up", "app.focus_previous", show=False, priority=True),
    ]

    def __init__(self, known: Mapping[str, Venue], path: Path) -> None:
        """Take the venues that there are, and the file to keep the new one in."""
        super().__init__()
        self._known, self._path = known, path
        self._found = Understood((), None)

    def compose(self) -> ComposeResult:
        """Lay out the lines, what was understood, and the buttons."""
        with Vertical(id="sheet") as sheet:
            sheet.border_title = "A venue in your own words"
            sheet.border_subtitle = "Enter keeps it once all is understood · Esc leaves"
            for name, label, first, hint in _FIELDS:
                with Horizontal(classes="field"):
                    yield Label(label)
                    yield Input(first, placeholder=hint, compact=True, id=name, select_on_focus=False)
            yield Static(id="hint")
            with VerticalScroll(id="heard", can_focus=False):
                yield Static(id="heard-text")
            with Horizontal(id="make-buttons"):
                yield Button("Keep it", id="keep", compact=True, variant="primary")
                yield Button("Leave", id="leave", compact=True)

    def on_mount(self) -> None:
        """Be ready to type."""
        self.query_one("#name").focus()
        self._hear()

    @on(events.DescendantFocus)
    def _help(self, event: events.DescendantFocus) -> None:
        """Say what can be typed in the line that is written in."""
        hints = {name: hint for name, _, _, hint in _FIELDS}
        self.query_one("#hint", Static).update(Text(hints.get(event.widget.id or "", "")))

    @on(Input.Changed)
    def _hear(self) -> None:
        """Say what is understood so far."""
        said = {name: self.query_one(f"#{name}", Input).value for name, *_ in _FIELDS}
        self._found = understood(Words(**said), self._known)
        self.query_one("#keep", Button).disabled = self._found.venue is None
        self._tell(self._found.lines)

    def _tell(self, lines: tuple[tuple[bool, str], ...]) -> None:
        # What is wrong comes first: it must not be below the edge.
        ordered = sorted(lines, key=lambda one: one[0])
        said = [Text.assemble((f"{'✓' if good else '✗'} ", "bold"), line) for good, line in ordered]
        self.query_one("#heard-text", Static).update(Text("\n").join(said))

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def action_keep(self) -> None:
        """Keep the venue and leave with it, if all is understood."""
        if self._found.venue is None:
            return
        try:
            keep(self._found.venue, self._path)
        except Refusal as problem:
            self._tell(((False, str(problem)),))
            return
        self.dismiss(self._found.venue)

    @on(Button.Pressed, "#leave")
    def action_leave(self) -> None:
        """Leave without a venue."""
        self.dismiss(None)
