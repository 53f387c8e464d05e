"""Which hues of a sparkle pass for a surface's colour, and which are worth a word.

Neighbouring families are added up first: blue green and green and yellow green are all "greenish".
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from planner.colour.names import FLASH_FAMILIES
from planner.reading.read import Reading
from planner.reading.sparkle import Flash

_CIRCLE: Final = FLASH_FAMILIES[1:]
"""In hue order; the first one is white."""

_LIGHT_OF: Final = {"brown": "orange", "olive": "yellow", "teal": "blue green"}
"""Brown and olive are dark orange and dark yellow: a lone light of that hue has no such name. Teal is what
people call a blue green."""

GREENISH: Final = "greenish"

KINDS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "white": ("white",),
    "reddish": ("red",),
    "golden": ("orange", "yellow"),
    GREENISH: ("yellow green", "green", "blue green"),
    "bluish": ("blue",),
    "purplish": ("violet", "purple"),
    "pinkish": ("pink",),
})  # fmt: skip
"""What people call a sparkle, and which families of flashes that is."""

_KIND: Final = {family: kind for kind, families in KINDS.items() for family in families}

_FEW: Final = 0.1
"""Share of the sparkle below which another hue is not worth a word."""

_BUT: Final = 0.15
"""Share of the sparkle from which other hues go against the stone's own. Less is called about a tenth, and
told as it is."""


def light_of(family: str) -> str:
    """Return what the hue of a surface's family is called in a light: brown is orange."""
    return _LIGHT_OF.get(family, family)


def kind_of(family: str) -> str:
    """Return the kind of sparkle that has the hue of a surface's family; a black or grey one is white."""
    return _KIND.get(light_of(family), "white")


def kin(family: str) -> frozenset[str]:
    """Return the flash families that pass as a surface's: white, its own and its two neighbours.

    A white sparkle is the lamp's own and comes off any stone. A swatch near the border of its family
    has half of the next one in it, so neighbours pass; beside a grey no colour does.
    """
    own = light_of(family)
    if own not in _CIRCLE:
        return frozenset({"white"})
    at = _CIRCLE.index(own)
    return frozenset({"white", *(_CIRCLE[(at + step) % len(_CIRCLE)] for step in (-1, 0, 1))})


def off_hue(shares: Mapping[str, float], *called: str) -> dict[str, float]:
    """Return those shares of the flash that pass as none of the surface's names, largest first.

    A plum is a very dark purplish red, and people call it purple: it passes by either name.
    """
    passing = frozenset[str]().union(*map(kin, called))
    return {one: share for one, share in shares.items() if one not in passing}


def by_kind(shares: Mapping[str, float]) -> dict[str, float]:
    """Return shares of families added up to kinds, largest first."""
    found = {kind: sum(shares.get(one, 0.0) for one in families) for kind, families in KINDS.items()}
    return dict(sorted(((kind, part) for kind, part in found.items() if part > 0), key=lambda one: -one[1]))


HARDLY: Final = 0.001
"""Sparkles of one stone at a moment below which stones hardly sparkle: one stone in a thousand (our
choice)."""


def sparkle_of(reading: Reading) -> Flash | None:
    """Return the flashes that stand out; None where stones hardly sparkle."""
    return None if reading.flash is None or reading.flash.per_stone < HARDLY else reading.flash


@dataclass(frozen=True)
class Hues:
    """The hue of a sparkle to speak of."""

    name: str
    """A key of `KINDS`."""
    number: float
    """Its share of the sparkles, 0 to 1."""
    luminance: float
    """Its share of their light, 0 to 1."""
    also: str
    """Another kind worth a word; else empty."""
    also_number: float
    """Its share of the sparkles."""
    contrary: bool
    """Whether so much of it is of other hues than the stone's that it is told with a "but"."""


def hues(reading: Reading) -> Hues | None:
    """Return the hue of the sparkle to speak of; None where it hardly sparkles.

    The most frequent that the stone does not have, if it makes up a tenth; else the most frequent.
    """
    flash = sparkle_of(reading)
    if flash is None:
        return None
    number, light = by_kind(flash.by_number), by_kind(flash.by_luminance)
    own = {"white", kind_of(reading.seen.family)}
    if reading.seen.family == "brown":
        own.add("reddish")  # brown is as often a dark red
    off = [kind for kind, part in number.items() if kind not in own and part >= _FEW]
    name = off[0] if off else max(number, key=lambda kind: number[kind])
    also, contrary = off[1] if len(off) > 1 else "", sum(number[kind] for kind in off) >= _BUT
    return Hues(name, number[name], light.get(name, 0.0), also, number.get(also, 0.0), contrary)


def greenish(reading: Reading) -> float:
    """Return the share of the sparkles that are greenish, 0 to 1."""
    flash = sparkle_of(reading)
    return 0.0 if flash is None else by_kind(flash.by_number).get(GREENISH, 0.0)
