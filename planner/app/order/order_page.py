"""The page of the order: cautions first, then the packs to buy, or what would have to give."""

from collections.abc import Sequence
from typing import Final

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets.option_list import Option

from planner.app.order import content
from planner.app.order.offers_page import WIDE
from planner.app.order.worker import Planned
from planner.app.parts.plain import OptionList, Static
from planner.app.parts.told import part_content, parts_content
from planner.app.state import State
from planner.say.order import deliveries, impossible, left_out, rest

_WAYS: Final = "What would make it possible: Enter changes the job that way, u undoes it"
_SAVES: Final = "s saves the list. Nothing is bought or sent: ordering is up to you."


class OrderPage(VerticalScroll):
    """What is ordered, from whom, and what it covers."""

    DEFAULT_CSS = """
    OrderPage {
        padding: 0 1;
        #order-first, #order-packs, #order-rest, #order-body { height: auto; }
        #order-first { max-width: 110; }
        #order-ways { height: auto; max-height: 12; background: $background; border: none; padding: 0; }
        #order-packs, #order-rest { max-width: 100; margin-top: 1; }
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
        yield OptionList(id="order-ways")
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
        ways = self.query_one("#order-ways", OptionList)
        first, packs, rest = ([], [], []) if found is None else self._parts(found, state, without_rate)
        if found is None or (found.outcome is None and found.needs and not found.complaint):
            first.append(instead)
        ways.display = False
        outcome = None if found is None else found.outcome
        if found is not None and outcome is not None and outcome.ways:
            first.append(Content.styled(_WAYS, "bold $primary"))
            ways.set_options([
                Option(Content.assemble("  ", content.way_out(one, changes, state.job.currency)))
                for one, changes in zip(outcome.ways, found.changes, strict=True)
            ])  # fmt: skip
            ways.display, ways.highlighted = True, 0
        for name, said in (("first", first), ("packs", packs), ("rest", rest)):
            text = Content("\n\n").join([one for one in said if one.plain])
            self.query_one(f"#order-{name}", Static).update(text)

    def _parts(
        self, found: Planned, state: State, without_rate: Sequence[str]
    ) -> tuple[list[Content], list[Content], list[Content]]:
        """Return what stands above, the packs, and what stands beside or below them."""
        job, outcome, wide = state.job, found.outcome, self._width
        first = [Content("\n").join([part_content(one, room=wide) for one in found.heed])]
        if found.complaint:
            first.append(Content.styled(f"✗ {found.complaint[:1].upper()}{found.complaint[1:]}.", "$error"))
            return first, [], []
        if not found.needs:
            return [*first, content.no_areas(self._cover_key)], [], []
        if outcome is None:
            return [*first, part_content(content.needed(found.needs, state.palette))], [], []
        asks = content.asks_rates(without_rate, job.currency)
        notes = parts_content([left_out(outcome)])
        if outcome.plan is None:
            why, _ways = impossible(outcome, job.currency)
            return [*first, parts_content([why]), asks], [], [notes]
        plan = outcome.plan
        packs = parts_content(deliveries(plan), room=wide)
        if not plan.parcels:
            packs = Content("Nothing has to be bought: the drawer has it all.")
        whole = [Content(f"✗ {one}") for one in plan.missing]
        above = Content("\n").join([*([part_content(found.headline)] if found.headline else []), *whole])
        saves = Content.styled(_SAVES, content.FAINT)
        return [*first, above, asks], [packs], [parts_content(rest(plan), room=wide), notes, saves]

    @property
    def _width(self) -> int:
        width = self.screen.size.width - 6
        return min(width // 2 - 4, 96) if self.screen.size.width >= WIDE else min(width, 96)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(self.Taken(event.option_index))
