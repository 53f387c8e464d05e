"""The first of a ranking as a maker wants them: alike ones in one place, and more than one stone."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from planner.colour.difference import delta_e
from planner.reading.rank import Ranked

ALIKE = 1.5
"""CIEDE2000 below which two coatings of one stone are the same to the eye, and have one place: the
difference from which words speak of one."""

FIRST = 5
"""Places that a maker looks at first."""

OF_ONE_STONE = 2
"""Places among the first that one stone may take, so that these hold three different stones at least."""


@dataclass(frozen=True, eq=False)
class Place:
    """A place of the ranking."""

    first: Ranked
    """What stands there."""
    also: tuple[Ranked, ...]
    """Other coatings of the same stone that look the same."""


def places(ranked: Iterable[Ranked]) -> tuple[Place, ...]:
    """Return places for pairings that come best first; none is left out."""
    found: list[list[Ranked]] = []
    by_stone: dict[str, list[list[Ranked]]] = {}
    for one in ranked:
        mine = by_stone.setdefault(one.question.stone.id, [])
        twin = next((place for place in mine if _alike(place[0], one)), None)
        if twin is None:
            mine.append([one])
            found.append(mine[-1])
        else:
            twin.append(one)
    return tuple(Place(first, tuple(also)) for first, *also in _varied(found))


def _alike(one: Ranked, other: Ranked) -> bool:
    return one.outcome == other.outcome and bool(delta_e(one.lab, other.lab) < ALIKE)


def _varied(found: list[list[Ranked]]) -> list[list[Ranked]]:
    """Put off what would be more than `OF_ONE_STONE` among the first, until those are full."""
    taken: Counter[str] = Counter()
    first: list[list[Ranked]] = []
    later: list[list[Ranked]] = []
    for place in found:
        stone = place[0].question.stone.id
        if len(first) < FIRST and taken[stone] < OF_ONE_STONE:
            taken[stone] += 1
            first.append(place)
        else:
            later.append(place)
    return first + later
