"""Discs of the sky in which a lamp is seen through a beam, and positions of the lamp sampled from them.

See `planner.optics.flash`. Discs are worked on many views at a time. A lamp that sweeps past while the eye
adds up has a way in place of a position: a piece of a great circle, which crosses some discs, each for a part
of the time.
"""

from typing import NamedTuple

import numpy as np

from planner.optics.arrays import Floats, Ints
from planner.optics.beams import crossed, even_points, frame

BANDS = 6
"""Parts of the spectrum, of equal steps in refractive index, that may be lit apart. Crystal spreads
its spectrum over about a degree; a sixth of that is less than the smallest lamps."""


class Discs(NamedTuple):
    """B discs of P places: a place is a direction of view, or one facet seen in it."""

    centre: Floats
    """(3, BANDS, B) unit vectors, axis by axis: sums over neighbours in memory take several times as long."""
    radius: Floats
    """(B,) radians."""
    edges: Ints
    """(P + 1,) where each place's discs begin, and their number."""


class Spots(NamedTuple):
    """E positions of a lamp, or the middles of its ways."""

    lamp: Floats
    """(3, E)"""
    along: Floats | None
    """(3, E) unit vectors along its ways; None where it stands."""
    disc: Ints
    """(E,) the disc it was taken from."""
    edges: Ints
    """(P + 1,) where each place's positions begin, and their number."""


def reached(radius: Floats, sweep: float) -> Floats:
    """Return (B,) area of the sky in which ways of length `sweep` (radians) meet a disc, their middles taken.

    The kinematic measure of arcs that meet a cap of the sphere, over all ways that they may run (Santalo,
    Integral Geometry and Geometric Probability, 2004, chapter 17): its area, and twice the length of the arc
    times the sine of its radius. `radius` (B,) is as a chord.
    """
    return np.pi * radius**2 + 2.0 * sweep * _sine(radius)


