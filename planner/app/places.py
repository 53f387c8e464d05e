"""Where else one can go: every screen beside the main one, with its key.

The keys of the main screen, the command palette and the help are made from this table; how a screen is
opened says `planner.app.navigation`.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Place:
    """A screen that can be gone to."""

    name: str
    """What `Navigation.action_go` calls it."""
    key: str
    """The key on the main screen."""
    label: str
    help: str
    """One line on what it is for."""
    footer: bool = False
    """Whether its key stands in the footer, which at 80 columns is full."""
    step: str = ""
    """Its name in a word where it is a step after the pairings: those stand under them, to be pressed or
    clicked."""


PLACES: Final = (
    Place("pairings", "p", "Pairings", "all stones with all coatings", footer=True),
    Place("hues", "h", "Hues", "how the hue travels, and the spectra", footer=True),
    Place("stones", "S", "Your stones", "stones, coatings and cuts of your own: add, change, find one"),
    Place("drawer", "D", "Your drawer", "what you own, lot by lot; ask a seller for more of the same lot"),
    Place("venues", "r", "Several venues", "the same in several venues; make a venue from plain words"),
    Place("by_eye", "b", "Swatch by eye", "choose the swatch by eye, in words or from a photograph"),
    Place("samples", "x", "Samples", "a photographed card of coated stones, or what came of an order"),
    Place("cover", "A", "Areas", "where the stones go: how many, from above, weight, hours, how to fix them",
          step="Areas"),
    Place("order", "f", "Offers and order", "offers side by side, what to ask, and the packs to buy",
          step="Order"),
    Place("brief", "B", "Client's page", "what the client reads and signs: see it, choose, save it",
          step="Page"),
    Place("costume", "j", "Costume", "the job itself: title, days, notes, who wears it, money"),
    Place("drafts", "y", "Unsaved work", "unsaved work from earlier: take it up or throw it away"),
    Place("messages", "g", "Messages", "the messages shown so far"),
)  # fmt: skip
"""Every place in the order of the help."""

COVER_KEY: Final = next(place.key for place in PLACES if place.name == "cover")
