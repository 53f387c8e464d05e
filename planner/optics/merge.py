"""Beams with nearly the same film factors taken together, so that a whole palette is one product.

What a film does to a beam depends only on the class of each facet that it meets (facets on which
the film is equally thick are one class) and on the signed cosine there; what the body does, on the
path. Beams are merged where these agree within a step; the heavier a kind of beam, the finer the
step. Merging by the mean cosine of a whole kind would be far too coarse: it moves the glow of jet
by a CIEDE2000 of 1.5.
"""

from dataclasses import dataclass

import numpy as np

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
    used, of = np.unique(number, return_inverse=True)
    levels = (used - 1) * step
    levels[BACK] = 1.0
    return Classes(of.reshape(number.shape), levels)


@dataclass(frozen=True)
class Merged:
    """M groups of beams; every cosine, count and length is a mean weighted by the beams."""

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
    leak_share: Floats
    """(M, `APART`, C) how the most oblique of these, the next ones, and all others are shared between
    the classes; each adds up to 1 where there are any."""
    leak_u: Floats
    """(M, `APART`, C) their mean signed cosine."""
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
    leaks, leak_sum = _leaks(beams, classes)
    number = leaks.sum(axis=(1, 2)).astype(int)
    energy = _rough_energy(beams)
    exact = _number(np.column_stack([first, last + 1, beams.final, leaks.sum(axis=1)]))
    rough = _number(np.column_stack([first, last + 1, beams.final, number]))
    minor = _share(exact, energy) < MINOR
    kind = _number(np.where(minor, rough, exact + rough.max() + 1)[:, None])
    step = np.clip(finest * (0.03 / _share(kind, energy)) ** 0.4, finest, COARSEST)
    # Outer reflections are all that an opaque stone shows, and have one cosine only.
    step = np.where(last == OUTER, 0.25 * finest, step)
    inner = leak_sum[:, 0].sum(axis=1)
    depth = 0.4 * np.log(np.maximum(beams.path, 0.05))
    cells = np.column_stack([beams.first_u, beams.last_u, inner, depth]) / step[:, None]
    group = _number(np.column_stack([kind, np.floor(cells + 0.5).astype(int)]))
    weights = np.bincount(group, energy)

    def mean(values: Floats) -> Floats:
        return np.bincount(group, energy * values) / weights

    def means(counts: Floats, sums: Floats) -> tuple[Floats, Floats]:
        flat = (len(group), -1)
        number = np.stack([mean(column) for column in counts.reshape(flat).T], axis=1)
        cosine = np.stack([mean(column) for column in sums.reshape(flat).T], axis=1)
        shape = (len(weights), *counts.shape[1:])
        return number.reshape(shape), (cosine / np.where(number > 0, number, 1.0)).reshape(shape)

    lead = np.zeros(len(weights), int)
    lead[group] = np.arange(len(group))
    leak_mean, leak_u = means(leaks, leak_sum)
    share = leak_mean / np.maximum(leak_mean.sum(axis=2, keepdims=True), 1e-12)
    foil, foil_u = means(*_foil(beams))
    total, total_u = means(*_total(beams, classes))
    return Merged(
        first[lead], mean(beams.first_u), last[lead], mean(beams.last_u),
        beams.final[lead],
        number[lead], _small(share), _small(leak_u),
        foil, foil_u, _small(total), _small(total_u), mean(beams.path), group.astype(np.int32),
    )  # fmt: skip


def _small(values: Floats) -> Floats:
    return values.astype(np.float32)


def _rough_energy(beams: Beams) -> Floats:
    """Return about what a beam carries under a film: less with each chance to leave."""
    leaks = (beams.slots > BACK).sum(axis=1)
    return beams.weight * np.where(beams.last < 0, 0.2, 0.2**leaks)


def _leaks(beams: Beams, classes: Classes) -> tuple[Floats, Floats]:
    """Return (B, APART, C) counts and sums of u of reflections inside that also let light out."""
    number, total = (np.zeros((len(beams.view), APART, len(classes.levels))) for _ in range(2))
    at_crown = beams.slots > BACK
    # Rank by u, most oblique first, within each beam.
    order = np.where(at_crown, beams.slots_u, 2.0).argsort(axis=1, kind="stable").argsort(axis=1)
    for slot in range(beams.slots.shape[1]):
        use = np.flatnonzero(at_crown[:, slot])
        column = classes.of[beams.view[use], beams.slots[use, slot]]
        place = np.minimum(order[use, slot], APART - 1)
        number[use, place, column] += 1
        total[use, place, column] += beams.slots_u[use, slot]
    return number, total


def _foil(beams: Beams) -> tuple[Floats, Floats]:
    """Return (B, 2) counts and sums of u at the back: above and below the beam's mean there."""
    at_back = beams.slots == BACK
    mean = (beams.slots_u * at_back).sum(axis=1) / np.maximum(at_back.sum(axis=1), 1)
    steep = at_back & (beams.slots_u >= mean[:, None] - 1e-9)
    flat = at_back & ~steep
    later, later_u = beams.rest[:, BACK], beams.rest_u[:, BACK]
    number = np.column_stack([steep.sum(axis=1), flat.sum(axis=1) + later])
    total = [(beams.slots_u * steep).sum(axis=1), (beams.slots_u * flat).sum(axis=1) + later * later_u]
    return number.astype(float), np.column_stack(total)


def _total(beams: Beams, classes: Classes) -> tuple[Floats, Floats]:
    """Return (B, C) counts and sums of u of total reflections; a row goes to a like class."""
    count, rows = len(classes.levels), beams.rest.shape[1]
    number, total = np.zeros((len(beams.view), count)), np.zeros((len(beams.view), count))
    for row in range(BACK + 1, rows):
        # Upright sides carry the least film and the table all of it, whatever the classes are.
        like = (row - 1) / (rows - 2) * classes.levels.max()
        column = row if count == rows else 1 + int(np.abs(classes.levels[1:] - like).argmin())
        number[:, column] += beams.rest[:, row]
        total[:, column] += beams.rest[:, row] * beams.rest_u[:, row]
    return number, total


def _share(kind: Ints, energy: Floats) -> Floats:
    """Return (B,) the share of all energy that a beam's kind carries."""
    return (np.bincount(kind, energy) / energy.sum())[kind]


def _number(columns: Ints) -> Ints:
    """Return (B,) a small number for each distinct row."""
    code = np.zeros(len(columns), np.uint64)
    for column in columns.T:
        code = (code ^ column.astype(np.int64).astype(np.uint64)) * np.uint64(0x9E3779B97F4A7C15)
        code ^= code >> np.uint64(29)
    return np.unique(code, return_inverse=True)[1]
