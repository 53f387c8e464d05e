"""Where lamps hang, how bright a surround is, what a floor bounces: ``shared/lighting_words.toml``."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from planner.data import shared


@dataclass(frozen=True)
class Direction:
    """Lamps that stand together."""

    elevation: float
    """Above the horizon of the garment, degrees."""
    azimuth: float
    """Round the garment, degrees; 0 is towards the viewer, 90 the viewer's right."""
    size: float
    """Angular diameter of one lamp, degrees."""
    number: int
    spread: float
    """Degrees over which they stand; 0 for a single lamp."""


@dataclass(frozen=True)
class Position:
    """A place for lamps that has a name."""

    words: tuple[str, ...]
    directions: tuple[Direction, ...]
    """They share the light evenly."""
    kind: str | None
    """Kind of lamp that is meant where none is named."""


@dataclass(frozen=True)
class Place:
    """A kind of place, and what is usually there."""

    words: tuple[str, ...]
    lamps: tuple[str, ...]
    """Each as `planner.lighting.words.lamp_in_words` reads it."""
    surround: str
    floor: str
    distance: float
    """Usual distance of the viewer, m."""


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads(shared("lighting_words.toml").read_text(encoding="utf-8"))


@cache
def positions() -> Mapping[str, Position]:
    """Return the named places for lamps."""
    return MappingProxyType({
        name: Position(
            tuple(one["words"]), tuple(Direction(**way) for way in one["directions"]), one.get("kind")
        )
        for name, one in _data()["position"].items()
    })  # fmt: skip


def surrounds() -> Mapping[str, float]:
    """Return lx from everywhere by the word for it."""
    return MappingProxyType({word: float(lux) for word, lux in _data()["surround"].items()})


def floors() -> Mapping[str, Mapping[str, Any]]:
    """Return the fields of a venue's floor by the word for it."""
    return MappingProxyType(_data()["floor"])


@cache
def places() -> Mapping[str, Place]:
    """Return the kinds of place that have a name."""
    return MappingProxyType({
        name: Place(
            tuple(one["words"]), tuple(one["lamps"]), one["surround"], one["floor"], float(one["distance"])
        )
        for name, one in _data()["place"].items()
    })  # fmt: skip
