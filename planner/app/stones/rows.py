"""What is told of a stone or a coating in one line, in which order, and which are found by some words."""

from dataclasses import dataclass

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.find import key
from planner.catalogue.own import Whose, in_groups
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import sizes_in_short
from planner.catalogue.stone import Stone


@dataclass(frozen=True)
class Row:
    """An entry, and whose it is."""

    entry: Stone | Coating | Cut
    whose: Whose

    @property
    def facts(self) -> tuple[str, str, str]:
        """Sizes, foil and where its colour was seen; of a coating, how it is known."""
        one = self.entry
        if isinstance(one, Cut):
            return ("", "", f"{'+'.join(str(row.facets) for row in one.rows)} facets")
        if isinstance(one, Coating):
            return ("", "", _known(one))
        foil = "no foil" if one.foil == "none" else one.foil
        return (sizes_in_short(one.sizes), foil, _seen(one))


def rows(palette: Palette, kind: str, words: str = "") -> list[Row]:
    """Return the entries of a kind, "stone", "coating" or "cut", in which `words` are found: hers first.

    Where only hers are offered the demo's are left out, be there any of hers or not.
    """
    wanted = key(words).split()
    every = [Row(one, of) for of, entries in in_groups(palette, kind).items() for one in entries]  # type: ignore[arg-type]  # as `kind` says
    return [row for row in every if all(word in _text(row) for word in wanted)]


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
