"""What is told of a stone or a coating in one line, in which order, and which are found by some words."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from planner.catalogue.coating import Coating
from planner.catalogue.find import key
from planner.catalogue.own import whose
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import sizes_in_short
from planner.catalogue.stone import Stone

Whose = Literal["own", "common", "demo"]

GROUPS: Final[dict[Whose, str]] = {
    "own": "Yours",
    "common": "Commonly sold, maker unknown",
    "demo": "The demo's: invented, to try the planner with",
}
"""Headings, in their order."""


@dataclass(frozen=True)
class Row:
    """An entry, and whose it is."""

    entry: Stone | Coating
    whose: Whose

    @property
    def facts(self) -> tuple[str, str, str]:
        """Sizes, foil and where its colour was seen; of a coating, how it is known."""
        one = self.entry
        if isinstance(one, Coating):
            return ("", "", _known(one))
        foil = "no foil" if one.foil == "none" else one.foil
        return (sizes_in_short(one.sizes), foil, _seen(one))


def rows(palette: Palette, kind: str, words: str = "") -> list[Row]:
    """Return the entries of a kind, "stone" or "coating", that all of `words` are found in: hers first.

    Where only hers are offered the demo's are left out, be there any of hers or not.
    """
    wanted = key(words).split()
    every = [Row(one, whose(palette, kind, one.id)) for one in _entries(palette, kind)]
    found = [row for row in every if all(word in _text(row) for word in wanted)]
    order = list(GROUPS)
    shown = [row for row in found if not palette.mine or row.whose != "demo"]
    return sorted(shown, key=lambda row: order.index(row.whose))


def _entries(palette: Palette, kind: str) -> Iterator[Stone | Coating]:
    yield from palette.stones.values() if kind == "stone" else palette.coatings.values()


def _text(row: Row) -> str:
    sizes = row.entry.sizes if isinstance(row.entry, Stone) else ()
    return key(" ".join((row.entry.name, row.entry.id, *row.facts, *sizes)))


def _seen(stone: Stone) -> str:
    """Return where the colour of a stone comes from."""
    if stone.colour is not None:
        return f"seen in {stone.seen_size}"
    if stone.opaque:
        return "jet"
    if stone.spectrum is not None:
        return "measured glass"
    return "by its glass" if stone.colourants else "clear"


def _known(coating: Coating) -> str:
    return {"invented": "invented", "estimated": "a range: look at a sample", "measured": "measured"}[
        coating.basis
    ]
