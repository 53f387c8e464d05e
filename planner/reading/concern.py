"""What a warning is."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, TypeAlias

from planner.catalogue.venue import Venue
from planner.reading.drift import Difference
from planner.reading.read import Seen

Severity: TypeAlias = Literal["severe", "caution", "note"]

SEVERITIES: Final[tuple[Severity, ...]] = ("severe", "caution", "note")
"""Gravest first. severe: would be seen, and cannot be mended; caution: decide before buying; note."""

CODES: Final = (
    "glow-drifts", "hardly-stands-out", "flash-off-hue", "lots-straddle", "breaks-elsewhere",
    "lightness-apart", "sizes-differ", "shows-cloth", "swatch-unsure", "screen-cannot-show",
)  # fmt: skip
"""Every code, in the order in which equals are told."""


@dataclass(frozen=True)
class Concern:
    """One warning."""

    code: str
    """One of `CODES`."""

    severity: Severity

    text: str
    """One plain sentence; its figures stand apart."""

    do: str
    """What to do about it, one sentence."""

    figures: Mapping[str, float | str] = field(default_factory=dict, hash=False)
    """The figures by name: CIEDE2000, L*, degrees, shares from 0 to 1."""


@dataclass(frozen=True)
class Elsewhere:
    """The same pairing in another venue of the job."""

    venue: Venue

    swatch: Seen
    """The swatch as it is seen there."""

    seen: Seen
    """What the stones are seen as there."""

    drift: Difference
    """From the swatch to the stone, both in that venue."""

    holds: bool
    """Whether it does there what is wished."""

    fails: float = 1.0
    """In which share of the swatch's possible colours there it does not do what is wished."""


def known(**figures: float | None) -> dict[str, float | str]:
    """Return those figures that there are."""
    return {name: value for name, value in figures.items() if value is not None}
