"""What to order instead: up to three pairings that do better, and what each gives up."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets.option_list import Option

from planner.app.depth import Depth, hex_shown
from planner.app.parts.plain import OptionList
from planner.app.parts.steady import SteadySheet
from planner.reading.instead import Instead
from planner.reading.sentence import pairing

WAITING = "Looking through the palette …"


class InsteadList(OptionList):
    """The offers as a list; Enter or a click swaps one in."""

    depth: Depth = "true"

    class Taken(Message):
        """An offer is to be swapped in."""

        def __init__(self, offer: Instead) -> None:
            super().__init__()
            self.offer = offer

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the library's own name for it
        super().__init__(id=id)
        self.offers: Sequence[Instead] = ()
        self._waiting = ""
        self.border_title = "Instead"

    def show(self, offers: Sequence[Instead] | None, waiting: str = WAITING) -> None:
        """Show offers; None while they are not known."""
        if offers is None and self._waiting == waiting:
            return
        self._waiting = waiting if offers is None else ""
        self.offers = offers or ()
        self.border_subtitle = "Enter swaps it in" if offers else ""
        if offers is None:
            self.set_options([Option(Content.styled(waiting, "$foreground 65%"), disabled=True)])
            return
        from planner.say.reading import NOTHING_BETTER, NOTHING_DOES  # late: no first answer needs it

        if not offers:
            self.set_options([Option(Content(NOTHING_BETTER), disabled=True)])
        else:
            said = [offer_text(one, n, self.depth) for n, one in enumerate(offers, 1)]
            if not offers[0].fits:
                said[0] = Content.assemble((f"{NOTHING_DOES}\n", "$text-warning"), said[0])
            self.set_options(map(Option, said))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Swap it in."""
        event.stop()
        if event.option_index < len(self.offers):
            self.post_message(self.Taken(self.offers[event.option_index]))


def offer_text(one: Instead, number: int, depth: Depth) -> Content:
    """Return an offer as two or three lines."""
    reading = one.reading
    gives = f" {' '.join(one.gives_up)}" if one.gives_up else ""
    severe = next((c.text for c in one.concerns if c.severity == "severe"), "")
    return Content.assemble(
        (f"{number} ", "$primary"), ("██", hex_shown(reading.swatch.hex, depth)),
        ("██ ", hex_shown(reading.seen.hex, depth)),
        (f"{pairing(reading)}, {reading.question.size}", "bold"), "\n",
        (f"  {reading.seen.name}; {reading.drift.words}.{gives}", "$foreground 80%"),
        (f" ▲ {severe}" if severe else "", "$error"),
    )  # fmt: skip


class InsteadScreen(SteadySheet[Instead | None]):
    """What to order instead, where there is no room for it beside the answer."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "dismiss", "Close", show=False),
        *(Binding(f"{n}", f"take({n})", show=False) for n in (1, 2, 3)),
    ]

    def __init__(self, offers: Sequence[Instead] | None, depth: Depth) -> None:
        super().__init__()
        self._offers, self._depth = offers, depth

    def compose(self) -> ComposeResult:
        """Yield the offers."""
        yield InsteadList(id="offers-sheet")

    def on_mount(self) -> None:
        """Show them."""
        offers = self.query_one(InsteadList)
        offers.add_class("sheet")
        offers.depth = self._depth
        self._fill()

    def show(self, found: Sequence[Instead] | None, waiting: str = WAITING) -> None:
        """Show what was found; None while that is not known."""
        self._offers = found
        self.soon(lambda: self._fill(waiting))

    def _fill(self, waiting: str = WAITING) -> None:
        offers = self.query_one(InsteadList)
        offers.show(self._offers, waiting)
        if self._offers:
            offers.highlighted = 0
        offers.focus()

    def action_take(self, number: int) -> None:
        """Swap the offer of that number in."""
        if self._offers and number <= len(self._offers):
            self.dismiss(self._offers[number - 1])

    def on_instead_list_taken(self, message: InsteadList.Taken) -> None:
        """Swap it in."""
        message.stop()
        self.dismiss(message.offer)
