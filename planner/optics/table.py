"""Tables of what a film does on each class of facet, over the signed cosine.

A film is computed once for some thirty cosines; every beam then looks its factors up. Reflectance
and transmittance are interpolated alike, so no light is lost or made in between.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.optics.arrays import Floats, Ints
from planner.optics.cut import BACK
from planner.optics.film import stack
from planner.optics.merge import APART, OUTER, Classes, Merged

_PROPAGATING = 21
_TOTAL = 7
"""Number of cosines on either side of the critical angle."""

_EXACT = 1e-5
"""A total reflection this near to 1 is one."""


@dataclass(frozen=True)
class Film:
    """A film in T states (lots, or steps of one), outermost layer first."""

    index: Floats
    """(L, W) complex refractive index of each layer."""

    thickness: Floats
    """(T, L) nm on the table."""

    evenness: Floats
    """(T,) power of a facet's level by which the film is thinner there: 0 lies evenly."""


@dataclass(frozen=True)
class GlassBody:
    """The glass of a stone and what is at its back."""

    index_d: float
    """Refractive index at the sodium line, by which rays are followed."""

    index: Floats
    """(W,) refractive index over wavelength, for the films."""

    metal: Floats | None
    """(W,) complex index of the foil; None for a back without one."""

    mirror: float = 0.0
    """Reflectance of the back where there is no metal: 1 is an ideal mirror; at 0 all light ends
    there, as in glue on cloth."""

    window: bool = False
    """Whether the back is bare glass over an air gap instead."""


@dataclass(frozen=True)
class FilmTable:
    """Factors in T states, for C classes of facets, U signed cosines and W wavelengths."""

    u: Floats
    """(U,) rising."""

    front: Floats
    """(T, C, U, W) reflectance at the outside."""

    back: Floats
    """(T, C, U, W) reflectance inside; class `BACK` holds the foil."""

    through: Floats
    """(T, C, U, W) transmittance; class `BACK` holds what ends there."""

    total_is_one: bool
    """Whether total internal reflection loses nothing, so that it need not be looked up."""


def cosines(index_d: float) -> Floats:
    """Return the (U,) signed cosines of a table for glass of that index."""
    lowest = np.sqrt(index_d**2 - 1.0)
    return np.concatenate([np.linspace(-lowest, 0.0, _TOTAL)[:-1], np.linspace(0.0, 1.0, _PROPAGATING)])


