"""Themes in neutral greys: a tinted surround would change how the patches look."""

from typing import Final

from textual.theme import Theme

WINGS: Final = Theme(
    name="wings", dark=True,
    primary="#d8b25c", secondary="#9a9a9a", accent="#d8b25c", foreground="#e4e4e4",
    background="#131313", surface="#1c1c1c", panel="#272727",
    success="#8fc38f", warning="#e0b060", error="#e58080",
)  # fmt: skip

WORKROOM: Final = Theme(
    name="workroom", dark=False,
    primary="#7a5200", secondary="#5a5a5a", accent="#7a5200", foreground="#1a1a1a",
    background="#f4f4f4", surface="#e9e9e9", panel="#dcdcdc",
    success="#22662a", warning="#7d5400", error="#a32020",
)  # fmt: skip

GREY_CARD: Final = Theme(
    name="grey-card", dark=True,
    primary="#ffe4a3", secondary="#d8d8d8", accent="#ffe4a3", foreground="#ffffff",
    background="#5a5a5a", surface="#525252", panel="#464646",
    success="#c8f0c8", warning="#ffdf9e", error="#ffcaca",
)  # fmt: skip

THEMES: Final = (
    (WINGS, "Dark, as between the legs of a stage"),
    (WORKROOM, "Light, as on a cutting table by a window"),
    (GREY_CARD, "Middle grey, against which colours are judged best"),
)
"""Each with what it is like."""
