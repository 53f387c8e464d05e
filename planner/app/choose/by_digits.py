"""Choosing by a name as people say it, or by hexadecimal digits, as a colour is written for screens."""

import re
from dataclasses import replace
from typing import Any, Final

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input

from planner.app.choose.offer import Offer, Offered, named, offer_of, offer_of_hex
from planner.app.parts.plain import Static
from planner.refusal import Refusal
from planner.swatch.resolve import TYPED_UNCERTAINTY, from_hex
from planner.swatch.typed import from_name

WAY = "digits"

_DIGITS: Final = re.compile(r"#.*|[0-9a-f]*\d[0-9a-f]*", re.IGNORECASE)
"""What can be meant as digits alone, or begins so."""

_HELP = (
    "A name as you say it: royal blue, dusty wine red, dark petrol. Hold the patch beside the cloth.\n\n"
    "Or six or three digits from 0 to f, as screens write colours: two each for red, green and blue. "
    "#2a4b9c is a blue; #24c is short for #2244cc.\n\n"
    "Digits come from a picture on some screen, not from the cloth, so the planner takes them as known to "
    f"±{TYPED_UNCERTAINTY:g}. Measuring a scrap of the cloth tells more."
)


class ByDigits(Vertical):
    """A line to type in; it says at once what the colour is called."""

    def __init__(self, text: str, **rest: Any) -> None:
        """Take the digits that stand there at first."""
        super().__init__(**rest)
        self._text = text

    def compose(self) -> ComposeResult:
        """Lay out the line and the help."""
        yield Input(
            self._text,
            placeholder="royal blue, or #2a4b9c",
            compact=True,
            max_length=60,
            select_on_focus=False,
            id="digits",
        )
        yield Static(_HELP, id="digits-help")

    def on_mount(self) -> None:
        """Offer what stands there."""
        self._offer(self._text)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._offer(event.value)

    def _offer(self, text: str) -> None:
        if not text.strip():
            self.post_message(Offered(WAY, None, "Type a colour such as royal blue or #2a4b9c."))
            return
        try:
            offer = _of_digits(text) if _DIGITS.fullmatch(text.strip()) else _of_name(text)
        except Refusal as wrong:
            self.post_message(Offered(WAY, None, str(wrong)))
            return
        self.post_message(Offered(WAY, offer))


def _of_digits(text: str) -> Offer:
    from_hex(text)
    return offer_of_hex(text, f"typed, known to ±{TYPED_UNCERTAINTY:g}")


def _of_name(text: str) -> Offer:
    try:
        return _of_digits(text)  # "facade" is digits first
    except Refusal:
        taken = from_name(text)
    colour, name = taken.colour, " ".join(text.split())
    title = f"{name[:1].upper()}{name[1:]}"
    told = offer_of(named(name), title, colour.lab, f"by its name, known to ±{colour.uncertainty:.0f}")
    return replace(told, said=taken.notes)
