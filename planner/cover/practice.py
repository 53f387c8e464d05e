"""What is common practice about sizes, counts and pace (no source): for comparison, never for counting."""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from planner.catalogue.sizes import size, sizes
from planner.cover.need import Need
from planner.data import shared
from planner.job.model import Fixing

GROSS = 144
"""Stones in a gross: twelve dozen."""

COMPARED = "SS20"
"""Size in which usual counts are told."""


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


def in_gross(count: int) -> str:
    """Return a count as gross and the rest: "9 gross + 86"."""
    whole, rest = divmod(count, GROSS)
    return f"{whole} gross + {rest}" if whole and rest else f"{whole} gross" if whole else str(rest)


def gross_alike(needed: Iterable[Need]) -> float:
    """Return the gross of `COMPARED` that would hide as much cloth as the stones worn."""
    wide = size(COMPARED).nominal_mm
    return sum(one.worn * (size(one.size).nominal_mm / wide) ** 2 for one in needed) / GROSS
