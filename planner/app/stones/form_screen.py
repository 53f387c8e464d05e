"""The form of a stone or a coating: what it comes to is shown as a patch while it is typed, and confirmed."""

from collections.abc import Iterable

from textual import on
from textual.content import Content
from textual.widgets import Input

from planner.app.depth import Depth, hex_shown
from planner.app.form.screen import FormScreen
from planner.app.parts.plain import Static
from planner.app.stones.form import CoatingForm, CutForm, Made, StoneForm
from planner.catalogue.cut import Cut
from planner.catalogue.palette import Palette
from planner.colour.screen import ink_on
from planner.fitting.by_window import hexes
from planner.refusal import Refusal
from planner.say.listing import about
from planner.swatch.called import UnknownName

_PAUSE = 0.25
"""Seconds without a key after which the patch is drawn anew."""


class EntryScreen(FormScreen):
    """Dismisses with the texts of an entry that can be made, or None."""

    def __init__(
        self, title: str, form: StoneForm | CoatingForm | CutForm, palette: Palette, depth: Depth
    ) -> None:
        super().__init__(title, form.asked(), Content("\n"))
        self._form, self._palette, self._depth = form, palette, depth
        self._confirmed: Made | None = None
        """What was shown when it was first to be kept, with guesses in it."""
        self._serial = 0

    @on(Input.Changed)
    def _look_soon(self) -> None:
        self._serial += 1
        serial = self._serial
        self.set_timer(_PAUSE, lambda: self._look() if serial == self._serial and self.here else None)

    def _look(self) -> None:
        """Show what the answers come to so far, or nothing while they come to nothing."""
        try:
            made = self._form.made(self.texts)
        except UnknownName as problem:
            chips = self._chips([(one.name, one.hex) for one in problem.offers])
            self._tell(Content.assemble("Like one of these? ", *chips) if chips else Content("\n"))
            return
        except Refusal:
            self._tell(Content("\n"))
            return
        if isinstance(made.entry, Cut):
            self._tell(Content(f"{about(made.entry, self._palette)}."))
            return
        chips = [(" " * 6, f"on {hex_shown(one, self._depth)}") for one in hexes(made.entry, self._palette)]
        said = " ".join(made.remarks) or "That is how it looks by the window."
        self._tell(Content.assemble(*chips, f" {said} ", *self._chips(made.maybe)))

    def _chips(self, colours: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
        """Return colours with their names on them."""
        return [
            (f" {name} ", f"{ink_on(digits)} on {hex_shown(digits, self._depth)}") for name, digits in colours
        ]

    def _tell(self, said: Content) -> None:
        self.query_one("#intro", Static).update(said)

    def refusal(self) -> str:
        """Return what is missing; a guess is asked about once."""
        try:
            made = self._form.made(self.texts)
        except Refusal as problem:
            said = str(problem)
            return f"{said[:1].upper()}{said[1:].rstrip('.')}."
        if made.remarks and (self._confirmed is None or self._confirmed.remarks != made.remarks):
            self._confirmed = made
            self._look()
            return f"? Is that the colour? {made.remarks[0]} Enter once more keeps it so."
        return ""
