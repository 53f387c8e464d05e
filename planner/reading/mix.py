"""Two or three stones mixed by share, judged together: what an eye makes of them that no longer parts them.

From where stones run together their light adds up, each by the cloth it hides: the mean of tristimulus
values, and no mean of CIELAB. Nearer by they are a pattern, which is judged by no figure; so a mix says
from where on it is one colour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.optics.arrays import Floats
from planner.reading.drift import Difference, difference
from planner.reading.field import merge_distances
from planner.reading.fit import counts, does
from planner.reading.question import Question
from planner.reading.rank import Ranked
from planner.reading.read import Seen, seen

PAIRS = ((1, 3), (1, 2), (1, 1), (2, 1), (3, 1))
TRIPLES = ((1, 1, 1), (2, 1, 1), (1, 2, 1), (1, 1, 2))
"""Parts by number of stones that a maker can count out."""

CANDIDATES, OF_THREE = 48, 12
"""Pairings that are tried in mixes of two, and of three: those nearest to the swatch."""

FURTHEST = 30.0
"""CIEDE2000 from the swatch beyond which a stone is taken for no mix: it would be seen by itself."""

BETTER = 0.8
"""A mix is offered where it is at most so far off as the nearest stone alone (our choice: two stones to
buy, to sort and to keep apart must be worth it)."""


@dataclass(frozen=True, eq=False)
class Mix:
    """Pairings and their parts by number of stones."""

    stones: tuple[Ranked, ...]
    parts: tuple[int, ...]
    lab: Floats
    """(3,) CIELAB of all together."""
    swatch: Floats
    """(3,) of the swatch in the same light."""
    apart: float
    """CIEDE2000 that counts for the wish."""
    holds: bool
    """Whether the mix does what is wished."""
    one_from: float
    """Metres from which its stones run together."""

    @property
    def seen(self) -> Seen:
        """Its colour, with name and screen colour."""
        return seen(self.lab)

    @property
    def drift(self) -> Difference:
        """The mix against the swatch, in words too."""
        return difference(self.swatch, self.lab)


def mixed(labs: Floats, parts: Floats, millimetres: Floats) -> Floats:
    """Return (..., 3) CIELAB of stones seen as one.

    Parameters
    ----------
    labs
        (..., K, 3) of each, in one venue.
    parts
        (K,) or (..., K) by number of stones.
    millimetres
        (..., K) their diameters: each counts by the cloth it hides.

    """
    weight = parts * np.asarray(millimetres) ** 2
    weight = weight / weight.sum(axis=-1, keepdims=True)
    return xyz_to_lab((lab_to_xyz(labs) * weight[..., None]).sum(axis=-2))


def mix_of(stones: Sequence[Ranked], parts: Sequence[int]) -> Mix:
    """Return one mix, judged."""
    question, swatch = stones[0].question, stones[0].swatch
    labs = np.array([one.lab for one in stones])
    sizes = np.array([one.question.millimetres for one in stones])
    lab = mixed(labs, np.array(parts, float), sizes)
    apart, holds = float(counts(lab, swatch, question)), bool(does(lab, swatch, question))
    return Mix(tuple(stones), tuple(parts), lab, swatch, apart, holds, _one_from(labs, sizes, question))


def _one_from(labs: Floats, sizes: Floats, question: Question) -> float:
    """Return from how many metres even the two most unlike of the stones run together."""
    pairs = combinations(range(len(labs)), 2)
    return max(
        max(merge_distances(labs[i], labs[j], float(max(sizes[i], sizes[j])), question.cover))
        for i, j in pairs
    )


def mixes(ranked: Sequence[Ranked]) -> tuple[Mix, ...]:
    """Return the mixes worth their trouble, nearest to the swatch first.

    Each is nearer than any stone alone by a good deal, does what is wished, and no two are of the
    same stones, whatever their coatings.
    """
    if not ranked or ranked[0].question.wish == "contrast":
        return ()
    near = sorted((one for one in ranked if one.dE00 <= FURTHEST), key=lambda one: one.dE00)
    found: list[tuple[float, tuple[int, ...], tuple[int, ...]]] = []
    for count, most, ways in ((2, CANDIDATES, PAIRS), (3, OF_THREE, TRIPLES)):
        found += _tried(near[:most], count, ways)
    chosen, taken = list[Mix](), set[frozenset[str]]()
    for _, places, parts in sorted(found, key=lambda one: one[0]):
        # The same stones under another coating are no other idea.
        names = frozenset(near[place].question.stone.id for place in places)
        if names in taken:
            continue
        taken.add(names)
        one = mix_of([near[place] for place in places], parts)
        if one.holds:
            chosen.append(one)
    return tuple(chosen)


def _tried(
    near: Sequence[Ranked], count: int, ways: Sequence[tuple[int, ...]]
) -> Iterator[tuple[float, tuple[int, ...], tuple[int, ...]]]:
    """Yield how far each mix is off, its stones' places in `near`, and its parts, where it is worth it."""
    places = np.array(list(combinations(range(len(near)), count)))
    if not len(places):
        return
    question, swatch = near[0].question, near[0].swatch
    labs = np.array([one.lab for one in near])
    sizes = np.array([one.question.millimetres for one in near])
    alone = counts(labs, swatch, question).min()
    for parts in ways:
        apart = counts(mixed(labs[places], np.array(parts, float), sizes[places]), swatch, question)
        for number in np.flatnonzero(apart <= BETTER * alone):
            yield float(apart[number]), tuple(map(int, places[number])), parts
