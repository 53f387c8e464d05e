"""Beams with nearly the same film factors taken together, so that a whole palette is one product.

What a film does to a beam depends only on the class of each facet that it meets (facets on which
the film is equally thick are one class) and on the signed cosine there; what the body does, on the
path. Beams are merged where these agree within a step; the heavier a kind of beam, the finer the
step. Merging by the mean cosine of a whole kind would be far too coarse: it moves the glow of jet
by a CIEDE2000 of 1.5.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from planner.colour.ordered import alike, numbered
from planner.optics.arrays import Floats, Ints
from planner.optics.beams import Beams
from planner.optics.cut import BACK, Facets

OUTER = -1
"""Class number, in `Merged.last`, of light reflected at the outside."""

FINEST = 0.1
"""Step of u for the heaviest kinds of beam. Merging so moves a glow by a CIEDE2000 of 0.1 or less
on average, and 0.3 at the most, against beams hardly merged at all."""

COARSEST = 3.0
"""Step for kinds that carry next to nothing: they are not parted at all."""

APART = 4
"""How many reflections inside that also let light out are kept apart, the last standing for all
others: the most oblique reflect most, and a mean to a power is not the mean of products."""

MINOR = 0.003
"""Kinds below this share are told apart by the number of partial reflections alone."""


@dataclass(frozen=True)
class Classes:
    """Facets by how thick a film lies on them; the back is always class 0."""

    of: Ints
    """(D, P) class of each facet for each direction of view."""

    levels: Floats
    """(C,) cosine between facet and source, relative to the table's: thickness is nominal times
    the level to the power of the film's evenness."""


def on_axis(facets: Facets, views: int) -> Classes:
    """Return the classes of a film from a source above the table, or of stones that turn."""
    rows = facets.rows.astype(int)
    levels = np.zeros(facets.table + 1)
    levels[rows] = np.cos(facets.slopes).clip(0.0)
    levels[BACK] = 1.0
    return Classes(np.broadcast_to(rows, (views, len(rows))), levels)


def off_axis(facets: Facets, views: int, angle: float) -> Classes:
    """Return the classes of a film from a source at `angle` (radians) from the table's axis.

    A stone is set with any turn about its axis: each direction of view has a turn of its own.
    """
    step = 0.04
    turn = 2.0 * np.pi * ((np.arange(1, views + 1) * 0.5698402910) % 1.0)
    source = np.stack(
        [np.sin(angle) * np.cos(turn), np.sin(angle) * np.sin(turn), np.full(views, np.cos(angle))], axis=1
    )
    level = (source @ facets.normals.T).clip(0.0) / np.cos(angle)
    number = 1 + np.round(level / step).astype(int)
    number[:, BACK] = BACK
    used, of = numbered(number.ravel(), int(number.max()) + 1)
    levels = (used - 1) * step
    levels[BACK] = 1.0
    return Classes(of.reshape(number.shape), levels)


@dataclass(frozen=True)
class Merged:
    """M groups of beams; every cosine, count and length is a mean weighted by the beams.

    First come those reflected at the outside, then all others by `leaks`, rising.
    """

    first: Ints
    """(M,) class of the facet that the eye sees."""
    first_u: Floats
    """(M,)"""
    last: Ints
    """(M,) class of the facet left by; `OUTER` for outer reflections, `BACK` on the cloth."""
    last_u: Floats
    """(M,)"""
    final: Ints
    """(M,) True where all that is left leaves."""
    leaks: Ints
    """(M,) number of reflections inside which also let light out, at the back apart."""
    leak: Ints
    """(N, 3) which of these meet which classes: place, group and class, rising. The most oblique of a group
    has place 0, the next ones follow, and the last of `APART` places is for all others."""
    leak_share: Floats
    """(N,) share of a place's reflections that falls on the class; adds up to 1 for each group and place."""
    leak_u: Floats
    """(N,) their mean signed cosine."""
    foil: Floats
    """(M, 2) number of reflections at the back: the steeper ones and the flatter ones, which a
    film under the foil shows in different hues."""
    foil_u: Floats
    """(M, 2) their mean signed cosine."""
    total: Floats
    """(M, C) number of total internal reflections."""
    total_u: Floats
    """(M, C) their mean signed cosine."""
    path: Floats
    """(M,) diameters."""
    of_beam: Ints
    """(B,) the group of each beam."""


