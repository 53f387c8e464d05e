"""Discs of the sky in which a lamp is seen through a beam, and positions of the lamp sampled from them.

See `planner.optics.flash`. Discs are worked on many views at a time.
"""

from typing import NamedTuple

import numpy as np

from planner.optics.arrays import Floats, Ints
from planner.optics.beams import even_points, frame

BANDS = 6
"""Parts of the spectrum, of equal steps in refractive index, that may be lit apart. Crystal spreads
its spectrum over about a degree; a sixth of that is less than the smallest lamps."""


class Discs(NamedTuple):
    """B discs of P places: a place is a direction of view, or one facet seen in it."""

    centre: Floats
    """(B, BANDS, 3) unit vectors."""
    radius: Floats
    """(B,) radians."""
    edges: Ints
    """(P + 1,) where each place's discs begin, and their number."""


class Spots(NamedTuple):
    """E positions of a lamp."""

    lamp: Floats
    """(E, 3)"""
    disc: Ints
    """(E,) the disc it was taken from."""
    edges: Ints
    """(P + 1,) where each place's positions begin, and their number."""


def sampled(discs: Discs, points: int, first: int) -> Spots:
    """Return `points` positions from each disc, evenly over it and over the parts of the spectrum.

    `first` is how many discs came before these: it tells places apart.
    """
    counts = np.diff(discs.edges)
    start = np.repeat(discs.edges[:-1], points * counts)
    salt = start + first
    number = np.arange(points * len(discs.radius)) - points * start
    disc = start + number % np.repeat(counts, points * counts)
    one, two = (part[number] for part in even_points(points * int(counts.max())))
    turn, pick = 2.0 * np.pi * ((one + 0.618 * salt) % 1.0), (two + 0.755 * salt) % 1.0
    centre = discs.centre[disc, ((number + salt) * 5 // points) % BANDS]
    right, up = frame(centre)
    r = discs.radius[disc] * np.sqrt(pick) * 0.9999
    lamp = centre + (r * np.cos(turn))[:, None] * right + (r * np.sin(turn))[:, None] * up
    return Spots(lamp, disc, points * discs.edges)


def lit_by(spots: Spots, discs: Discs) -> tuple[Ints, Ints, Ints]:
    """Return which positions lie over which discs: (N,) of each, and (N, BANDS) in which bands."""
    lamp, middle = spots.lamp, discs.centre.mean(axis=1)
    apart = np.sqrt(_squared(discs.centre - middle[:, None]).max(axis=1))
    event, row = _near(spots, discs.edges, middle, 1.001 * (discs.radius + apart))
    # Axis by axis: a sum over three neighbours in memory takes several times as long.
    away = np.zeros((len(event), BANDS))
    for axis in range(3):
        step = lamp[event, axis, None] - discs.centre[:, :, axis][row]
        step *= step
        away += step
    inside = away < (discs.radius[row] ** 2)[:, None]
    some = inside.any(axis=1)
    return event[some], row[some], inside[some]


def _near(spots: Spots, edges: Ints, middle: Floats, reach: Floats) -> tuple[Ints, Ints]:
    """Return (N,) positions and discs of one place that may be no further apart than `reach` (B,).

    Positions are sorted along one axis, place by place; only those beside a disc are compared with it.
    """
    lamp, discs = spots.lamp, len(reach)
    # Places lie further apart on the axis than any two directions.
    shift = 4.0 * np.arange(len(edges) - 1)
    along = lamp[:, 0] + np.repeat(shift, np.diff(spots.edges))
    order = np.argsort(along)
    along, at = along[order], middle[:, 0] + np.repeat(shift, np.diff(edges))
    low, high = np.searchsorted(along, at - reach), np.searchsorted(along, at + reach, side="right")
    count = high - low
    row = np.repeat(np.arange(discs), count)
    event = order[np.arange(len(row)) - np.repeat(np.cumsum(count) - count - low, count)]
    away = np.zeros(len(row))
    for axis in range(3):
        step = lamp[event, axis] - middle[row, axis]
        away += step * step
    near = np.flatnonzero(away < (reach**2 + 1e-12)[row])
    event, row = event[near], row[near]
    order = np.argsort(event, kind="stable")
    return event[order], row[order]


def _squared(vectors: Floats) -> Floats:
    return np.einsum("...i,...i->...", vectors, vectors)
