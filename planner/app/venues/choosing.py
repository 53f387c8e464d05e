"""Which venues are shown: a list to find in, each put up or taken away by Enter or a click."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input
from textual.widgets.option_list import Option

from planner.app.parts.find import FindLine
from planner.app.parts.plain import Button, OptionList, Static
from planner.app.parts.steady import SteadySheet
from planner.catalogue.venue import Venue

MOST = 4
"""Venues shown at most."""


class ChoosingScreen(SteadySheet[tuple[str, ...] | None]):
    """Dismisses with the ids of the venues to show, or None to leave them as they are."""

    DEFAULT_CSS = """
    ChoosingScreen {
        align: center middle; background: $background 70%;
        #sheet { width: 70; max-width: 96%; height: 18; max-height: 90%; border: round $primary; }
        #sheet { background: $surface; padding: 0 1; border-title-color: $primary; }
        #venues { height: 1fr; background: transparent; border: none; padding: 0; margin-top: 1; }
        #venues > .option-list--option-highlighted { background: $primary 30%; color: $foreground; }
        #says { height: 1; color: $text-warning; }
        #choose-buttons { height: 1; }
        #choose-buttons Button { margin-right: 2; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "done", "Done")]

    def __init__(self, venues: Mapping[str, Venue], shown: Sequence[str]) -> None:
        """Take all venues, and the ids of those shown."""
        super().__init__()
        self._venues, self._shown = venues, list(shown)
        self._listed: list[Venue] = []

    def compose(self) -> ComposeResult:
        """Lay out the line to find by, the list and the buttons."""
        with Vertical(id="sheet") as sheet:
            sheet.border_title = f"Which venues? Up to {MOST}"
            sheet.border_subtitle = "Enter adds or takes away · Esc shows them"
            yield FindLine("#venues", placeholder="type to find: rink, hall …", compact=True, id="find-venue")
            venues = OptionList(id="venues", compact=True)
            venues.can_focus = False
            yield venues
            yield Static(id="says")
            with Horizontal(id="choose-buttons"):
                yield Button("Show them", id="done", compact=True, variant="primary")
                yield Button("Leave as it was", id="leave", compact=True)

    def on_mount(self) -> None:
        """Fill the list."""
        self._fill(0)

    def _fill(self, under: int) -> None:
        words = self.query_one(FindLine).value.lower().split()
        self._listed = [
            one for one in self._venues.values()
            if all(word in f"{one.name} {one.id}".lower() for word in words)
        ]  # fmt: skip
        venues = self.query_one("#venues", OptionList)
        venues.set_options([Option(self._row(one)) for one in self._listed])
        venues.highlighted = min(under, len(self._listed) - 1) if self._listed else None
        if not self._listed:
            self._tell("No venue is called that: delete a letter.")

    def _row(self, venue: Venue) -> Text:
        mark = "✓ shown " if venue.id in self._shown else "        "
        return Text.assemble((mark, "bold"), f"{venue.name} ", (f"{venue.distance:g} m", "dim"), no_wrap=True)

    def _tell(self, text: str) -> None:
        self.query_one("#says", Static).update(text)

    @on(Input.Changed)
    def _typed(self) -> None:
        self._tell("")
        self._fill(0)

    @on(Input.Submitted)
    def _entered(self) -> None:
        self._turn(self.query_one("#venues", OptionList).highlighted)

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        self._turn(event.option_index)

    def _turn(self, number: int | None) -> None:
        """Put a venue up, or take it away."""
        if number is None or number >= len(self._listed):
            return
        venue = self._listed[number].id
        if venue not in self._shown and len(self._shown) == MOST:
            self._tell(f"{MOST} venues are shown already: take one away first.")
            return
        if self._shown == [venue]:
            self._tell("One venue has to stay: add another first.")
            return
        self._tell("")
        if venue in self._shown:
            self._shown.remove(venue)
        else:
            self._shown.append(venue)
        self._fill(number)

    @on(Button.Pressed, "#done")
    def action_done(self) -> None:
        """Show what was chosen."""
        self.dismiss(tuple(self._shown))

    @on(Button.Pressed, "#leave")
    def _leave(self) -> None:
        self.dismiss(None)
