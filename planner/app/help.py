"""The help screen."""

from typing import Final

from textual.content import Content

from planner.app.details import Sheet
from planner.app.fields import FIELDS
from planner.app.places import PLACES

_WORDS: Final = (
    ("Result", "the colour the stones average out to, from where the audience sits"),
    ("Sparkle", "the single flashes of a lamp; their hue can be quite another one"),
    ("Swatch", "the colour the stones must go with"),
    ("Batches disagree", "no two lots of a film are equally thick, and some nanometres decide its hue"),
    ("Invented, estimated, measured", "where the figures behind an answer come from"),
)
_KEYS: Final = (
    ("↑ ↓", "from row to row"),
    ("← →", "step through the choices of a row"),
    ("Enter", "see all choices; type to filter, move to try, Enter keeps, Esc leaves"),
    ("i", "what to order instead; Enter swaps it in"),
    ("e", "every warning, what to do about it; accept one"),
    ("n", "the figures: CIELAB, ΔE00, shares"),
    ("t", "tilt the cloth; on the picture, ← → or drag"),
    ("+  -", "add a copy of this pairing, take it off"),
    (",  .", "last and next pairing of the costume"),
    ("u  U", "undo, redo"),
    ("Ctrl+N  Ctrl+O  Ctrl+S", "new costume, open, save"),
    ("Ctrl+P", "every command by name, themes too"),
    *((one.key, one.help) for one in PLACES),
    ("q", "leave; nothing is lost"),
)

_CARE: Final = (
    "follow the glue's safety data sheet and local rules, air the room, keep hot tools off synthetics and "
    "loose stones away from small children; for glass shed on a floor or over people ask whoever is "
    "licensed to judge it."
)


class HelpScreen(Sheet):
    """Words, keys and fields."""

    def __init__(self) -> None:
        parts: list[str | tuple[str, str]] = [
            "Choose on the left; the answer stands beside it at once. Everything can be clicked as well.\n\n"
        ]
        for key, text in _KEYS:
            parts += [(f"{key:<8}", "bold $primary"), f"  {text}\n"]
        parts += [("\nThe rows\n", "bold")]
        for field in FIELDS:
            parts += [(f"{field.key}  ", "bold $primary"), f"{field.label:<9}{field.help}\n"]
        parts += [("\nThe words\n", "bold")]
        for word, text in _WORDS:
            parts += [(word, "bold"), f": {text}.\n"]
        parts += [
            ("\nBefore you glue: ", "bold $warning"),
            _CARE,
        ]
        super().__init__("Help", Content.assemble(*parts))