def merge(beams: Beams, classes: Classes, finest: float = FINEST) -> Merged:
    """Group beams by the classes they meet and by their cosines there, in steps from `finest`."""
    first = classes.of[beams.view, beams.first]
    last = np.where(beams.last >= 0, classes.of[beams.view, np.maximum(beams.last, 0)], OUTER)
    # Slot by slot in memory: sums over the slots of each beam are then quick.
    slots, slots_u = np.ascontiguousarray(beams.slots.T), np.ascontiguousarray(beams.slots_u.T)
    at_crown = slots > BACK
    of = classes.of.astype(np.int16).ravel()
    met = of.take(beams.view * classes.of.shape[1] + slots, mode="clip")
    np.putmask(met, ~at_crown, len(classes.levels))
    number = at_crown.sum(axis=0)
    energy = _rough_energy(beams, number)
    # Which classes reflect, in whatever order: a sum of one large number for each.
    exact = _number(first, last + 1, beams.final, _mixed(met, len(classes.levels)))
    rough = _number(first, last + 1, beams.final, number)
    minor = _share(exact, energy) < MINOR
    kind = _number(np.where(minor, rough, exact + rough.max() + 1))
    step = np.clip(finest * (0.03 / _share(kind, energy)) ** 0.4, finest, COARSEST)
    # Outer reflections are all that an opaque stone shows, and have one cosine only.
    step = np.where(last == OUTER, 0.25 * finest, step)
    oblique = np.where(at_crown, slots_u, np.float32(np.inf)).min(axis=0)
    inner = np.where(number > 0, oblique, 0.0)
    depth = 0.4 * np.log(np.maximum(beams.path, 0.05))
    cells = (np.floor(part / step + 0.5).astype(int) for part in (beams.first_u, beams.last_u, inner, depth))
    lead, group = _ordered(_number(kind, *cells), last == OUTER, number)
    weights = np.bincount(group, energy)

    def mean(values: Floats) -> Floats:
        return np.bincount(group, energy * values) / weights

    leaks = _leaks(at_crown, met, slots_u, group, energy, len(classes.levels))
    foil, foil_sum = (
        np.stack([mean(part) for part in each], axis=1) for each in _foil(beams, slots == BACK, slots_u)
    )
    total, total_u = _total(beams, mean, classes)
    return Merged(
        first[lead], mean(beams.first_u), last[lead], mean(beams.last_u), beams.final[lead], number[lead],
        *leaks, foil, _divided(foil_sum, foil), total, total_u, mean(beams.path), group.astype(np.int32),
    )  # fmt: skip


def _ordered(group: Ints, outer: Ints, leaks: Ints) -> tuple[Ints, Ints]:
    """Return (M,) a beam of each group, in the order of `Merged`, and (B,) the groups so numbered."""
    lead = np.zeros(int(group.max()) + 1, int)
    lead[group] = np.arange(len(group))
    order = np.lexsort((leaks[lead], ~outer[lead]))
    place = np.empty_like(order)
    place[order] = np.arange(len(order))
    return lead[order], place[group]


def _small(values: Floats) -> Floats:
    return values.astype(np.float32)


def _rough_energy(beams: Beams, leaks: Ints) -> Floats:
    """Return about what a beam carries under a film: less with each of its chances to leave (B,)."""
    left = 0.2 ** np.arange(len(beams.slots.T) + 1)
    return beams.weight * np.where(beams.last < 0, 0.2, left[leaks])


