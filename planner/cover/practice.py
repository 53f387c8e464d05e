"""What is common practice about sizes, counts and pace (no source): for comparison, never for counting."""

import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Any

from planner.catalogue.sizes import sizes
from planner.data import shared
from planner.job.model import Fixing

GROSS = 144
"""Stones in a gross: twelve dozen."""


@dataclass(frozen=True)
class Garment:
    """How many stones a kind of garment usually takes."""

    name: str
    size: str
    """The size that the counts are in."""
    gross: tuple[int, int]
    """From and to, gross."""
    note: str = ""


@dataclass(frozen=True)
class Pace:
    """Stones that one practised person sets in an hour."""

    slow: int
    usual: int
    fast: int
    says: str
    """What it rests on, one sentence."""


def use_of(name: str) -> str:
    """Return what stones of a size are commonly used for."""
    order = list(sizes())
    for one in _data()["use"]:
        if order.index(one["from"]) <= order.index(name) <= order.index(one["to"]):
            return str(one["says"])
    raise KeyError(name)


def garments() -> tuple[Garment, ...]:
    """Return the usual counts by garment, lightest first."""
    return tuple(
        Garment(one["name"], one["size"], (one["gross"][0], one["gross"][1]), one.get("note", ""))
        for one in _data()["garment"]
    )


def pace(fixing: Fixing) -> Pace:
    """Return how fast stones are set, by how they are fixed."""
    found = _data()["setting"][fixing]
    slow, usual, fast = found["an_hour"]
    return Pace(slow, usual, fast, found["says"])


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads(shared("stone_practice.toml").read_text(encoding="utf-8"))
