"""The first of a ranking as a maker wants them: alike ones in one place, and more than one stone."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

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
    every = list(ranked)
    by_stone: dict[str, list[int]] = {}
    for number, one in enumerate(every):
        by_stone.setdefault(one.question.stone.id, []).append(number)
    places_of: dict[int, list[Ranked]] = {}
    for numbers in by_stone.values():
        labs = np.array([every[number].lab for number in numbers])
        near = delta_e(labs[:, None], labs) < ALIKE
        firsts: list[int] = []
        for at, number in enumerate(numbers):
            one = every[number]
            twin = next(
                (of for of in firsts if near[of, at] and every[numbers[of]].outcome == one.outcome), None
            )
            if twin is None:
                firsts.append(at)
                places_of[number] = [one]
            else:
                places_of[numbers[twin]].append(one)
    found = [places_of[number] for number in sorted(places_of)]
    return tuple(Place(first, tuple(also)) for first, *also in _varied(found))


def are_varied(found: Sequence[Place]) -> bool:
    """Say whether some of the first come before others that do better, for the sake of other stones."""
    best = [one.first.standing for one in found]
    return len(best) > FIRST and max(best[:FIRST]) > min(best[FIRST:])


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
