"""How many colours the console shows, and what to say where they are too few to judge by."""

from typing import Any, Final, Literal

from textual.app import App

Depth = Literal["true", "few", "none"]
"""24-bit colour; 256 or 16 colours; grey only."""

_COUNTS: Final = {"256": "256 colours", "standard": "16 colours", "windows": "16 colours"}


def depth_of(app: App[Any]) -> Depth:
    """Return how far patches on this console can be trusted."""
    if app.no_color or app.console.color_system is None:
        return "none"
    return "true" if app.console.color_system == "truecolor" else "few"


def caveat(app: App[Any]) -> str:
    """Return one sentence on what the console does to colours; empty where it shows them."""
    match depth_of(app):
        case "true":
            return ""
        case "few":
            count = _COUNTS.get(str(app.console.color_system), "few colours")
            return f"This terminal shows only {count}: go by the names and figures, not by the patches."
        case _:
            return "Colours are switched off: patches are grey, so go by the names and figures."
