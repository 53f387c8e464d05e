"""A cut as its owner sees it: facets counted, the flat top and the height measured, polished or pressed."""

import math
import re
from itertools import pairwise
from typing import Any, Final

from planner.catalogue.cut import Cut
from planner.catalogue.errors import build
from planner.catalogue.keep import free_id
from planner.catalogue.palette import commonly_sold
from planner.refusal import InvalidValue, show

_LIKE: Final = {1: "twelve", 2: "sixteen"}
"""The cut that is commonly sold with so many rows, which stands for whatever nobody said."""

FINISHES: Final = {"polished": "sixteen", "usual": "twelve", "pressed": "eight"}
"""The cut that is commonly sold with facets so flat, by the word for it."""

_ROWS: Final = re.compile(r"(\d{1,3})(?:\s*\+\s*(\d{1,3}))?(?:\s*facets?)?", re.ASCII)


def rows_said(text: str) -> tuple[int, ...]:
    """Return how many facets each row has, from the girdle inwards: "12" or "8+8".

    Raises
    ------
    InvalidValue
        If it says no such thing.

    """
    found = _ROWS.fullmatch(" ".join(text.lower().split()))
    if found is None:
        raise InvalidValue(
            f"found {show(text)}; count the facets round the flat top: 12, or 8+8 for two rows (for a dome "
            "make a copy of dome)"
        )
    return tuple(int(one) for one in found.groups() if one is not None)


def own_cut(
    name: str, facets: str, *, table: float | None = None, height: float | None = None,
    finish: str = "usual", entry_id: str = "",
) -> Cut:  # fmt: skip
    """Return a cut from what can be counted and measured on a stone.

    Parameters
    ----------
    name
        As its owner calls it.
    facets
        As `rows_said` has them.
    table, height
        Width of the flat top, and height from back to top, as shares of the diameter; as on stones commonly
        sold when not given.
    finish
        A key of `FINISHES`.
    entry_id
        Its id; made from the name when not given.

    Raises
    ------
    Refusal
        If no stone can be so.

    """
    rows = rows_said(facets)
    usual = {one.id: one for one in commonly_sold() if isinstance(one, Cut)}
    like, flat = usual[_LIKE[len(rows)]], usual[FINISHES[finish]]
    top = like.rows[-1].inner
    widened = (1.0 - (top if table is None else table)) / (1.0 - top)
    inner = [1.0 - (1.0 - one.inner) * widened for one in like.rows]
    rise = [math.tan(math.radians(one.angle)) for one in like.rows]
    crown = sum(0.5 * (a - b) * one for (a, b), one in zip(pairwise([1.0, *inner]), rise, strict=True))
    if height is not None and height <= like.girdle:
        raise InvalidValue(
            f"found a height of {100 * height:g} %; its upright side alone is {100 * like.girdle:g} %"
        )
    steeper = 1.0 if height is None else (height - like.girdle) / max(crown, 1e-9)
    data: dict[str, Any] = {
        "id": entry_id or free_id(name, (), "cut"), "name": name, "basis": "estimated",
        "rows": [
            {"facets": one, "angle": round(math.degrees(math.atan(steeper * up)), 1), "inner": round(edge, 3)}
            for one, up, edge in zip(rows, rise, inner, strict=True)
        ],
        "girdle": like.girdle, "waviness": flat.waviness, "wedge": flat.wedge,
    }  # fmt: skip
    return build(Cut, data, "this cut")
