"""Texts laid over the main screen: the figures, the help, messages so far."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content

from planner.app.answer import Answer
from planner.app.fields import FIELDS
from planner.app.parts.plain import Static
from planner.app.parts.steady import SteadySheet
from planner.app.places import PLACES
from planner.reading.sentence import figures
from planner.say.way import HELP


class Sheet(SteadySheet[None]):
    """Some text over the main screen; Escape, Enter or a click beside it closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,enter,q", "dismiss", "Close", show=False)]

    def __init__(self, title: str, text: Content) -> None:
        super().__init__()
        self._title, self._text = title, text

    def compose(self) -> ComposeResult:
        """Yield the text."""
        with VerticalScroll(classes="sheet") as sheet:
            sheet.border_title = Content(self._title)
            sheet.border_subtitle = "Esc closes"
            yield Static(self._text)

    def tell(self, text: Content) -> None:
        """Show another text, at once or as soon as the sheet is there."""
        self._text = text
        for one in self.query(Static):
            one.update(text)

    def on_click(self, event: object) -> None:
        """Close at a click beside the sheet."""
        if getattr(event, "widget", None) is self:
            self.dismiss()


class FiguresScreen(Sheet):
    """Every sentence, the figures behind them, and what is known of swatch and cloth."""

    def __init__(self, answer: Answer) -> None:
        reading = answer.reading
        field, sparkle = reading.field, reading.sparkle
        said = [" ".join(answer.sentences), *figures(reading).removesuffix(".").split("; ")]
        said.append(f"single stones are not seen beyond {field.merge_m:.0f} m, nor blue told from green "
                    f"beyond {field.merge_hue_m:.0f} m")  # fmt: skip
        if sparkle is not None:
            said.append(
                f"{sparkle.number_ratio:.1f} times as many sparkles as clear lead crystal of this cut, "
                f"{sparkle.stops:.0f} stops brighter than the glow"
            )
        said.append(f"from {answer.basis} figures, {'in full' if answer.fine else 'at first look'}")
        lines = [Content(f"{one[:1].upper()}{one[1:]}") for one in (*said, *answer.notes)]
        super().__init__("Numbers", Content("\n\n").join(lines))


_WORDS: Final = (
    ("Stones", "the colour the stones are seen as, from where the audience sits"),
    ("Sparkle", "the single flashes of a lamp; they can be quite another colour"),
    ("Swatch", "the colour the stones must go with"),
    ("Leeway", HELP),
    ("Batches differ", "no two batches of a film are equally thick, and a few nanometres decide its hue"),
    ("Invented, estimated, measured", "where the figures behind an answer come from"),
)
_KEYS: Final = (
    ("↑ ↓", "from row to row"),
    ("← →", "step through the choices of a row"),
    ("Enter", "see all choices; type to filter, move to try, Enter keeps, Esc leaves"),
    ("i", "what to order instead; Enter swaps it in"),
    ("e", "every warning, what to do about it; accept one"),
    ("n", "the figures: CIELAB, ΔE00, shares"),
    ("t", "turn the cloth to and fro; on a picture, the arrow keys or drag"),
    ("N", "the cloth near by, or from where it is seen"),
    ("P", "pictures in pixels or in half blocks, where the terminal has pixels"),
    ("+  -", "add a copy of this pairing, take it off"),
    (",  .", "last and next pairing of the costume"),
    ("u  U", "undo, redo"),
    ("Ctrl+N  Ctrl+O  Ctrl+S", "new costume, open, save"),
    ("Ctrl+P", "every command by name, themes too"),
    *((one.key, one.help) for one in PLACES),
    ("q", "leave; nothing is lost"),
)

_ROOM: Final = 66
"""Cells across that the help has on a screen of 80."""

_CARE: Final = (
    "follow the glue's safety data sheet and local rules, air the room, keep hot tools off synthetics and "
    "loose stones away from small children; for glass shed on a floor or over people ask whoever is "
    "licensed to judge it."
)


def _hanging(text: str, after: int) -> str:
    """Return text whose further lines stand in as far as the first, which begins `after` cells in."""
    return f"\n{' ' * after}".join(textwrap.wrap(text, _ROOM - after))


class HelpScreen(Sheet):
    """Words, keys and fields."""

    def __init__(self) -> None:
        parts: list[str | tuple[str, str]] = [
            "Choose below; picture and answer follow at once. Everything can be clicked as well.\n\n"
        ]
        for key, text in _KEYS:
            parts += [(f"{key:<8}", "bold $primary"), f"  {_hanging(text, 10)}\n"]
        parts += [("\nThe rows\n", "bold")]
        for field in FIELDS:
            parts += [(f"{field.key}  ", "bold $primary"), f"{field.label:<9}{_hanging(field.help, 12)}\n"]
        parts += [("\nThe words\n", "bold")]
        for word, text in _WORDS:
            parts += [(word, "bold"), f": {text}.\n"]
        parts += [
            ("\nBefore you glue: ", "bold $warning"),
            _CARE,
        ]
        super().__init__("Help", Content.assemble(*parts))


MOST: Final = 200
"""Messages remembered; the oldest are forgotten first."""


@dataclass(frozen=True)
class Told:
    """One message."""

    when: datetime
    text: str


class MessagesScreen(Sheet):
    """Everything told so far, the newest first."""

    def __init__(self, told: Sequence[Told]) -> None:
        lines = [
            Content.assemble((f"{one.when:%H:%M:%S}  ", "$foreground 65%"), one.text)
            for one in reversed(told)
        ]
        super().__init__("Messages", Content("\n").join(lines) if lines else Content("No messages yet."))
