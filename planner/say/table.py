"""How wide the columns of a table are, and how texts fit into them, measured in cells of a terminal."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from planner.say.document import Column, Table

GAP: Final = 2
"""Cells between two columns."""

_NARROWEST: Final = 16
"""Cells that a text has at least before it goes on over lines."""

_NARROWEST_OF_SEVERAL: Final = 8
"""The same where several columns do."""


def widths(table: "Table", cells: Iterable[Sequence[int]], room: int | None) -> list[int]:
    """Return how wide every column is.

    Parameters
    ----------
    table
        Its columns say which may be narrowed.
    cells
        Cells that each cell of each row takes, as it is drawn.
    room
        Cells that there are; None where a line may be of any length.

    """
    rows = [[width(one.title) for one in table.columns], *cells]
    wide = [max(one[at] for one in rows) for at in range(len(table.columns))]
    folding = [at for at, one in enumerate(table.columns) if one.folds]
    if room is None or not folding:
        return wide
    spare = room - sum(wide) - GAP * (len(wide) - 1)
    if len(folding) > 1:
        share = (sum(wide[at] for at in folding) + spare) // len(folding)
        return [
            min(one, max(_NARROWEST_OF_SEVERAL, share)) if spare < 0 and at in folding else one
            for at, one in enumerate(wide)
        ]
    if spare < 0 or table.full:
        wide[folding[0]] = max(_NARROWEST, wide[folding[0]] + spare)
    return wide


def width(said: str) -> int:
    """Return how many cells a text takes."""
    if _in_single_cells(said):
        return len(said)
    from wcwidth import width as measured

    return measured(said)


def _in_single_cells(said: str) -> bool:
    """Say whether every sign surely takes one cell, as nearly all do, without the tables of all scripts."""
    return said.isprintable() and (not said or max(said) < _COMBINING)


_COMBINING: Final = "\u0300"
"""The first sign that is written over another; those before it are Latin."""


def cut(said: str, most: int | None) -> str:
    """Return a text in at most so many cells, with an ellipsis where it is longer."""
    if most is None or width(said) <= most:
        return said
    if _in_single_cells(said):
        return said[: max(0, most - 1)].rstrip(" ,") + "…"
    from wcwidth import clip

    return clip(said, 0, max(0, most - 1)).rstrip(" ,") + "…"


def folded(said: str, column: "Column", wide: int) -> list[str]:
    """Return a text as lines that fit into its column, at least one."""
    from wcwidth import wrap

    return (wrap(said, wide, break_on_hyphens=False) if column.folds else [said]) or [""]
