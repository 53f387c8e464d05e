"""The page of the order: cautions first, then the packs to buy, or what would have to give."""

from collections.abc import Sequence
from typing import Final

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from planner.app.order import said
from planner.app.order.bench import Planned
from planner.app.order.page_offers import WIDE
from planner.app.state import State

_WAYS: Final = "What would do, the least first: Enter takes it into the job, u takes it back"
_SAVES: Final = "s saves the list. Nothing is bought or sent: ordering is yours."


class OrderPage(VerticalScroll):
    """What is ordered, from whom, and what it covers."""

    DEFAULT_CSS = """
    OrderPage {
        padding: 0 1;
        #order-first, #order-packs, #order-rest, #order-body { height: auto; }
        #order-first { max-width: 110; }
        #order-ways { height: auto; max-height: 12; background: $background; border: none; padding: 0; }
        #order-packs, #order-rest { max-width: 100; }
    }
    .-tall OrderPage { padding: 1 2; }
    .-broad OrderPage #order-body { layout: horizontal; }
    .-broad OrderPage #order-packs { width: 1fr; margin-right: 4; }
    .-broad OrderPage #order-rest { width: 1fr; }
    """

    class Taken(Message):
        """A way out was chosen."""

        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    def __init__(self, cover_key: str) -> None:
        """Take the key of the screen where areas are drawn up; empty where there is none."""
        super().__init__(id="order-view", classes="view")
        self._cover_key = cover_key

    def compose(self) -> ComposeResult:
        """Yield the parts from above."""
        yield Static(id="order-first")
        yield OptionList(id="order-ways", markup=False)
        with Vertical(id="order-body"):
            yield Static(id="order-packs")
            yield Static(id="order-rest")

    @property
    def holds(self) -> str:
        """What of it takes the keys."""
        return "#order-ways" if self.query_one("#order-ways").display else "#order-view"

    def show(
        self, found: Planned | None, state: State, instead: Content, without_rate: Sequence[str] = ()
    ) -> None:
        """Show an order; `instead` is said where there are no offers, or no answer yet."""
        first, ways = self.query_one("#order-first", Static), self.query_one("#order-ways", OptionList)
        packs, rest = self.query_one("#order-packs", Static), self.query_one("#order-rest", Static)
        ways.display = False
        for one in (packs, rest):
            one.update("")
        if found is None:
            first.update(instead)
            return
        parts = [said.cautions(found, state.job, state.palette)]
        outcome = found.outcome
        if found.complaint:
            parts.append(Content.styled(f"✗ {found.complaint[:1].upper()}{found.complaint[1:]}.", "$error"))
        elif not found.needs:
            parts.append(said.no_areas(self._cover_key))
        elif outcome is None:
            parts += [said.needed(found, state.palette), Content(""), instead]
        elif outcome.plan is None:
            parts.append(Content.styled(" ✗  This order cannot be made", "bold $error"))
            parts += [Content(f"   {one}") for one in outcome.reasons]
            if outcome.ways:
                parts += [Content(""), Content.styled(_WAYS, "bold $primary")]
                ways.set_options([
                    Option(Content.assemble("  ", said.way(one, changes, state.job.currency)))
                    for one, changes in zip(outcome.ways, found.changes, strict=True)
                ])  # fmt: skip
                ways.display, ways.highlighted = True, 0
            rest.update(said.left_out(outcome.notes, without_rate))
        else:
            plan = outcome.plan
            parts += [said.headline(plan, found), *(Content(f"✗ {one}") for one in plan.missing)]
            packs.update(Content("\n").join([Content(""), said.parcels(plan, self._width)]))
            rest.update(Content("\n").join([
                Content(""), said.covered(plan, self._width), said.left_out(outcome.notes, without_rate),
                Content(""), Content.styled(_SAVES, said.FAINT),
            ]))  # fmt: skip
        first.update(Content("\n").join(parts))

    @property
    def _width(self) -> int:
        width = self.screen.size.width - 6
        return min(width // 2 - 4, 96) if self.screen.size.width >= WIDE else min(width, 96)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(self.Taken(event.option_index))
