"""Which hues of a sparkle pass for a surface's colour, and which are worth a word."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from planner.colour.names import FLASH_FAMILIES
from planner.reading.read import Reading

_CIRCLE: Final = FLASH_FAMILIES[1:]
"""In hue order; the first one is white."""

_LIGHT_OF: Final = {"brown": "orange", "olive": "yellow"}
"""Brown and olive are dark orange and dark yellow: a lone light of that hue has no such name."""

_FEW: Final = 0.1
"""Share of the sparkle below which another hue is not worth a word."""

_RIVAL: Final = 1.0 / 3.0
"""Share of the flashes from which the hue of the most is told beside that of the brightest."""


def light_of(family: str) -> str:
    """Return what the hue of a surface's family is called in a light: brown is orange."""
    return _LIGHT_OF.get(family, family)


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


def off_hue(shares: Mapping[str, float], family: str) -> dict[str, float]:
    """Return those shares of the flash that do not pass as `family`, largest first."""
    return {one: share for one, share in shares.items() if one not in kin(family)}


@dataclass(frozen=True)
class Hues:
    """The hues of a sparkle to speak of."""

    names: tuple[str, ...]
    """By light: the largest, and its neighbours on the hue circle that are worth a word."""
    luminance: float
    """Their share by luminance, 0 to 1."""
    number: float
    """Their share by number, 0 to 1."""
    most_flashes: str
    """The hue of the largest number of flashes, where that is not among them; else empty."""
    other: bool
    """Whether they are other hues than the glow's."""


def hues(reading: Reading) -> Hues | None:
    """Return the hues of the sparkle to speak of; None where there is no sparkle.

    Those that the glow does not have, if any makes up a tenth by either measure; else the largest.
    """
    flash = reading.flash
    if flash is None:
        return None
    light, number = flash.by_luminance, flash.by_number
    own = {"white", light_of(reading.seen.family)}
    off = [
        one for one in {**light, **number}
        if one not in own and max(light.get(one, 0.0), number.get(one, 0.0)) >= _FEW
    ]  # fmt: skip
    first = max(off, key=lambda one: light.get(one, 0.0)) if off else flash.main
    names = [first] + [one for one in off if one != first and one in kin(first)]
    names.sort(key=lambda one: -light.get(one, 0.0))
    many = max(off, key=lambda one: number.get(one, 0.0)) if off else first
    rival = many not in names and number.get(many, 0.0) > _RIVAL
    return Hues(
        tuple(names),
        sum(light.get(one, 0.0) for one in names),
        sum(number.get(one, 0.0) for one in names),
        many if rival else "",
        bool(off),
    )
