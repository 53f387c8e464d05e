"""The screen that a swatch is chosen on."""

from pathlib import Path
from typing import ClassVar, Final

import numpy as np
from numpy.typing import NDArray
from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import ContentSwitcher, Input

from planner.app.choose.by_digits import ByDigits
from planner.app.choose.by_eye import ByEye
from planner.app.choose.by_palette import ByPalette
from planner.app.choose.by_photo import ByPhoto
from planner.app.choose.offer import Offer, Offered, name_in
from planner.app.depth import BANNERS, Depth, depth_of, hex_shown
from planner.app.keep_screen import KeepScreen
from planner.app.parts.footer import Footer
from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadyScreen
from planner.app.parts.ways import Ways
from planner.app.photo import own_swatches
from planner.atomic import make_folder
from planner.catalogue.find import id_of
from planner.catalogue.keep import keep
from planner.catalogue.own import id_for, with_kept
from planner.catalogue.palette import Palette
from planner.catalogue.swatch import Swatch
from planner.colour.names import capped, hue_name_of
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.reading.phrase import signed
from planner.reading.question import colour_called
from planner.refusal import InvalidValue, Refusal
from planner.swatch.kept import entry
from planner.swatch.typed import from_name

_WAYS: Final = ("palette", "digits", "eye", "photo")
_NAMES: Final = ("From the palette", "By name or digits", "By eye", "From a photograph")
_FIRST: Final = {
    "palette": "#palette FindLine", "digits": "#digits Input", "eye": "#eye Hues", "photo": "#photo-path",
}  # fmt: skip
"""Where the keys go in each way."""
_TALL: Final = 34
"""Lines of a screen from which patches of a range are two lines high."""
_FALLBACK: Final = "#777777"
"""What by-eye starts from where the present swatch is no colour at all."""


