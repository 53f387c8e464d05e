"""Patches of colour as text, and colours between two."""

from rich.style import Style
from rich.text import Text
from textual.content import Content

from planner.app.depth import Depth, hex_shown
from planner.colour.screen import parse_hex, to_hex


def patch(colour: str, depth: Depth, width: int = 2) -> Text:
    """Return a patch of a colour "#rrggbb" as a console of `depth` has it, `width` cells wide."""
    return Text("█" * width, Style(color=hex_shown(colour, depth)), no_wrap=True)


def pair(first: str, second: str, depth: Depth, width: int = 2) -> Content:
    """Return two patches that are to be compared, each `width` cells wide; they touch."""
    return Content.assemble(
        ("█" * width, hex_shown(first, depth)), ("█" * width, hex_shown(second, depth))
    )  # fmt: skip


def blend(first: str, second: str, share: float = 0.4) -> str:
    """Return a colour that lies `share` of the way from the first to the second."""
    one, other = (parse_hex(colour).astype(float) for colour in (first, second))
    return to_hex((one + share * (other - one)).round().astype("uint8"))
