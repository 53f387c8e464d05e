"""What size an offer names, and whether its millimetres are that size's."""

import re
from functools import lru_cache

from planner.catalogue.sizes import check_size, nearest_common, off_mm

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
        If no millimetres are in common use for it.

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


def fits_better(name: str, mm: float) -> str | None:
    """Return a common size that millimetres fit better than the one named; None where none does."""
    other = nearest_common(mm)
    return other if other != name and off_mm(name, mm) - off_mm(other, mm) > BETTER_MM else None