class SwatchScreen(SteadyScreen[str | None]):
    """Dismisses with the id of a swatch, or "#rrggbb", or None.

    A swatch kept from a photograph is in `palette` afterwards.
    """

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
        #patch.-range { height: auto; }
        #offer { height: auto; min-height: 4; margin-top: 1; }
        #about { height: 1fr; scrollbar-size-vertical: 1; display: none; }
        #about.-said { display: block; }
        #said { height: auto; }
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
        Binding("ctrl+n", "next", "Another way", key_display="Ctrl+N"),
    ]

    def __init__(self, palette: Palette, current: str, *, keep_in: Path | None = None) -> None:
        """Take the swatches, the id or hex of the present one, if any, and the palette file for new ones.

        Without a file what a photograph shows can only be taken as a plain colour.
        """
        super().__init__()
        self.palette, self._current, self._keep_in = palette, current, keep_in
        self._offers: dict[str, Offered] = {}

    def compose(self) -> ComposeResult:
        """Lay out the ways to the left and the patch to the right."""
        typed = self._current if self._current.startswith("#") else ""
        first = "palette" if self.palette.offered.swatches and not typed else "digits"
        depth = self._depth
        yield Static("What must the stones match?", id="heading")
        yield Static(BANNERS[depth], id="caveat")
        yield Ways(_NAMES, _WAYS.index(first), id="ways")
        with Horizontal(id="halves"):
            with ContentSwitcher(id="ways-body", initial=first):
                yield ByPalette(self.palette, self._current, id="palette")
                yield ByDigits(typed, id="digits")
                yield ByEye(self._start(), id="eye")
                yield ByPhoto(depth, keeps=self._keep_in is not None, id="photo")
            with Vertical(id="side"):
                yield Static(id="patch")
                yield Static(id="offer")
                with VerticalScroll(id="about", can_focus=False):
                    yield Static(id="said")
                yield Button("Take it", id="take", compact=True, variant="primary")
        yield Static(id="say")
        yield Footer()

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    @property
    def _way(self) -> str:
        return _WAYS[self.query_one(Ways).chosen]

    def _start(self) -> NDArray[np.float64]:
        """Return the present colour as the screen shows it, to go on from by eye."""
        try:
            return colour_called(self._current, self.palette).lab
        except InvalidValue:
            return srgb_to_lab(parse_hex(_FALLBACK))

    def on_mount(self) -> None:
        """Say what the console does to colours, and be ready to type."""
        self.query_one("#caveat").display = bool(BANNERS[self._depth])
        self._focus()

    def _focus(self) -> None:
        self.query_one(_FIRST[self._way]).focus()

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
        patch.set_class(offer is not None and bool(offer.around), "-range")
        self.query_one("#about").set_class(offer is not None and bool(offer.said), "-said")
        if offer is None:
            patch.styles.background = None
            patch.update("no colour yet")
            self.query_one("#offer", Static).update("")
            return
        patch.styles.background = hex_shown(offer.hex, self._depth)
        patch.update(self._range(offer))
        self.query_one("#said", Static).update(Content("\n".join(offer.said)))
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

    def _range(self, offer: Offer) -> Content:
        """Return the colours around an offer as rows of patches that fill the width."""
        width, lines = self.query_one("#patch").size.width, 1 if self.size.height < _TALL else 2
        rows = []
        for row in offer.around:
            edges = [round(width * at / len(row)) for at in range(len(row) + 1)]
            parts = zip(row, edges, edges[1:], strict=False)
            cells = [(" " * (end - start), f"on {hex_shown(one, self._depth)}") for one, start, end in parts]
            rows += [Content.assemble(*cells)] * lines
        return Content("\n").join(rows)

    def on_resize(self) -> None:
        """Fit the patches to the new size."""
        self._show()

    def action_next(self) -> None:
        """Go on to another way to choose."""
        self.query_one(Ways).step()

    @on(Input.Submitted)
    @on(Button.Pressed, "#take")
    def action_take(self) -> None:
        """Leave with the colour shown, if there is one."""
        if self._offer is None:
            return
        if self._way == "photo" and self._keep_in is not None:
            self._ask_to_keep(self._keep_in)
        elif (name := name_in(self._offer.value)) is not None:
            self._take_named(name, self._offer.hex)
        else:
            self.dismiss(self._offer.value)

    def _take_named(self, name: str, plain: str) -> None:
        """Keep a colour by its name as a swatch of that name, so that it is called so everywhere."""
        if self._keep_in is None:
            self.dismiss(plain)
            return
        title = f"{name[:1].upper()}{name[1:]}"
        if (known := id_of("swatch", title, self.palette.swatches)) is not None:
            self.dismiss(known)
            return
        try:
            swatch = entry(from_name(name), id_for(self.palette, "swatch", title), "the name", title)
            make_folder(self._keep_in.parent)
            keep((swatch,), self._keep_in, "My own swatches.")
        except Refusal as problem:
            self.query_one("#say", Static).update(Content(str(problem)))
            return
        self.palette = with_kept(self.palette, self._keep_in)
        self.dismiss(swatch.id)

    @work(exclusive=True)
    async def _ask_to_keep(self, path: Path) -> None:
        """Keep the swatch of the photograph under a name, or take its plain colour, as the person wishes."""
        photo, offer = self.query_one(ByPhoto), self._offer
        swatch = photo.swatch
        if swatch is None or offer is None:
            return
        known = self.palette.swatches

        def kept(name: str, kind: str) -> Swatch:
            return own_swatches.keep(swatch, name, path, known, own_swatches.cloth_called(kind))

        colour = hue_name_of(capped(swatch.colour.lab)[0])
        answer = await self.app.push_screen_wait(KeepScreen(
            "Keep this swatch?", own_swatches.question(swatch),
            own_swatches.suggested(photo.file, colour, known), kept,
            further="Kind of cloth: matte, satin, velvet, metallic, sheer over fair skin, two-tone",
            instead=("plain", "Only the colour"), note=f"It goes into {path}.",
        ))  # fmt: skip
        if isinstance(answer, Swatch):
            self.palette = with_kept(self.palette, path)
            self.dismiss(answer.id)
        elif answer is not None:
            self.dismiss(offer.value)

    def action_leave(self) -> None:
        """Leave without a choice."""
        self.dismiss(None)