def film_table(
    wavelengths: Floats, body: GlassBody, classes: Classes, crown: Film | None, under_foil: Film | None
) -> FilmTable:
    """Return the table of a stone with a film on its crown, under its foil, on both or on neither."""
    u = cosines(body.index_d)
    # Where a dispersive glass cannot carry so oblique a ray at every wavelength, take the most oblique.
    invariant = np.minimum(np.sqrt(1.0 - np.sign(u) * u**2), 0.9995 * body.index.min())
    front, back, through = _crown(wavelengths, body, classes, crown, invariant)
    mirror = _mirror(wavelengths, body, under_foil, invariant)
    states = max(len(front), len(mirror))
    front, back, through = (np.repeat(part, states // len(part), axis=0) for part in (front, back, through))
    back[:, BACK] = mirror
    through[:, BACK] = 1.0 - mirror
    total = bool((back[:, BACK + 1 :, u < 0] > 1.0 - _EXACT).all())
    return FilmTable(u, front, back, through, total)


def joined(tables: Sequence[FilmTable]) -> FilmTable:
    """Return one table of the states of several, all for the same glass and classes."""
    front, back, through = (
        np.concatenate([getattr(table, name) for table in tables]) for name in ("front", "back", "through")
    )
    return FilmTable(tables[0].u, front, back, through, all(table.total_is_one for table in tables))


def _crown(
    wavelengths: Floats, body: GlassBody, classes: Classes, film: Film | None, invariant: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return front, back and through, each (T, C, U, W)."""
    count = len(classes.levels)
    if film is None:
        film = Film(np.empty((0, len(wavelengths)), complex), np.empty((1, 0)), np.zeros(1))
        thin = np.ones((1, 1))
    else:
        thin = np.power(classes.levels[None, :], film.evenness[:, None])
    layers = film.thickness.shape[1]
    thickness = (thin[:, :, None] * film.thickness[:, None, :]).reshape(thin.size, layers)
    air = np.ones(len(wavelengths))
    got = stack(wavelengths, invariant, thickness, film.index, air, body.index)
    shape = (len(thin), -1, len(invariant), len(wavelengths))
    parts = (got.front.reshape(shape), got.back.reshape(shape), got.through.reshape(shape))
    front, back, through = (np.broadcast_to(p, (len(p), count, *p.shape[2:])) for p in parts)
    return front.astype(np.float32), back.astype(np.float32), through.astype(np.float32)


def _mirror(wavelengths: Floats, body: GlassBody, film: Film | None, invariant: Floats) -> Floats:
    """Return (T, U, W) reflectance at the back, from inside the glass; a film needs metal to lie on."""
    count = 1 if film is None else len(film.thickness)
    if body.window:
        air = np.ones(len(wavelengths))
        bare = np.empty((0, len(wavelengths)), complex)
        found = stack(wavelengths, invariant, np.empty((1, 0)), bare, air, body.index).back
        return np.repeat(found, count, axis=0)
    if body.metal is None:
        return np.full((count, len(invariant), len(wavelengths)), body.mirror)
    if film is None:
        film = Film(np.empty((0, len(wavelengths)), complex), np.empty((1, 0)), np.zeros(1))
    return stack(wavelengths, invariant, film.thickness, film.index, body.index, body.metal).front


_CELLS = 200_000
"""Numbers worked on at once: few enough to stay in the processor's cache."""


def factors(merged: Merged, table: FilmTable) -> Floats:
    """Return (M, T, W) share of light that each group of beams carries, body colour apart."""
    states, _, _, bands = table.front.shape
    front, back, through = (_Lookup(table.u, part) for part in (table.front, table.back, table.through))
    found = np.empty((len(merged.path), states * bands), np.float32)
    outer = np.flatnonzero(merged.last == OUTER)
    found[outer] = front.at(merged.first[outer], merged.first_u[outer])
    inner = np.flatnonzero(merged.last != OUTER)
    inner = inner[np.argsort(merged.leaks[inner], kind="stable")]
    step = max(8, _CELLS // found.shape[1])
    for start in range(0, len(inner), step):
        rows = inner[start : start + step]
        found[rows] = _inside(merged, rows, back, through, total_is_one=table.total_is_one)
    return found.reshape(-1, states, bands)


def _inside(merged: Merged, rows: Ints, back: "_Lookup", through: "_Lookup", *, total_is_one: bool) -> Floats:
    """Return (N, T·W) what beams carry that went through the stone."""
    carried = through.at(merged.first[rows], merged.first_u[rows])
    out = through.at(merged.last[rows], merged.last_u[rows])
    end = np.flatnonzero(merged.final[rows])
    # The last beam of a chain takes its share of each further round with it: T (1 + R + R2 + ...).
    out[end] /= 1.0 - np.minimum(back.at(merged.last[rows[end]], merged.last_u[rows[end]]), 0.999)
    carried *= out
    _leak(carried, back, merged, rows)
    for half in range(2):
        _reflect(carried, back, BACK, merged.foil[rows, half], merged.foil_u[rows, half])
    for number in range(BACK + 1, 0 if total_is_one else merged.total.shape[1]):
        _reflect(carried, back, number, merged.total[rows, number], merged.total_u[rows, number])
    return carried


class _Lookup:
    """Linear interpolation in u; rows lie whole in memory, so that fetching one is a plain copy."""

    def __init__(self, u: Floats, values: Floats) -> None:
        _states, classes, self._nodes, _bands = values.shape
        self._u = u
        self._rows = np.ascontiguousarray(values.transpose(1, 2, 0, 3)).reshape(classes * self._nodes, -1)
        self._steps = self._rows[1:] - self._rows[:-1]
        self.width = self._rows.shape[1]

    def at(self, number: Ints, u: Floats) -> Floats:
        """Return (N, T·W) values for N classes and cosines."""
        place = np.interp(u, self._u, np.arange(self._nodes))
        low = np.minimum(place.astype(int), self._nodes - 2)
        row = number * self._nodes + low
        found = self._steps.take(row, axis=0)
        found *= (place - low).astype(np.float32)[:, None]
        found += self._rows.take(row, axis=0)
        return found


def _leak(carried: Floats, back: _Lookup, merged: Merged, rows: Ints) -> None:
    """Multiply (N, T·W) in place by reflectances averaged over classes.

    The most oblique's first, last the others' as often as there are others.
    """
    leaks = merged.leaks[rows]
    for other in range(min(int(leaks.max(initial=0)), APART)):
        use = np.flatnonzero(leaks > other)
        mean = _averaged(back, merged.leak_share[rows[use], other], merged.leak_u[rows[use], other])
        carried[use] *= mean if other < APART - 1 else _power(mean, leaks[use] - other)


def _averaged(back: _Lookup, share: Floats, u: Floats) -> Floats:
    """Return (N, T·W) reflectances averaged over classes by (N, C) shares, at (N, C) cosines."""
    row, number = np.nonzero(share[:, BACK + 1 :] > 0)
    number += BACK + 1
    starts = np.flatnonzero(np.diff(row, prepend=-1))
    place = np.arange(len(row)) - np.repeat(starts, np.diff(starts, append=len(row)))
    mean = np.zeros((len(share), back.width), np.float32)
    # The first class of every row, then the second of those that have two, and so on.
    for turn in range(int(place.max(initial=-1)) + 1):
        at = np.flatnonzero(place == turn)
        part = back.at(number[at], u[row[at], number[at]])
        weight = share[row[at], number[at]].astype(np.float32)
        if turn or not np.all(weight == 1.0):
            part *= weight[:, None]
        mean[row[at]] += part
    return mean


def _power(once: Floats, times: Ints) -> Floats:
    """Return (N, T·W) values to whole powers (N,) from 1."""
    found = once.copy()
    for power in range(1, int(times.max(initial=1))):
        again = np.flatnonzero(times > power)
        found[again] *= once[again]
    return found


def _reflect(inside: Floats, back: _Lookup, kind: int, count: Floats, u: Floats) -> None:
    """Multiply (N, T·W) in place by `count` reflections on a class of facet."""
    use = np.flatnonzero(count > 1e-6)
    if not len(use):
        return
    once = back.at(np.full(len(use), kind), u[use])
    times = count[use].astype(np.float32)
    powers = np.flatnonzero(np.abs(times - 1.0) > 1e-6)
    once[powers] = np.power(np.maximum(once[powers], np.float32(1e-12)), times[powers, None])
    inside[use] *= once
