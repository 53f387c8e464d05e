"""What size an offer names, and whether its millimetres are that size's."""

import re
from functools import lru_cache

from planner.catalogue.sizes import check_size, size, sizes

COMMON = (
    "SS3", "SS4", "SS5", "SS6", "SS7", "SS8", "SS9", "SS10", "SS12", "SS16", "SS20", "SS30", "SS34", "SS40",
    "SS48",
)  # fmt: skip
"""Sizes that are commonly sold (common practice, no source)."""

FITS_MM = 0.35
"""Farthest from a size's published range at which millimetres are still taken for it: SS20 ends at 4.8 mm,
and sellers write 5 (our choice)."""

BETTER_MM = 0.1
"""How much nearer another size must be before it is asked about (our choice)."""

_SS = re.compile(
    r"(?<![a-z0-9])ss[\s-]?(\d{1,3})(?![\d.,]*\d)|(?<![\d.,])(\d{1,3})\s?ss(?![a-z])", re.IGNORECASE
)
_DECIMAL = r"\d{1,3}(?:[.,]\d{1,3})?"
_MM = re.compile(
    rf"({_DECIMAL})\s*(?:mm)?\s*(?:(x|×|\*|by|-|–|to)\s*({_DECIMAL}))?\s*(?:mm|millimet(?:er|re)s?)(?![a-z])",
    re.IGNORECASE,
)


@lru_cache(maxsize=4096)
def size_in(text: str) -> str | None:
    """Return the stone size that stands in a text, such as SS20; None where none does.

    Raises
    ------
    ValueError
        If no millimetres are published for it.

    """
    found = _SS.search(text)
    return None if found is None else check_size(f"SS{found[1] or found[2]}")


@lru_cache(maxsize=4096)
def mm_in(text: str) -> tuple[float, float | None] | None:
    """Return the millimetres that stand in a text: longer and shorter side, or a diameter and None.

    Of a range such as 4.6-4.8 mm the middle is taken.
    """
    found = _MM.search(text)
    if found is None:
        return None
    first = float(found[1].replace(",", "."))
    second = None if found[3] is None else float(found[3].replace(",", "."))
    if second is None or first == 0.0 or second == 0.0:
        return (first, None) if first > 0.0 else None
    if found[2] in {"-", "–", "to"}:
        return round((first + second) / 2.0, 3), None
    return max(first, second), min(first, second)


def off_mm(name: str, mm: float) -> float:
    """Return how far millimetres are from a size's published range; 0 within it.

    Whole millimetres are how sellers round: those that the nominal diameter rounds to are right.
    """
    one = size(name)
    if mm == int(mm) and round(one.nominal_mm) == mm:
        return 0.0
    low, high = one.min_mm or one.nominal_mm, one.max_mm or one.nominal_mm
    return round(max(low - mm, mm - high, 0.0), 3)


def size_of(mm: float) -> str | None:
    """Return the common size that millimetres are taken for; None where none is near."""
    near = _nearest(mm)
    return near if off_mm(near, mm) <= FITS_MM else None


def fits_better(name: str, mm: float) -> str | None:
    """Return a common size that millimetres fit better than the one named; None where none does."""
    other = _nearest(mm)
    return other if other != name and off_mm(name, mm) - off_mm(other, mm) > BETTER_MM else None


def _nearest(mm: float) -> str:
    """Return the common size whose range, and then whose nominal diameter, is nearest."""
    return min(COMMON, key=lambda name: (off_mm(name, mm), abs(sizes()[name].nominal_mm - mm)))
