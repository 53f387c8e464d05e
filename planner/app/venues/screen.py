"""The screen of venues side by side."""

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar, Final

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll

from planner.app.depth import BANNERS, Depth, depth_of
from planner.app.parts.footer import Footer
from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.venues.card import Card
from planner.app.venues.choosing import MOST, ChoosingScreen
from planner.app.venues.judged import heading, lines_in_words
from planner.app.venues.making import MakingScreen
from planner.app.venues.understood import own_file
from planner.app.venues.worker import Found, VenuesWorker, Wanted
from planner.catalogue.own import with_kept
from planner.catalogue.palette import Palette
from planner.catalogue.venue import Venue
from planner.colour.names import name_of
from planner.reading.question import Question

_CARD: Final = 27
"""Cells that a card needs."""


class VenuesScreen(SteadyScreen[str | None]):
    """One pairing in up to four venues; dismisses with the id of the venue to be the main one, or None.

    A venue made here is kept at once and is in `palette` afterwards.
    """

    DEFAULT_CSS = """
    VenuesScreen {
        #heading { height: 1; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #does { height: 1; padding: 0 1; }
        #does Button { margin-right: 2; }
        #cards-scroll { height: 1fr; scrollbar-size-vertical: 1; }
        #cards { layout: grid; grid-size: 2; grid-gutter: 0 1; grid-rows: auto; height: auto; padding: 0 1; }
        .card { height: auto; border: round $foreground 30%; border-title-color: $foreground; padding: 0 1; }
        .card:focus { border: heavy $primary; border-title-style: bold; }
        .still { height: 5; width: 1fr; }
        &.-tall .still { height: 8; }
        &.-tall.-row .still { height: 12; }
        &.-high.-row .still { height: 26; }
        .still.-none, &.-tall .still.-none { height: 1; }
        &.-tall.-row .still.-none, &.-high.-row .still.-none { height: 1; }
        .said { height: auto; min-height: 7; }
        .does { height: 1; }
        .does Button { width: auto; min-width: 4; margin-right: 1; }
        #job-lines { height: auto; max-height: 5; padding: 0 1; border-top: solid $primary; }
        #job-lines:focus { border-top: heavy $primary; }
        &.-tall #job-lines { max-height: 12; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        ("a", "choose", "Choose venues"),
        ("m", "make", "Make one"),
        ("enter", "take", "Main venue"),
        ("x", "remove", "Take away"),
        ("escape", "leave", "Back"),
    ]

    def __init__(
        self, palette: Palette, question: Question, job_lines: Sequence[Question] = (), *,
        venues: Sequence[str] = (), distance: float | None = None, keep_in: Path | None = None,
    ) -> None:  # fmt: skip
        """Take what to look at.

        Parameters
        ----------
        palette
            Its venues are those to choose from.
        question
            The pairing, in its main venue.
        job_lines
            What the lines of the job ask.
        venues
            Ids of the venues shown at first, beside the main one.
        distance
            m; where it is None, each venue's usual one counts.
        keep_in
            Palette file for venues made here; `planner.app.venues.understood.own_file` when not given.

        """
        super().__init__()
        self.palette, self._question, self._lines = palette, question, tuple(job_lines)
        self._keep_in = keep_in or own_file()
        main = question.venue.id
        others = [one for one in venues if one != main] or [one for one in palette.venues if one != main][:1]
        self._dealing = asyncio.Lock()
        """Held while cards are put up, since keys and what is chosen come at the same time."""
        self.shown: tuple[str, ...] = tuple(dict.fromkeys((main, *others)))[:MOST]
        # Held here, as answers may still come while the screen is taken down.
        self._told = Static(id="job-lines-text")
        self.worker = VenuesWorker(question, job_lines, distance, self.post_message)

    def compose(self) -> ComposeResult:
        """Lay out the heading, the cards and what is said of the job."""
        yield Static(heading(self._question, name_of(self._question.swatch.lab)), id="heading")
        yield Static(BANNERS[self._depth], id="caveat")
        with Horizontal(id="does"):
            yield Button("a  Choose venues", id="choose", compact=True)
            yield Button("m  Make a venue in words", id="make", compact=True)
        with VerticalScroll(id="cards-scroll", can_focus=False):
            yield Horizontal(id="cards")
        with VerticalScroll(id="job-lines"):
            yield self._told
        yield Footer()

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    @property
    def _places(self) -> tuple[Venue, ...]:
        return tuple(self.palette.venues[one] for one in self.shown)

    async def on_mount(self) -> None:
        """Say what the console does to colours, and put the cards up."""
        self.query_one("#caveat").display = bool(BANNERS[self._depth])
        self.query_one("#job-lines").display = bool(self._lines)
        await self._deal()

    def on_unmount(self) -> None:
        """End all work."""
        self.worker.close()

    def on_resize(self, event: events.Resize) -> None:
        """Put as many cards side by side as there is room for."""
        self.set_class(event.size.height >= 34, "-tall")
        self.set_class(event.size.height >= 50, "-high")
        self._columns(event.size.width)

    def _columns(self, width: int) -> None:
        room = max(1, (width - 2) // _CARD)
        # Three of four in a row would leave one alone below them.
        columns = min(len(self.shown), room if room >= len(self.shown) else min(room, 2))
        self.query_one("#cards").styles.grid_size_columns = columns
        self.set_class(columns == len(self.shown), "-row")

    # The cards.

    async def _deal(self, focus: str | None = None) -> None:
        """Put up a card for every venue shown."""
        self._columns(self.size.width)
        cards = self.query_one("#cards")
        main = self._question.venue.id
        async with self._dealing, self.batch():
            await cards.remove_children()
            await cards.mount_all(Card(one, self._depth, main=one.id == main) for one in self._places)
            wanted = focus if focus in self.shown else self.shown[0]
            for one in self.query(Card):
                if one.venue.id == wanted:
                    one.focus()
        self._fill()

    @on(Card.Resized)
    def _ask(self) -> None:
        """Ask for all that is shown, now that the size of the pictures is known."""
        self._fill()
        self.worker.ask(Wanted(self._places, self._pixels()))

    def _pixels(self) -> tuple[int, int]:
        # One width for all, so that all show the same stones.
        return min((one.pixels for one in self.query(Card)), default=(0, 0))

    @on(Found)
    def _fill(self) -> None:
        """Show all that is known of what is shown."""
        size = self._pixels()
        for card in self.query(Card):
            card.show(self.worker.reading(card.venue), self.worker.picture(card.venue, size))
        rows = [[self.worker.line(number, one) for one in self._places] for number in range(len(self._lines))]
        names = [f"{one.stone.name}, {one.size}" for one in self._lines]
        self._told.update(lines_in_words(rows, names, self._places))

    async def show_venues(self, shown: Sequence[str], focus: str | None = None) -> None:
        """Show other venues."""
        self.shown = tuple(shown)[:MOST]
        await self._deal(focus)

    # What a person does.

    @on(Button.Pressed, "#choose")
    @work
    async def action_choose(self) -> None:
        """Choose which venues are shown."""
        found = await self.app.push_screen_wait(ChoosingScreen(self.palette.venues, self.shown))
        if found is not None and found != self.shown:
            await self.show_venues(found)

    @on(Button.Pressed, "#make")
    @work
    async def action_make(self) -> None:
        """Make a venue from words, keep it and show it."""
        venue = await self.app.push_screen_wait(MakingScreen(self.palette.venues, self._keep_in))
        if venue is None:
            return
        self.palette = with_kept(self.palette, self._keep_in)
        self.notify(f"{venue.name} is kept in {self._keep_in}.")
        # Where all places are taken, it takes the last one's.
        await self.show_venues((*self.shown[: MOST - 1], venue.id), venue.id)

    @property
    def _current(self) -> Venue | None:
        focused = self.focused
        return focused.venue if isinstance(focused, Card) else None

    def action_take(self) -> None:
        """Leave with the venue under the cursor as the main one."""
        if self._current is not None:
            self.dismiss(self._current.id)

    @on(Card.Taken)
    def _taken(self, event: Card.Taken) -> None:
        self.dismiss(event.venue.id)

    async def action_remove(self) -> None:
        """Take the venue under the cursor away."""
        if self._current is not None:
            await self._take_away(self._current)

    @on(Card.Removed)
    async def _removed(self, event: Card.Removed) -> None:
        await self._take_away(event.venue)

    async def _take_away(self, venue: Venue) -> None:
        if len(self.shown) == 1:
            self.notify("One venue has to stay: add another first.")
            return
        await self.show_venues([one for one in self.shown if one != venue.id])

    def action_leave(self) -> None:
        """Leave without a choice."""
        self.dismiss(None)
