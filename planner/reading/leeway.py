"""How much leeway a wish leaves: the straight way from the swatch through what is seen, judged all along.

Two patches show how far apart two colours are, and not how far apart they may be. So colours that lie on the
straight line through both in CIELAB are asked of `planner.reading.fit` as the seen one is: where the answer
turns is how far one could still go that way.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.colour.ordered import distinct, quantiles
from planner.optics.arrays import Floats
from planner.reading.drift import JUST
from planner.reading.fit import Outcome, hides_cloth, ill_served, of_lots, of_possible, outcome_of
from planner.reading.read import Reading
from planner.reading.verdict import UNSURE_FROM

_BEYOND = 1.25
"""How much further than the limit is shown at least, so that it is seen as one."""

_PAST = 1.12
"""How much further than the seen colour is shown, so that it is not taken for one beyond the edge."""

_FARTHEST = 100.0
"""CIELAB units from the swatch at which a limit is no longer looked for."""

_STEPS = 128
"""Colours of the way that are asked."""

_OPEN = 25.0
"""CIELAB units that are shown at least where there is no limit."""

_SAME = 1e-6
"""CIELAB units at which two colours are one."""


@dataclass(frozen=True)
class Stretch:
    """A part of the way on which the answer is the same, each end from 0 to 1."""

    outcome: Outcome
    start: float
    end: float


@dataclass(frozen=True)
class Leeway:
    """The way from the swatch, at 0, to its end, at 1; colours change along it in even steps."""

    swatch: tuple[float, float, float]
    end: tuple[float, float, float]
    """CIELAB of a colour beyond the limit and the seen one."""
    seen: float
    """Where the seen colour lies, 0 to 1."""
    low: float
    high: float
    """Between these it lies for most lots, and for most colours that the swatch may have: they stand as far
    along as a colour on the way that does as ill. What lies beyond the end is put there."""
    stretches: tuple[Stretch, ...]
    """All of the way; the seen colour never lies on the border of two."""

    def colours(self, count: int) -> Floats:
        """Return (count, 3) CIELAB in the middle of even steps."""
        start, end = np.array(self.swatch), np.array(self.end)
        return np.asarray(start + middles(count)[:, None] * (end - start))

    def outcomes(self, count: int) -> tuple[Outcome, ...]:
        """Return the answers in the middle of even steps; the seen colour's step has its own."""
        found = [self.outcome_at(float(one)) for one in middles(count)]
        found[self.step(self.seen, count)] = self.outcome_at(self.seen)
        return tuple(found)

    def outcome_at(self, place: float) -> Outcome:
        """Return the answer at a place from 0 to 1."""
        return next((one for one in self.stretches if place <= one.end), self.stretches[-1]).outcome

    @staticmethod
    def step(place: float, count: int) -> int:
        """Return in which of `count` even steps a place lies."""
        return min(int(place * count), count - 1)


def middles(count: int) -> Floats:
    """Return (count,) the middles of even steps from 0 to 1."""
    return np.asarray((np.arange(count) + 0.5) / count)


@lru_cache(maxsize=64)  # a page asks again for every room that is tried
def leeway(reading: Reading) -> Leeway | None:
    """Return the way from a reading's swatch through its seen colour; None where nothing can be told."""
    question = reading.question
    if not question.swatch_told or not (question.cloth_told or hides_cloth(question)):
        return None
    swatch, seen = np.array(reading.swatch.lab), np.array(reading.seen.lab)
    length, towards = _way(swatch, seen)

    def ill(places: Floats) -> Floats:
        labs = swatch + places[:, None] * towards
        labs[places == length] = seen
        return ill_served(labs, swatch, question)

    places = _places(max(length, _room(swatch, towards)), length)
    misfits = ill(places)
    between = _limit(places, misfits <= JUST, length)
    if between is None:
        span = max(_PAST * length, min(places[-1], max(2.0 * length, _OPEN)))
    else:
        fine = np.linspace(*between, _STEPS)
        holds = ill(fine) <= JUST
        span = max(_PAST * length, _BEYOND * fine[np.flatnonzero(holds != holds[0])[0]])
    low, high = _spread(reading, places, misfits)
    shown = _places(span, length)
    lightness, a, b = swatch + span * towards
    return Leeway(
        reading.swatch.lab,
        (float(lightness), float(a), float(b)),
        length / span,
        min(low, length) / span,
        min(max(high, length) / span, 1.0),
        _stretches(shown / span, [outcome_of(float(one)) for one in ill(shown)]),
    )


def _way(swatch: Floats, seen: Floats) -> tuple[float, Floats]:
    """Return how far the seen colour is from the swatch in CIELAB, and in which direction.

    Where both are one colour any direction will do: away from black or from white.
    """
    length = float(np.linalg.norm(seen - swatch))
    if length > _SAME:
        return length, (seen - swatch) / length
    return 0.0, np.array([1.0 if swatch[0] < 50.0 else -1.0, 0.0, 0.0])


def _places(far: float, seen: float) -> Floats:
    """Return places along the way from 0 to `far`, the seen colour's among them."""
    return distinct(np.append(np.linspace(0.0, far, _STEPS + 1), seen))


def _room(swatch: Floats, towards: Floats) -> float:
    """Return how far one can go from the swatch before a colour is black or lighter than white."""
    if abs(towards[0]) < _SAME:
        return _FARTHEST
    ends = (np.array([0.0, 100.0]) - swatch[0]) / towards[0]
    return float(np.clip(ends.max(), 0.0, _FARTHEST))


def _limit(places: Floats, holds: NDArray[np.bool_], seen: float) -> tuple[float, float] | None:
    """Return the two places between which the answer turns, nearest to the seen colour; None if none does.

    That is before the seen colour, where it is not answered as the swatch itself is; else beyond it.
    """
    at = int(np.searchsorted(places, seen))
    turns = np.flatnonzero(holds[1:] != holds[:-1])
    turns = turns[turns < at][::-1] if holds[at] != holds[0] else turns[turns >= at]
    return (float(places[turns[0]]), float(places[turns[0] + 1])) if len(turns) else None


def _spread(reading: Reading, places: Floats, misfits: Floats) -> tuple[float, float]:
    """Return between which places lots lie, and the swatch as it may be, but for the outermost."""
    found = [of_lots(reading), of_possible(reading)]
    ends = np.concatenate([quantiles(one, (UNSURE_FROM, 1.0 - UNSURE_FROM)) for one in found])
    if reading.question.wish == "contrast":  # the farther, the better
        along = np.interp(ends, np.minimum.accumulate(misfits)[::-1], places[::-1])
    else:
        along = np.interp(ends, np.maximum.accumulate(misfits), places)
    return float(along.min()), float(along.max())


def _stretches(places: Floats, outcomes: Sequence[Outcome]) -> tuple[Stretch, ...]:
    """Return runs of one answer; each begins and ends halfway between two places with different ones."""
    starts = [0, *(at for at in range(1, len(outcomes)) if outcomes[at] != outcomes[at - 1])]
    borders = [0.0, *(float(places[at - 1] + places[at]) / 2.0 for at in starts[1:]), 1.0]
    return tuple(Stretch(outcomes[at], *border) for at, border in zip(starts, pairwise(borders), strict=True))
