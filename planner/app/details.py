"""Screens laid over the main one: the figures, what to order instead."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from planner.app.depth import Depth
from planner.app.look import Look
from planner.app.offers import Offers
from planner.reading.instead import Instead
from planner.reading.sentence import figures


class Sheet(ModalScreen[None]):
    """Some text over the main screen; Escape, Enter or a click beside it closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,enter,q", "dismiss", "Close", show=False)]

    def __init__(self, title: str, text: Content) -> None:
        super().__init__()
        self._title, self._text = title, text

    def compose(self) -> ComposeResult:
        """Yield the text."""
        with VerticalScroll(classes="sheet") as sheet:
            sheet.border_title = self._title
            sheet.border_subtitle = "Esc closes"
            yield Static(self._text)

    def on_click(self, event: object) -> None:
        """Close at a click beside the sheet."""
        if getattr(event, "widget", None) is self:
            self.dismiss()


class FiguresScreen(Sheet):
    """The figures behind the words, one to a line, and what is known of swatch and cloth."""

    def __init__(self, look: Look) -> None:
        said = figures(look.reading).removesuffix(".").split("; ")
        field, sparkle = look.reading.field, look.reading.sparkle
        said.append(f"stones and cloth merge in light and dark beyond {field.merge_m:.0f} m, in hue beyond "
                    f"{field.merge_hue_m:.0f} m")  # fmt: skip
        if sparkle is not None:
            said.append(
                f"{sparkle.number_ratio:.1f} times as many flashes as clear lead crystal of this cut, "
                f"{sparkle.stops:.0f} stops over the glow"
            )
        said.append(f"from {look.basis} figures, {'in full' if look.fine else 'at first look'}")
        lines = [Content(f"{one[:1].upper()}{one[1:]}") for one in (*said, *look.notes)]
        super().__init__("Numbers", Content("\n\n").join(lines))


class OffersScreen(ModalScreen[Instead | None]):
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
        yield Offers(id="offers-sheet")

    def on_mount(self) -> None:
        """Show them."""
        offers = self.query_one(Offers)
        offers.add_class("sheet")
        offers.depth = self._depth
        self.show(self._offers)

    def show(self, found: Sequence[Instead] | None, waiting: str = "Looking through the palette …") -> None:
        """Show what was found; None while that is not known."""
        self._offers = found
        offers = self.query_one(Offers)
        offers.show(found, waiting)
        if found:
            offers.highlighted = 0
        offers.focus()

    def action_take(self, number: int) -> None:
        """Swap the offer of that number in."""
        if self._offers and number <= len(self._offers):
            self.dismiss(self._offers[number - 1])

    def on_offers_taken(self, message: Offers.Taken) -> None:
        """Swap it in."""
        message.stop()
        self.dismiss(message.offer)
