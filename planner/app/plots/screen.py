"""The screen of the two drawings."""

from typing import ClassVar

from rich.text import Text
from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, Vertical
from textual.reactive import reactive
from textual.widgets import ContentSwitcher

from planner.app.depth import BANNERS, Depth, depth_of
from planner.app.parts.footer import Footer
from planner.app.parts.plain import Static
from planner.app.parts.steady import SteadyScreen
from planner.app.parts.ways import Ways
from planner.app.plots.content import curves_legend, plane_legend
from planner.app.plots.curves import LINES, Curves
from planner.app.plots.plane import LightnessScale, Plane
from planner.reading.matter import QUICK
from planner.reading.read import Reading
from planner.reading.sentence import pairing
from planner.reading.spectrum import Spectra, spectra


class PlotScreen(SteadyScreen[None]):
    """The way of the hue, and the spectra, of one reading."""

    DEFAULT_CSS = """
    PlotScreen {
        #heading { height: 1; padding: 0 1; text-style: bold; text-overflow: ellipsis; text-wrap: nowrap; }
        #caveat { height: auto; padding: 0 1; color: $text-warning; }
        #views { height: 1; padding: 0 1; }
        #drawings { height: 1fr; layout: vertical; }
        #drawing { height: 1fr; width: 1fr; padding: 0 1; }
        #colour, #waves { height: 1fr; }
        Plane { width: 1fr; height: 1fr; }
        LightnessScale { height: 1fr; }
        Curves { width: 1fr; height: 1fr; }
        #legend { height: auto; max-height: 8; padding: 0 1; border-top: solid $primary; }
        &.-wide #drawings { layout: horizontal; }
        &.-wide #legend { width: 44; height: 1fr; max-height: 100%; }
        &.-wide #legend { border-top: none; border-left: solid $primary; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", "Back"),
        ("v", "switch", "Other view"),
        ("f", "figures", "Figures"),
        ("z", "zoom", "Near or whole"),
        Binding("left", "move(-5)", "Wavelength", key_display="← →"),
        Binding("right", "move(5)", show=False),
        Binding("shift+left", "move(-25)", show=False),
        Binding("shift+right", "move(25)", show=False),
    ]

    figures: reactive[bool] = reactive(False)

    def __init__(self, reading: Reading) -> None:
        """Take what to draw."""
        super().__init__()
        self._reading = reading

    def compose(self) -> ComposeResult:
        """Lay out the heading, the two views and the legend."""
        depth = self._depth
        yield Static(Text(pairing(self._reading)), id="heading")
        yield Static(BANNERS[depth], id="caveat")
        yield Ways(("Way of the hue", "Over wavelength"), id="views")
        with Container(id="drawings"):
            with ContentSwitcher(id="drawing", initial="colour"):
                with Horizontal(id="colour"):
                    yield Plane(self._reading, depth)
                    yield LightnessScale(self._reading, depth)
                with Vertical(id="waves"):
                    yield Curves(depth)
            yield Static(id="legend")
        yield Footer()

    @property
    def _depth(self) -> Depth:
        return depth_of(self.app.console.color_system, no_color=self.app.no_color)

    @property
    def _over_wavelength(self) -> bool:
        return self.is_mounted and self.query_one(Ways).chosen == 1

    def on_mount(self) -> None:
        """Say what the console does to colours, and work out the spectra."""
        self.query_one("#caveat").display = bool(BANNERS[self._depth])
        self._describe()
        self.soon(self._compute)

    def on_resize(self, event: events.Resize) -> None:
        """Put the legend beside the drawing where there is room."""
        self.set_class(event.size.width >= 110, "-wide")

    @work(thread=True, exclusive=True, exit_on_error=False)
    def _compute(self) -> None:
        found = spectra(self._reading.question, QUICK)
        self.app.call_from_thread(self._show, found)

    def _show(self, found: Spectra) -> None:
        self.query_one(Curves).spectra = found
        self._describe()

    @on(Ways.Changed)
    def _show_view(self, event: Ways.Changed) -> None:
        self.query_one(ContentSwitcher).current = ("colour", "waves")[event.chosen]
        self.refresh_bindings()
        self._describe()

    def watch_figures(self) -> None:
        """Show figures, or words."""
        if self.is_mounted:
            self._describe()

    def _describe(self) -> None:
        legend = self.query_one("#legend", Static)
        if not self._over_wavelength:
            legend.update(plane_legend(self._reading, self._depth, figures=self.figures))
            return
        curves = self.query_one(Curves)
        legend.update(curves_legend(self._reading, curves.spectra, curves.at, LINES))

    @on(Curves.Moved)
    def _moved(self) -> None:
        self._describe()

    def action_switch(self) -> None:
        """Show the other view."""
        self.query_one(Ways).step()

    def action_figures(self) -> None:
        """Show figures instead of words, and back."""
        self.figures = not self.figures

    def action_zoom(self) -> None:
        """Show the whole plane, or what matters of it."""
        plane = self.query_one(Plane)
        plane.close = not plane.close

    def action_move(self, nm: int) -> None:
        """Move along the spectrum."""
        self.query_one(Curves).at += nm

    def action_leave(self) -> None:
        """Leave."""
        self.dismiss(None)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer each key only in the view that it works in."""
        del parameters
        if action == "move":
            return self._over_wavelength
        if action in ("zoom", "figures"):
            return not self._over_wavelength
        return True
