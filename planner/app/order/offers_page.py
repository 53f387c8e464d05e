"""The page of offers side by side: the table with its bars, and what to ask of the one under the cursor."""

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets.option_list import Option

from planner.app.order import offer_rows
from planner.app.order.worker import Table
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.told import part_content
from planner.app.state import State
from planner.order.landed import Priced
from planner.say.offers import group_name, offer_parts

WIDE = 150
"""Cells from which two columns stand side by side."""


class Head(Static):
    """The titles over the offers; a click sorts by one."""

    class Clicked(Message):
        """A title was clicked."""

        def __init__(self, x: int) -> None:
            super().__init__()
            self.x = x

    def on_click(self, event: events.Click) -> None:
        """Tell where."""
        self.post_message(self.Clicked(event.x))


class OffersPage(Vertical):
    """Offers grouped by what they sell."""

    DEFAULT_CSS = """
    OffersPage {
        #offer-side { height: 1fr; }
        #offer-head { height: 1; padding: 0; }
        #offer-rows { height: 1fr; background: $background; border: none; padding: 0; }
        #offer-says { height: 8; padding: 0 1; border-top: solid $primary; }
        #offer-none { height: auto; padding: 1 2; max-width: 90; }
    }
    .-tall OffersPage #offer-says { height: 13; }
    .-broad OffersPage { layout: horizontal; }
    .-broad OffersPage #offer-side { width: 3fr; height: 100%; }
    .-broad OffersPage #offer-says {
        width: 2fr; height: 100%; border-top: none; border-left: solid $primary; padding: 0 2;
    }
    """

    def __init__(self) -> None:
        super().__init__(id="offers-view", classes="view")
        self._by, self._turned = "gross", False
        self._table: Table | None = None
        self._state: State | None = None
        self._shown: list[Priced | None] = []
        """What each line of the table is; None for the name of a group."""

    def compose(self) -> ComposeResult:
        """Yield the table and what is said of one offer."""
        with Vertical(id="offer-side"):
            yield Head(id="offer-head")
            yield Static(id="offer-none")
            yield OptionList(id="offer-rows")
        with VerticalScroll(id="offer-says", can_focus=False):
            yield Static(id="offer-said")

    @property
    def current(self) -> Priced | None:
        """The offer under the cursor."""
        at = self.query_one("#offer-rows", OptionList).highlighted
        return self._shown[at] if at is not None and at < len(self._shown) else None

    def show(self, found: Table | None, state: State, instead: Content) -> None:
        """Show offers, or `instead` where there are none."""
        self._table, self._state = found, state
        there = found is not None and bool(found.alike)
        none = self.query_one("#offer-none", Static)
        none.display = not there
        for name in ("#offer-head", "#offer-rows", "#offer-says"):
            self.query_one(name).display = there
        if there:
            self._fill()
        else:
            self._shown = []
            none.update(instead)

    @property
    def _width(self) -> int:
        width = self.screen.size.width - 2
        return width * 3 // 5 if self.screen.size.width >= WIDE else width

    def _fill(self) -> None:
        found, state = self._table, self._state
        if found is None or state is None:
            return
        width, under = self._width, self.current
        if self._by not in offer_rows.sorts(width):
            self._by, self._turned = "gross", False
        self.query_one(Head).update(offer_rows.head(width, self._by, turned=self._turned))
        options: list[Option] = []
        self._shown = []
        for group in found.alike:
            name = group_name(group, state.palette)
            options.append(Option(Content.styled(f" {name}", "bold $primary"), disabled=True))
            self._shown.append(None)
            most = max(one.cost.per_gross for one in group.priced)
            for one in offer_rows.ordered(group, self._by, turned=self._turned):
                asks = [each for each in found.concerns.get(one.offer.row, ()) if each.severity != "note"]
                options.append(Option(offer_rows.line(one, asks, most, width)))
                self._shown.append(one)
        table = self.query_one("#offer-rows", OptionList)
        table.set_options(options)
        same = [
            at for at, one in enumerate(self._shown) if one and under and one.offer.row == under.offer.row
        ]
        table.highlighted = same[0] if same else 1
        self._describe()

    @on(OptionList.OptionHighlighted)
    def _describe(self) -> None:
        one, found, state = self.current, self._table, self._state
        if one is None or found is None or state is None:
            return
        parts = offer_parts(one, found.concerns.get(one.offer.row, ()), state.job.currency)
        text = Content("\n").join([part_content(each) for each in parts])
        self.query_one("#offer-said", Static).update(text)
        panel = self.query_one("#offer-says")
        panel.scroll_home(animate=False)
        shown = sum(each is not None for each in self._shown)
        some = f"{shown:,} of {found.passing:,}" if shown < found.passing else f"{shown:,}"
        rate = f" · no rate: {', '.join(found.without_rate)} (r)" if found.without_rate else ""
        panel.border_title = Content(
            f"{some} offers, delivered, {state.job.currency} · * charges not stated{rate}"
        )

    def sort(self) -> None:
        """Sort by the next column."""
        names = offer_rows.sorts(self._width)
        if not names:  # in a window of one cell
            return
        # The column sorted by may be gone since the terminal grew narrower: then the first is next.
        at = names.index(self._by) + 1 if self._by in names else 0
        self._by, self._turned = names[at % len(names)], False
        self._fill()

    def turn(self) -> None:
        """Turn the order round."""
        self._turned = not self._turned
        self._fill()

    @on(Head.Clicked)
    def _head_clicked(self, event: Head.Clicked) -> None:
        column = offer_rows.column_at(event.x, self._width)
        if column is not None:
            self._turned = column == self._by and not self._turned
            self._by = column
            self._fill()