def _leaks(
    at_crown: Ints, met: Ints, slots_u: Floats, group: Ints, energy: Floats, classes: int
) -> tuple[Ints, Floats, Floats]:
    """Return `Merged.leak`, `leak_share` and `leak_u` for leaks `at_crown`, with classes `met` (SLOTS, B)."""
    slot, beam = np.nonzero(at_crown)
    place = _places(np.where(at_crown, slots_u, np.float32(2.0)))[slot, beam].astype(int)
    groups, kind, u = int(group.max()) + 1, met[slot, beam], slots_u[slot, beam]
    cell = (np.minimum(place, APART - 1) * groups + group[beam]) * classes + kind
    found, own = numbered(cell, APART * groups * classes)
    counts, sums = (np.bincount(own, part, len(found)) for part in (energy[beam], energy[beam] * u))
    of = found // classes
    share = counts / np.bincount(of, counts, APART * groups)[of]
    leak = np.stack([of // groups, of % groups, found % classes], axis=1).astype(np.int32)
    return leak, _small(share), _small(sums / counts)


def _places(u: Floats) -> Ints:
    """Return (SLOTS, B) the place of each when those of a beam are ordered, the least first."""
    place = np.zeros(u.shape, np.int8)
    for one in range(len(u)):
        for other in range(one + 1, len(u)):
            before = u[other] < u[one]
            place[one] += before
            place[other] += ~before
    return place


def _divided(sums: Floats, counts: Floats) -> Floats:
    """Return sums by counts; where there is nothing, nothing comes of it."""
    return sums / np.where(counts > 0, counts, 1.0)


def _foil(beams: Beams, at_back: Ints, slots_u: Floats) -> tuple[Sequence[Floats], Sequence[Floats]]:
    """Return counts and sums of u at the back, (B,) each: above and below the beam's mean there.

    `at_back` and `slots_u` are (SLOTS, B).
    """
    own = slots_u * at_back
    mean = own.sum(axis=0) / np.maximum(at_back.sum(axis=0), 1)
    steep = at_back & (slots_u >= mean - 1e-9)
    flat = at_back & ~steep
    later, later_u = beams.rest[:, BACK], beams.rest_u[:, BACK]
    number = steep.sum(axis=0).astype(float), flat.sum(axis=0) + later.astype(float)
    return number, ((own * steep).sum(axis=0), (own * flat).sum(axis=0) + later * later_u)


def _total(beams: Beams, mean: Callable[[Floats], Floats], classes: Classes) -> tuple[Floats, Floats]:
    """Return `Merged.total` and `total_u`; a row of facets goes to a like class."""
    count, rows = len(classes.levels), beams.rest.shape[1]
    number, total = [np.zeros(1)] * count, [np.zeros(1)] * count
    for row in range(BACK + 1, rows):
        # Upright sides carry the least film and the table all of it, whatever the classes are.
        like = (row - 1) / (rows - 2) * classes.levels.max()
        column = row if count == rows else 1 + int(np.abs(classes.levels[1:] - like).argmin())
        number[column] = number[column] + mean(beams.rest[:, row])
        total[column] = total[column] + mean(beams.rest[:, row] * beams.rest_u[:, row])
    counts, sums = (np.stack(np.broadcast_arrays(*each), axis=1) for each in (number, total))
    return _small(counts), _small(_divided(sums, counts))


def _share(kind: Ints, energy: Floats) -> Floats:
    """Return (B,) the share of all energy that a beam's kind carries."""
    return (np.bincount(kind, energy) / energy.sum())[kind]


def _mixed(met: Ints, classes: int) -> Ints:
    """Return (B,) one number for the classes met (SLOTS, B), whatever their order; C counts for none."""
    own = _hashed(np.zeros(classes + 1, np.uint64), np.arange(1, classes + 2))
    own[classes] = 0
    return np.asarray(own.take(met).sum(axis=0))


def _number(*columns: Ints) -> Ints:
    """Return (B,) a small number for each distinct row of columns (B,)."""
    code = np.zeros(len(columns[0]), np.uint64)
    for column in columns:
        code = _hashed(code, column)
    return alike(code)[1]


def _hashed(code: Ints, column: Ints) -> Ints:
    code = (code ^ column.astype(np.uint64)) * np.uint64(0x9E3779B97F4A7C15)
    return code ^ code >> np.uint64(29)
