"""Choosing out of the palette's swatches."""

from collections.abc import Sequence
from typing import Any

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input
from textual.widgets.option_list import Option

from planner.app.choose.offer import Offer, Offered, offer_of
from planner.app.depth import Depth, depth_of
from planner.app.parts.find import FindLine
from planner.app.parts.patch import patch
from planner.app.parts.plain import OptionList
from planner.catalogue.palette import Palette
from planner.catalogue.swatch import Swatch
from planner.reading.question import swatch_colour
from planner.refusal import Refusal
from planner.say.table import cut

WAY = "palette"

_NONE_YET = "You have no swatches of your own yet: Ctrl+N goes on to a name, your eye or a photograph."

_NAME = 18
"""Cells for a swatch's own name."""


class ByPalette(Vertical):
    """A list to find in."""

    def __init__(self, palette: Palette, current: str, **rest: Any) -> None:
        """Take the swatches, and the id of the one that is chosen now."""
        super().__init__(**rest)
        self._rows = [(swatch, *_offer(swatch)) for swatch in palette.offered.swatches.values()]
        self._shown: Sequence[tuple[Swatch, Offer | None, str]] = ()
        self._current = current

    def compose(self) -> ComposeResult:
        """Lay out the line to find by and the list."""
        yield FindLine("#swatches", placeholder="type to find: blue, sash …", compact=True, id="find-swatch")
        swatches = OptionList(id="swatches", compact=True)
        swatches.can_focus = False
        yield swatches

    def on_mount(self) -> None:
        """Fill the list, the present swatch under the cursor."""
        self._fill("", self._current)

    def on_resize(self, _event: events.Resize) -> None:
        """Fit the rows to the width."""
        under = self.query_one(OptionList).highlighted
        value = self._shown[under][0].id if under is not None and under < len(self._shown) else ""
        self._fill(self.query_one(FindLine).value, value)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._fill(event.value, "")

    def _fill(self, typed: str, under: str) -> None:
        words = typed.lower().split()
        self._shown = [row for row in self._rows if all(word in _words(row[0], row[1]) for word in words)]
        swatches = self.query_one(OptionList)
        swatches.set_options([Option(self._row(swatch, offer)) for swatch, offer, _ in self._shown])
        ids = [swatch.id for swatch, _, _ in self._shown]
        swatches.highlighted = (ids.index(under) if under in ids else 0) if ids else None
        if not ids:
            none = "No swatch is called that: delete a letter." if self._rows else _NONE_YET
            self.post_message(Offered(WAY, None, none))

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    def _row(self, swatch: Swatch, offer: Offer | None) -> Text:
        sign = Text("??") if offer is None else patch(offer.hex, self._depth)
        name = offer.called if offer else "not a colour of cloth"
        room = max(0, self.size.width - _NAME - 6)
        return Text.assemble(
            sign, f" {cut(swatch.name, _NAME - 1):<{_NAME}}", (cut(name, room), "dim"), no_wrap=True
        )

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        if event.option_index < len(self._shown):
            _, offer, complaint = self._shown[event.option_index]
            self.post_message(Offered(WAY, offer, complaint))

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        """Keep a click from meaning more than a look."""
        event.stop()


def _offer(swatch: Swatch) -> tuple[Offer | None, str]:
    """Return what a swatch has to offer, or a sentence why it cannot be used."""
    try:
        colour = swatch_colour(swatch)
    except Refusal as wrong:
        return None, str(wrong)
    sure = f", known to ±{colour.uncertainty:g}" if colour.uncertainty else ""
    return offer_of(swatch.id, swatch.name, colour.lab, f"{swatch.basis}{sure}"), ""


def _words(swatch: Swatch, offer: Offer | None) -> str:
    return f"{swatch.name} {swatch.id} {offer.called if offer else ''}".lower()
