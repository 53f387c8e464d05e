"""The screen that a swatch is chosen on."""

from typing import ClassVar, Final

import numpy as np
from numpy.typing import NDArray
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Button, ContentSwitcher, Footer, Input, Static

from planner.app.choose.by_digits import ByDigits
from planner.app.choose.by_eye import ByEye
from planner.app.choose.by_palette import ByPalette
from planner.app.choose.offer import Offer, Offered
from planner.app.depth import BANNERS, Depth, as_shown, depth_of
from planner.app.parts.ways import Ways
from planner.catalogue.palette import Palette
from planner.colour.screen import parse_hex, srgb_to_lab, to_hex
from planner.reading.phrase import signed
from planner.reading.question import colour_called

_WAYS: Final = ("palette", "digits", "eye")
_FALLBACK: Final = "#777777"
"""What by-eye starts from where the present swatch is no colour at all."""


class SwatchScreen(Screen[str | None]):
    """Dismisses with the id of a swatch, or "#rrggbb", or None."""

    DEFAULT_CSS = """
    SwatchScreen {
        #heading { height: 1; padding: 0 1; text-style: bold; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #ways { padding: 0 1; margin-bottom: 1; }
        #halves { height: 1fr; }
        #ways-body { width: 1fr; height: 1fr; padding: 0 1; }
        #ways-body > Vertical { height: 1fr; }
        #side { width: 1fr; height: 1fr; padding: 0 1; }
        #patch { height: 1fr; min-height: 3; content-align: center middle; }
        #offer { height: 4; margin-top: 1; }
        #take { width: 100%; }
        #say { height: 2; padding: 0 1; color: $text-warning; }
        #swatches { height: 1fr; margin-top: 1; background: transparent; padding: 0; }
        #digits { margin-bottom: 1; }
        #digits-help, #night { color: $foreground 70%; }
        Hues { height: 5; width: 1fr; }
        .lead { color: $foreground 70%; }
        #steps { grid-size: 2; grid-gutter: 0 1; grid-rows: 1; height: 4; margin-bottom: 1; }
        #step-back, #step-on { column-span: 2; }
        #steps Button { width: 100%; text-align: left; content-align: left middle; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        ("enter", "take", "Take it"),
        ("escape", "leave", "Back"),
        ("ctrl+n", "next", "Another way"),
    ]

    def __init__(self, palette: Palette, current: str) -> None:
        """Take the swatches, and the id or hex of the present one."""
        super().__init__()
        self._palette, self._current = palette, current
        self._offers: dict[str, Offered] = {}

    def compose(self) -> ComposeResult:
        """Lay out the ways to the left and the patch to the right."""
        typed = self._current if self._current.startswith("#") else ""
        first = "digits" if typed else "palette"
        depth = self._depth
        yield Static("What must the stones match?", id="heading")
        yield Static(BANNERS[depth], id="caveat")
        yield Ways(("From the palette", "By digits", "By words and by eye"), _WAYS.index(first), id="ways")
        with Horizontal(id="halves"):
            with ContentSwitcher(id="ways-body", initial=first):
                yield ByPalette(self._palette, self._current, id="palette")
                yield ByDigits(typed, id="digits")
                yield ByEye(self._start(), id="eye")
            with Vertical(id="side"):
                yield Static(id="patch")
                yield Static(id="offer")
                yield Button("Take it", id="take", compact=True, variant="primary")
        yield Static(id="say")
        yield Footer(show_command_palette=False)

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    @property
    def _way(self) -> str:
        return _WAYS[self.query_one(Ways).chosen]

    def _start(self) -> NDArray[np.float64]:
        """Return the present colour as the screen shows it, to go on from by eye."""
        try:
            return colour_called(self._current, self._palette).lab
        except ValueError:
            return srgb_to_lab(parse_hex(_FALLBACK))

    def on_mount(self) -> None:
        """Say what the console does to colours, and be ready to type."""
        self.query_one("#caveat").display = bool(BANNERS[self._depth])
        self._focus()

    def _focus(self) -> None:
        target = {"palette": "#palette FindLine", "digits": "#digits Input", "eye": "#eye Hues"}[self._way]
        self.query_one(target).focus()

    @on(Ways.Changed)
    def _another(self, event: Ways.Changed) -> None:
        self.query_one("#ways-body", ContentSwitcher).current = _WAYS[event.chosen]
        self._focus()
        self._show()

    @on(Offered)
    def _offered(self, event: Offered) -> None:
        self._offers[event.way] = event
        self._show()

    @property
    def _offer(self) -> Offer | None:
        found = self._offers.get(self._way)
        return None if found is None else found.offer

    def _show(self) -> None:
        """Show what the way in sight has to offer."""
        offer, patch = self._offer, self.query_one("#patch", Static)
        found = self._offers.get(self._way)
        self.query_one("#say", Static).update(Content(found.complaint if found else ""))
        self.query_one("#take", Button).disabled = offer is None
        if offer is None:
            patch.styles.background = None
            patch.update("no colour yet")
            self.query_one("#offer", Static).update("")
            return
        shown = to_hex(as_shown(parse_hex(offer.hex)[None], self._depth)[0])
        patch.styles.background = shown
        patch.update("")
        lightness, a, b = offer.lab
        self.query_one("#offer", Static).update(
            Content("\n").join(
                (
                    Content.styled(offer.title, "bold"),
                    Content(offer.called),
                    Content.styled(f"L* {lightness:.0f}  a* {signed(a)}  b* {signed(b)}", "$foreground 65%"),
                    Content.styled(offer.remark, "$foreground 65%"),
                )
            )
        )

    def action_next(self) -> None:
        """Go on to another way to choose."""
        self.query_one(Ways).step()

    @on(Input.Submitted)
    @on(Button.Pressed, "#take")
    def action_take(self) -> None:
        """Leave with the colour shown, if there is one."""
        if self._offer is not None:
            self.dismiss(self._offer.value)

    def action_leave(self) -> None:
        """Leave without a choice."""
        self.dismiss(None)