def sampled(discs: Discs, points: int, first: int, sweep: float = 0.0) -> Spots:
    """Return `points` positions or ways from each disc, evenly over it and over the parts of the spectrum.

    `first` is how many discs came before these: it tells places apart.
    """
    counts = np.diff(discs.edges)
    start = np.repeat(discs.edges[:-1], points * counts)
    salt = start + first
    number = np.arange(points * len(discs.radius)) - points * start
    disc = start + number % np.repeat(counts, points * counts)
    one, two = (part[number] for part in even_points(points * int(counts.max())))
    turn, pick = 2.0 * np.pi * ((one + 0.618 * salt) % 1.0), (two + 0.755 * salt) % 1.0
    centre = discs.centre[:, ((number + salt) * 5 // points) % BANDS, disc]
    right, up = frame(centre)
    if sweep > 0.0:
        ahead = np.cos(turn) * right + np.sin(turn) * up
        odds = (
            pick,
            (0.8191725134 * number + 0.382 * salt) % 1.0,
            (0.6710436067 * number + 0.236 * salt) % 1.0,
        )
        ways = _ways(centre, ahead, 0.9999 * discs.radius[disc], sweep, odds)
        return Spots(*ways, disc, points * discs.edges)
    r = discs.radius[disc] * np.sqrt(pick) * 0.9999
    lamp = centre + (r * np.cos(turn)) * right + (r * np.sin(turn)) * up
    return Spots(lamp, None, disc, points * discs.edges)


def _ways(
    centre: Floats, ahead: Floats, radius: Floats, sweep: float, odds: tuple[Floats, Floats, Floats]
) -> tuple[Floats, Floats]:
    """Return (3, E) middles and directions of ways that meet discs about `centre`, evenly over all that do.

    A great circle along `ahead` (3, E) passes a disc's centre at a distance whose sine is `off`, and is in
    the disc for `half` of a radian before and after it is nearest; the middle of a way lies anywhere from
    which some of it is in the disc.
    """
    rim = _sine(radius)
    strip = 1.0 - np.pi * radius**2 / reached(radius, sweep)
    # By their own length ways pass evenly over a disc's width; beyond that, as often as it is long there.
    rest = np.sqrt(np.clip((odds[0] - strip) / (1.0 - strip), 0.0, 1.0))
    longest = _sine(radius * rest) * np.cos(2.0 * np.pi * odds[1])
    off = np.where(odds[0] < strip, (2.0 * odds[1] - 1.0) * rim, longest)
    level = np.sqrt(1.0 - off**2)
    half = np.arccos(np.clip((1.0 - 0.5 * radius**2) / level, -1.0, 1.0))
    gone = (2.0 * odds[2] - 1.0) * (half + 0.5 * sweep)
    nearest = level * centre + off * crossed(centre, ahead)
    cosine, sine = np.cos(gone), np.sin(gone)
    return cosine * nearest + sine * ahead, cosine * ahead - sine * nearest


def _sine(chord: Floats) -> Floats:
    """Return the sine of the angle whose chord it is."""
    return np.asarray(chord * np.sqrt(np.maximum(1.0 - 0.25 * chord**2, 0.0)))


def lit_by(spots: Spots, discs: Discs, sweep: float = 0.0) -> tuple[Ints, Ints, Floats]:
    """Return which positions or ways meet which discs: (N,) of each, and (BANDS, N) what part of the time."""
    middle = discs.centre.mean(axis=1)
    apart = np.sqrt(_squared(discs.centre - middle[:, None]).max(axis=0))
    event, row = _near(spots, discs.edges, middle, 1.001 * (discs.radius + apart) + 0.5 * sweep)
    if spots.along is not None:
        return _passed(spots.lamp, spots.along, discs, middle, apart, sweep, event, row)
    lamp, reach = spots.lamp.take(event, axis=1), (discs.radius**2).take(row)
    inside = np.empty((BANDS, len(event)), bool)
    for band in range(BANDS):
        np.less(_squared(lamp - discs.centre[:, band].take(row, axis=1)), reach, out=inside[band])
    some = np.flatnonzero(inside.any(axis=0))
    return event[some], row[some], inside.take(some, axis=1).astype(np.float32)


def _passed(
    lamp: Floats, along: Floats, discs: Discs, middle: Floats, apart: Floats, sweep: float, event: Ints,
    row: Ints,
) -> tuple[Ints, Ints, Floats]:  # fmt: skip
    """Return `lit_by` for ways, of which some (N,) may meet some discs (N,)."""
    by = np.abs(_dots(crossed(lamp, along).take(event, axis=1), middle.take(row, axis=1)))
    near = np.flatnonzero(by < (1.001 * (discs.radius + apart))[row])
    event, row = event[near], row[near]
    at, ahead = lamp.take(event, axis=1), along.take(event, axis=1)
    found = np.empty((BANDS, len(event)), np.float32)
    within = (1.0 - 0.5 * discs.radius**2)[row]
    for band in range(BANDS):
        centre = discs.centre[:, band].take(row, axis=1)
        x, y = _dots(at, centre), _dots(ahead, centre)
        # NumPy's own hypotenuse takes four times as long as the root, whose squares are near 1 here.
        half = np.arccos(np.clip(within / np.sqrt(x * x + y * y), -1.0, 1.0))
        when = np.arctan2(y, x)
        ends = np.minimum(when + half, 0.5 * sweep) - np.maximum(when - half, -0.5 * sweep)
        found[band] = np.maximum(ends, 0.0) / sweep
    some = np.flatnonzero((found > 0.0).any(axis=0))
    return event[some], row[some], found.take(some, axis=1)


def _near(spots: Spots, edges: Ints, middle: Floats, reach: Floats) -> tuple[Ints, Ints]:
    """Return (N,) positions and discs, rising, of one place that may be no further apart than `reach` (B,).

    Positions are sorted along one axis, place by place; only those beside a disc are compared with it.
    """
    lamp, discs = spots.lamp, len(reach)
    # Places lie further apart on the axis than any two directions.
    shift = 4.0 * np.arange(len(edges) - 1)
    along = lamp[0] + np.repeat(shift, np.diff(spots.edges))
    order = np.argsort(along)
    along, at = along[order], middle[0] + np.repeat(shift, np.diff(edges))
    low, high = np.searchsorted(along, at - reach), np.searchsorted(along, at + reach, side="right")
    count = high - low
    place = np.arange(count.sum()) + np.repeat(low + count - np.cumsum(count), count)
    # Most are too far away along the next axis already.
    across = np.abs(lamp[1].take(order).take(place) - np.repeat(middle[1], count))
    beside = np.flatnonzero(across < np.repeat(reach + 1e-6, count))
    event, row = order.take(place.take(beside)), np.repeat(np.arange(discs), count).take(beside)
    step = lamp.take(event, axis=1) - middle.take(row, axis=1)
    near = np.flatnonzero(_squared(step) < (reach**2 + 1e-12)[row])
    return event[near], row[near]


def _dots(one: Floats, other: Floats) -> Floats:
    """Return (...) the products of vectors (3, ...)."""
    found = one[0] * other[0]
    found += one[1] * other[1]
    found += one[2] * other[2]
    return found


def _squared(vectors: Floats) -> Floats:
    """Return (...) the squares of how long vectors (3, ...) are."""
    return _dots(vectors, vectors)
