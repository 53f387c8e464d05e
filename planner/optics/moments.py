"""Moments: what one spot of the eye has of a field of stones, time after time and place after place.

The eye adds up what falls within its blur and within about a tenth of a second (Bloch 1885). Flashes
come at random: from one direction of view a stone shows each of its sightings (see
`planner.optics.flash`) at a known rate, one of a lamp or none. While the wearer moves, a lamp sweeps past:
a flash is then all that it gives on its way, beam after beam, each for a part of the moment. So moments are
drawn once for a cut, a lamp plan, a distance and a movement, whatever film and body the stones have; each is
a sum over a few stones and flashes, and the median of a colour over all moments is what the surface is
taken to be (see `planner.reading.eye`). Draws are always the same, so that films and lots are compared by
the same moments.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from planner.colour.ordered import in_order
from planner.optics.arrays import Floats, Ints
from planner.optics.discs import BANDS
from planner.optics.flash import Sightings
from planner.optics.sparse import Sparse, entries, starts_of

ARC_MINUTE = np.pi / (180.0 * 60.0)

RESOLUTION = 1.0
"""Full width at half maximum, arc minutes, of the blur of a good eye (20/20; Snellen 1862). Watson's
formula for the mean optical transfer of healthy eyes (J. Vision 13(6):18, 2013) is about as wide in
daylight, with a longer tail."""

INTEGRATION = 0.1
"""Seconds over which the eye adds up light (Bloch's law; Gorea 2015 reviews what is known of it)."""

LEAN = np.radians(6.0)
"""Standard deviation of how far a stone leans on its cloth, to the side and forwards: how it was set by
hand and the small folds of the cloth together (our guess)."""

REACH = 3.0
"""Standard deviations of the blur beyond which a stone counts no more for a spot."""

MOST_STONES = 240
"""Stones in one spot from which more make no difference: their mean hardly varies."""

MOST_FLASHES = 24.0
"""Flashes of one stone in one moment beyond which each stands for several, in a field."""

FEWEST_FLASHES = 96.0
"""Flashes in one moment up to which each stands for itself. A single stone among many lamps has dozens, and
where each stood for two its hue was off by 4 in a*."""


@dataclass(frozen=True)
class Sight:
    """How a field of stones is looked at: a key. Lengths are in diameters of a stone."""

    resolved: bool
    """True for single stones, each by itself; False for the field within the eye's blur."""
    blur: float
    """Standard deviation of the eye's blur, diameters."""
    cover: float
    """Share of the cloth that stones hide, 0 to 1."""
    sweep: float
    """Angle by which lamps move past, as stones mirror them, while the eye adds up; radians."""
    moments: int
    """How many to draw."""


@dataclass(frozen=True, eq=False)
class Moments:
    """N moments, S stones in them and F flashes."""

    count: int
    """N"""
    stone_moment: Ints
    """(S,) which moment a stone belongs to, rising."""
    stone_view: Ints
    """(S,) the direction of view in which it is seen."""
    stone_share: Floats
    """(S,) share of the spot's light that its face gives; what all leave of it is the cloth's."""
    flash_moment: Ints
    """(F,) which moment a flash belongs to, rising."""
    flash_event: Ints
    """(F,) which of the sightings it is."""
    flash_share: Floats
    """(F,) what its light on the stone's face counts for the spot in that moment."""


def hurry(radius: Floats, sweep: float) -> Floats:
    """Return (E,) how many times as many flashes fall into one moment while lamps sweep past.

    A disc of `radius` (E,) that is passed by a point moving by `sweep`, both radians, is met as often
    as the area is larger that a disc sweeps out: 1 + 2 l / (pi r).
    """
    return 1.0 + 2.0 * sweep / (np.pi * np.maximum(radius, 1e-6))


def moments(
    sight: Sight, chance: Floats, lean: Floats, share: Floats,
    lamps: Sequence[tuple[float, Floats, Ints, Floats]],
) -> Moments:  # fmt: skip
    """Return moments of a field.

    Parameters
    ----------
    sight
        How it is looked at.
    chance
        (D,) how much of the field is seen in each direction of view; adds up to 1.
    lean
        (D,) angle of each from the axis of the stone, radians, rising.
    share
        (D,) how much of the time sightings take each view to be seen.
    lamps
        For every kind of small lamp how many there are, and (E,) `measure`, `view` and `part` of its
        sightings on ways as long as `sight.sweep`.

    """
    stone_moment, stone_view, stone_share = _stones(sight, chance, lean)
    rates = [
        np.bincount(view, measure, len(chance)) / share if len(view) else np.zeros(len(chance))
        for _, measure, view, _ in lamps
    ]
    most = max(MOST_FLASHES, FEWEST_FLASHES * sight.moments / max(len(stone_view), 1))
    taken = np.minimum(1.0, most / np.maximum(sum(rates, np.zeros(len(chance))), 1e-9))
    # Every lamp draws by itself: numbers spread evenly over them all would give each moment as much.
    draw = np.random.default_rng(1)
    turn = _even(len(stone_view), 1 + 2 * len(lamps))[:, 1:]
    found, before = [_NONE], 0
    for kind, ((number, measure, view, part), rate) in enumerate(zip(lamps, rates, strict=True)):
        odds, own = np.minimum(rate / number, 1.0), turn[:, 2 * kind : 2 * kind + 2]
        # A lamp shows a stone one flash in a moment or none, whatever others of its kind do.
        trials = np.floor((number * taken)[stone_view] + own[:, 0])
        stone = np.repeat(np.arange(len(stone_view)), _binomial(odds[stone_view], trials, own[:, 1]))
        event = _picked(measure, view, stone_view[stone], draw.random(len(stone)))
        found.append((stone, event + before, part[event] / taken[stone_view[stone]]))
        before += len(measure)
    stone, event, weight = (np.concatenate(each) for each in zip(*found, strict=True))
    order = in_order(stone_moment[stone])
    stone = stone[order]
    return Moments(
        sight.moments, stone_moment, stone_view, stone_share, stone_moment[stone], event[order],
        stone_share[stone] * weight[order],
    )  # fmt: skip


_NONE = (np.zeros(0, int), np.zeros(0, int), np.zeros(0))


def _picked(measure: Floats, seen_in: Ints, view: Ints, turn: Floats) -> Ints:
    """Return (F,) a sighting in each view of `view` (F,), by how often they are met and `turn` in 0..1."""
    order = in_order(seen_in)
    edges = np.concatenate([[0.0], np.cumsum(measure[order])])
    by_view = edges[starts_of(np.bincount(seen_in, minlength=int(view.max(initial=0)) + 1))]
    at = by_view[view] + turn * np.diff(by_view)[view]
    found = np.searchsorted(edges, at, side="right") - 1
    return order[np.clip(found, 0, max(len(order) - 1, 0))]


def _stones(sight: Sight, chance: Floats, lean: Floats) -> tuple[Ints, Ints, Floats]:
    """Return which moment each stone belongs to, its direction of view, and its share of the spot."""
    number = (np.arange(sight.moments) + 0.5) / sight.moments
    edges = np.cumsum(chance)
    if sight.resolved:
        view = np.searchsorted(edges / edges[-1], number)
        return np.arange(sight.moments), view, np.ones(sight.moments)
    moment, share = _spots(sight)
    # The cloth of one spot leans one way; every stone on it leans by a little more of its own.
    leaning = np.interp(number, edges / edges[-1], lean)[moment]
    draw = _even(len(moment), 4)
    away = LEAN * np.sqrt(-2.0 * np.log(1.0 - draw[:, 0]))  # Box and Muller 1958
    way = 2.0 * np.pi * draw[:, 1]
    own = np.hypot(leaning + away * np.cos(way), away * np.sin(way))
    step = lean[1] - lean[0]
    place = np.rint((own - lean[0]) / step + (draw[:, 2] - 0.5) * 3.0).astype(int)
    return moment, np.clip(place, 0, len(lean) - 1), share


def _spots(sight: Sight) -> tuple[Ints, Floats]:
    """Return the stones in each spot: which moment they belong to, and their share of its light.

    Stones lie in rows, every second one half a step along; a spot lies anywhere on them.
    """
    if sight.cover <= 0.0:
        return np.zeros(0, int), np.zeros(0)
    area = np.pi / 4.0
    # A stone's own width blurs it too: a disc of diameter 1 has a variance of 1/16.
    spread = min(np.hypot(sight.blur, 0.25), np.sqrt(MOST_STONES * area / sight.cover / np.pi) / REACH)
    pitch = np.sqrt(2.0 / np.sqrt(3.0) * area / sight.cover)
    rows = int(np.ceil(REACH * spread / (pitch * 0.75**0.5))) + 1
    columns = int(np.ceil(REACH * spread / pitch)) + 2
    row, column = (one.ravel() for one in np.mgrid[-rows : rows + 1, -columns : columns + 1])
    x, y = (column + 0.5 * (row % 2)) * pitch, row * pitch * 0.75**0.5
    away = _even(sight.moments, 2)
    dx, dy = away[:, :1] * pitch, away[:, 1:] * pitch * 0.75**0.5
    squared = (x - dx) ** 2 + (y - dy) ** 2
    moment, stone = np.nonzero(squared < (REACH * spread) ** 2)
    share = area / (2.0 * np.pi * spread**2) * np.exp(-0.5 * squared[moment, stone] / spread**2)
    # Of the whole blur, what lies within its reach counts for all.
    return moment, share / -np.expm1(-0.5 * REACH**2)


@cache
def _roots(dimensions: int) -> Floats:
    root = 1.5
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    return root ** -np.arange(1.0, dimensions + 1)


def _even(count: int, dimensions: int) -> Floats:
    """Return (count, D) numbers in 0..1 of a quasi-random sequence (Roberts 2018, R_d)."""
    return (0.5 + np.arange(1, count + 1)[:, None] * _roots(dimensions)) % 1.0


def _binomial(odds: Floats, whole: Floats, turn: Floats) -> Ints:
    """Return (S,) binomial numbers of `whole` (S,) trials at `odds` (S,), by where `turn` in 0..1 falls."""
    odds = np.minimum(odds, 0.999)
    number = np.zeros(len(odds), int)
    term = (1.0 - odds) ** whole
    total = term.copy()
    left = np.flatnonzero(turn > total)
    step = 0
    while len(left) and step < whole.max(initial=0.0):
        term[left] *= (whole[left] - step) / (step + 1.0) * odds[left] / (1.0 - odds[left])
        step += 1
        number[left] = step
        total[left] += term[left]
        left = left[(turn[left] > total[left]) & (whole[left] > step)]
    return number


def by_view(drawn: Moments, views: int) -> Floats:
    """Return (N, D) what stones seen in each direction of view give of a spot's light, as shares."""
    cell = drawn.stone_moment * views + drawn.stone_view
    return np.bincount(cell, drawn.stone_share, drawn.count * views).reshape(drawn.count, views)


@dataclass(frozen=True, eq=False)
class Sums:
    """What of some lamps' light falls into each of N moments: sums over what groups of beams carry."""

    starts: Ints
    """(N + 1,) where the C parts of each moment begin, and their number."""
    group: Ints
    """(C,) the group of beams that brings a part."""
    band: Ints
    """(C,) the part of the spectrum, see `planner.optics.flash.Sightings`."""
    gain: Floats
    """(C,) how much of it there is, likewise."""


def lit(drawn: Moments, found: Sequence[Sightings], kinds: Sequence[int]) -> Sums:
    """Return what those kinds of lamp bring, which `found` tells of as grouped: all of one spectrum."""
    parts = [(one.group, one.band, one.gain) for kind, one in enumerate(found) if kind in kinds]
    group, band, gain = (np.concatenate(part) for part in zip(*parts, strict=True))
    counts = np.concatenate([(kind in kinds) * one.count for kind, one in enumerate(found)])
    # Each flash has all contributions of its sighting.
    row, count = entries(counts, drawn.flash_event), counts[drawn.flash_event]
    share = np.repeat(drawn.flash_share.astype(np.float32), count)
    by_moment = np.bincount(drawn.flash_moment, count, minlength=drawn.count).astype(int)
    return Sums(starts_of(by_moment), group.take(row), band.take(row), share * gain.take(row))


def gathered(sums: Sums, number: Ints, carries: Floats) -> Floats:
    """Return (N, T, S, 3) light of flashes in each moment.

    Parameters
    ----------
    sums
        From `lit`.
    number
        (M,) the place of each group of beams in `carries`.
    carries
        (G, BANDS + 1, T, S, 3) from `planner.optics.flash.carried`.

    """
    each = carries.shape[2:]
    parts = carries.reshape(len(carries) * (BANDS + 1), math.prod(each))
    row = number[sums.group] * (BANDS + 1) + sums.band
    return (Sparse(sums.starts, row, sums.gain, len(parts)) @ parts).reshape(-1, *each)


def median(light: Floats) -> Floats:
    """Return (...) medians of what there is in each of N moments (N, ...), for each value by itself."""
    middle, each = len(light) // 2, light.reshape(len(light), -1)
    ordered = np.partition(np.ascontiguousarray(each.T), middle, axis=1)
    found = ordered[:, middle]
    if len(light) % 2 == 0:
        found = 0.5 * (found + ordered[:, :middle].max(axis=1))
    return np.asarray(found.reshape(light.shape[1:]), float)
