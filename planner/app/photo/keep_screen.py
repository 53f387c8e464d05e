"""The question whether, and under which name, a swatch from a photograph is kept."""

from collections.abc import Mapping
from pathlib import Path
from typing import ClassVar, Literal

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input

from planner.app.parts.plain import Button, Static
from planner.app.parts.steady import SteadySheet
from planner.app.photo.own_swatches import cloth_called, keep, suggested
from planner.app.photo.reading import sentence
from planner.catalogue.swatch import Swatch
from planner.colour.names import capped, hue_name_of
from planner.refusal import Refusal
from planner.swatch.resolve import TYPED_UNCERTAINTY
from planner.swatch.taken import Taken


class KeepSwatchScreen(SteadySheet[Swatch | Literal["plain"] | None]):
    """Dismisses with the swatch as kept, "plain" for its colour alone, or None to go back."""

    DEFAULT_CSS = """
    KeepSwatchScreen { align: center middle; }
    KeepSwatchScreen .sheet {
        width: 72; max-width: 96%; height: auto; border: round $primary; background: $surface; padding: 1 2;
    }
    KeepSwatchScreen Input { margin-top: 1; }
    KeepSwatchScreen .buttons { margin-top: 1; }
    KeepSwatchScreen #keep-say { color: $text-warning; height: auto; }
    KeepSwatchScreen .buttons { height: 1; }
    KeepSwatchScreen .buttons Button { margin-right: 2; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "Back", show=False),
        Binding("ctrl+o", "plain", "Only the colour", show=False),
    ]

    def __init__(
        self, swatch: Taken, path: Path, known: Mapping[str, Swatch], photo: Path | None = None
    ) -> None:
        """Take the swatch, the file to keep it in, the swatches that there are, and the photograph."""
        super().__init__()
        self._swatch, self._path, self._known, self._photo = swatch, path, known, photo

    def compose(self) -> ComposeResult:
        """Lay out the question, the name and the answers."""
        name = hue_name_of(capped(self._swatch.colour.lab)[0])
        sure = self._swatch.colour.uncertainty
        too = ", surer than it is" if sure > TYPED_UNCERTAINTY else ""
        text = (
            f"What do you call it? Kept, it stays known to ±{sure:.1f}. Only the colour is not kept, and "
            f"counts as known to ±{TYPED_UNCERTAINTY:g}{too}."
        )
        with Vertical(classes="sheet") as sheet:
            sheet.border_title = "Keep this swatch?"
            sheet.border_subtitle = "Esc goes back"
            yield Static(Content(text))
            yield Input(suggested(self._photo, name, self._known), compact=True, id="keep-name")
            yield Input(
                placeholder="Kind of cloth: matte, satin, velvet, metallic, sheer over fair skin, two-tone",
                compact=True, id="keep-kind",
            )  # fmt: skip
            with Horizontal(classes="buttons"):
                yield Button("Enter  Keep it", id="keep", compact=True, variant="primary")
                yield Button("Ctrl+O  Only the colour", id="plain", compact=True)
                yield Button("Back", id="back", compact=True)
            yield Static(id="keep-say")
            yield Static(Content.styled(f"It goes into {self._path}.", "$foreground 60%"))

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def _keep(self) -> None:
        name = self.query_one("#keep-name", Input).value.strip()
        try:
            cloth = cloth_called(self.query_one("#keep-kind", Input).value)
            found = keep(self._swatch, name, self._path, self._known, cloth)
        except Refusal as problem:
            self.query_one("#keep-say", Static).update(Content(sentence(str(problem))))
            return
        self.dismiss(found)

    @on(Button.Pressed, "#plain")
    def action_plain(self) -> None:
        """Take the colour alone."""
        self.dismiss("plain")

    @on(Button.Pressed, "#back")
    def _back(self) -> None:
        self.dismiss(None)
