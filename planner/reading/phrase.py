"""Turns of phrase that sentences and warnings share: shares, lists, comparisons, figures."""

from collections.abc import Sequence
from typing import Final

from planner.colour.words import SAME

_SHARES: Final = (
    (0.05, "hardly any"),
    (0.15, "about a tenth"),
    (0.225, "about a fifth"),
    (0.29, "about a quarter"),
    (0.42, "about a third"),
    (0.58, "about half"),
    (0.71, "about two thirds"),
    (0.85, "about three quarters"),
    (0.93, "most"),
    (1.01, "nearly all"),
)
"""Shares below each number, midway between the fractions named."""


WHOLE: Final = frozenset({"hardly any", "most", "nearly all"})
"""Those of the above that stand before a plural without "of"."""


def share(value: float, *, exact: bool = False) -> str:
    """Return a share, 0 to 1, in words: "about a third"; with `exact`, "34 %"."""
    return percent(value) if exact else next(words for below, words in _SHARES if value < below)


def percent(value: float) -> str:
    """Return a share, 0 to 1, as "34 %"."""
    return f"{100 * value:.0f} %"


def tenths(value: float, what: str = "batch") -> str:
    """Return a share, 0 to 1, as "8 batches in 10"; one in ten is "1 batch in 10"."""
    count = round(10 * value)
    plural = "es" if what.endswith("ch") else "s"
    return f"{count} {what}{'' if count == 1 else plural} in 10"


def listed(words: Sequence[str], joint: str = "and") -> str:
    """Return "red, green or blue"."""
    *first, last = words
    return f"{', '.join(first)} {joint} {last}" if first else last


def changed(words: str) -> str:
    """Return shift words as one phrase: "lighter, greener, duller" is "lighter, greener and duller"."""
    return listed(words.split(", "))


def than(words: str, what: str) -> str:
    """Return shift words as a comparison: "lighter and greener than the swatch", "about the same as it"."""
    return f"{SAME} as {what}" if words == SAME else f"{changed(words)} than {what}"


def signed(value: float, unit: str = "", digits: int = 0) -> str:
    """Return a number with its sign, a true minus and no "−0": "+14", "−3.2°", "0"."""
    rounded = round(value, digits) + 0.0
    text = f"{rounded:+.{digits}f}" if rounded else f"{0:.{digits}f}"
    return text.replace("-", "−") + unit
