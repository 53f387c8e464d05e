"""Tables of what a film does on each class of facet, over the signed cosine.

A film is computed once for some thirty cosines; every beam then looks its factors up. Reflectance
and transmittance are interpolated alike, so no light is lost or made in between.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from planner.colour.ordered import alike, distinct
from planner.optics.arrays import Floats, Ints
from planner.optics.cut import BACK
from planner.optics.film import stack
from planner.optics.merge import APART, OUTER, Classes, Merged
from planner.optics.sparse import Sparse, starts_of

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


@dataclass(frozen=True, eq=False)
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
    """Factors in T states, for C classes of facets, U signed cosines and W wavelengths.

    What lies under the foil alone leaves the crown as it is, and the other way round: what is the same
    in all states is held once, in a first axis of 1.
    """

    u: Floats
    """(U,) rising."""

    front: Floats
    """(T or 1, C, U, W) reflectance at the outside."""

    back: Floats
    """(T or 1, C, U, W) reflectance inside, at the crown; class `BACK` holds nothing."""

    through: Floats
    """(T or 1, C, U, W) transmittance of the crown, likewise."""

    mirror: Floats
    """(T or 1, U, W) reflectance at the back."""

    states: int
    """T"""

    lossy: Ints
    """Those of the W wavelengths at which a total internal reflection loses something; most lose nothing."""

    def whole(self) -> tuple[Floats, Floats, Floats]:
        """Return `front`, `back` and `through` (T, C, U, W), with the foil in class `BACK`."""
        front, back, through = (
            np.repeat(part, self.states // len(part), axis=0)
            for part in (self.front, self.back, self.through)
        )
        back[:, BACK], through[:, BACK] = self.mirror, 1.0 - self.mirror
        return front, back, through


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
    if under_foil is None:
        mirror = _bare_mirror(body, np.asarray(wavelengths, float).tobytes(), invariant.tobytes())
    else:
        mirror = _mirror(wavelengths, body, under_foil, invariant).astype(np.float32)
    lossy = np.flatnonzero((back[:, BACK + 1 :, u < 0] < 1.0 - _EXACT).any(axis=(0, 1, 2)))
    return FilmTable(u, front, back, through, mirror, max(len(front), len(mirror)), lossy)


def joined(tables: Sequence[FilmTable]) -> FilmTable:
    """Return one table of the states of several, all for the same glass and classes."""
    counts = [table.states for table in tables]
    parts = {
        name: _together([getattr(table, name) for table in tables], counts)
        for name in ("front", "back", "through", "mirror")
    }
    lossy = distinct(np.concatenate([table.lossy for table in tables]))
    return FilmTable(tables[0].u, **parts, states=sum(counts), lossy=lossy)


def _together(parts: Sequence[Floats], counts: Sequence[int]) -> Floats:
    """Return one part of several tables, of so many states each; once where it is the same in all."""
    first = parts[0]
    if len(first) == 1 and all(
        part.shape == first.shape and np.array_equal(part, first) for part in parts[1:]
    ):
        return first
    return np.concatenate(
        [np.repeat(part, count // len(part), axis=0) for part, count in zip(parts, counts, strict=True)]
    )


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
        thin[:, BACK] = 0.0
    layers = film.thickness.shape[1]
    thickness = (thin[:, :, None] * film.thickness[:, None, :]).reshape(thin.size, layers)
    air = np.ones(len(wavelengths))
    # Upright sides carry no film in any state: what is equally thick is computed once.
    lead, which = _alike(thickness)
    got = stack(wavelengths, invariant, thickness[lead], film.index, air, body.index, single=True)
    shape = (len(thin), -1, len(invariant), len(wavelengths))
    parts = (part[which.ravel()].reshape(shape) for part in got.arrays())
    front, back, through = (np.broadcast_to(p, (len(p), count, *p.shape[2:])) for p in parts)
    return front, back, through


def _alike(rows: Floats) -> tuple[Ints, Ints]:
    """Return where each distinct row (N, L) comes first, and which of these each row is."""
    if not rows.shape[1]:
        return np.zeros(1, int), np.zeros(len(rows), int)
    # Compared as they lie in memory: axis by axis takes four times as long.
    whole = np.ascontiguousarray(rows).view(np.dtype((np.void, rows.itemsize * rows.shape[1])))
    return alike(whole.ravel())


@lru_cache(maxsize=64)
def _bare_mirror(body: GlassBody, wavelengths: bytes, invariant: bytes) -> Floats:
    """Return `_mirror` of a back without a film, read-only: it is the same for all films on the crown."""
    found = _mirror(np.frombuffer(wavelengths), body, None, np.frombuffer(invariant)).astype(np.float32)
    found.flags.writeable = False
    return found


def _mirror(wavelengths: Floats, body: GlassBody, film: Film | None, invariant: Floats) -> Floats:
    """Return (T, U, W) reflectance at the back, from inside the glass; a film needs metal to lie on."""
    count = 1 if film is None else len(film.thickness)
    if body.window:
        air = np.ones(len(wavelengths))
        bare = np.empty((0, len(wavelengths)), complex)
        found = stack(wavelengths, invariant, np.empty((1, 0)), bare, air, body.index, single=True).back
        return np.repeat(found, count, axis=0)
    if body.metal is None:
        return np.full((count, len(invariant), len(wavelengths)), body.mirror)
    if film is None:
        film = Film(np.empty((0, len(wavelengths)), complex), np.empty((1, 0)), np.zeros(1))
    return stack(
        wavelengths, invariant, film.thickness, film.index, body.index, body.metal, single=True
    ).front


_ROWS, _COLUMNS = 1024, 512
"""Groups of beams, and states × wavelengths, worked on at once: few enough to stay in the cache."""


def factors(merged: Merged, table: FilmTable) -> Floats:
    """Return (M, T, W) share of light that each group of beams carries, body colour apart."""
    bands = table.front.shape[-1]
    found = np.empty((len(merged.path), table.states, bands), np.float32)
    outside, groups = int(np.count_nonzero(merged.last == OUTER)), len(merged.path)
    outer = slice(0, outside)
    parts = [slice(first, min(first + _ROWS, groups)) for first in range(outside, groups, _ROWS)]
    front, back, through = (_nodes(part) for part in (table.front, table.back, table.through))
    mirror = _nodes(table.mirror[:, None])
    on_front = _Lookup(table.u, merged.first[outer], merged.first_u[outer])
    ways = [_Way(merged, rows, table.u, table.lossy) for rows in parts]
    foils = [way.at_back(mirror) for way in ways]
    step = max(1, _COLUMNS // bands)
    for start in range(0, table.states, step):
        states = slice(start, start + step)
        some = [part if part.shape[1] == 1 else part[:, states] for part in (front, back, through)]
        found[outer, states] = on_front(some[0])
        for way, foil in zip(ways, foils, strict=True):
            crown = way.at_crown(some[1], some[2])
            own = foil if foil.shape[1] == 1 else foil[:, states]
            np.multiply(crown, own, out=found[way.rows, states])
    return found


def _nodes(values: Floats) -> Floats:
    """Return (C·U, T, W) for (T, C, U, W): what a `_Lookup` weighs."""
    states, classes, nodes, bands = values.shape
    return np.ascontiguousarray(values.transpose(1, 2, 0, 3)).reshape(classes * nodes, states, bands)


def _run(places: Ints) -> slice | Ints:
    """Return places (N,), rising, as a slice where none is left out: what a slice takes is not copied."""
    whole = len(places) > 0 and places[-1] - places[0] + 1 == len(places)
    return slice(int(places[0]), int(places[-1]) + 1) if whole else places


class _Lookup:
    """Linear interpolation in u for N rows, as a sparse product of weights with nodes.

    A row may be a mean over several classes, each at its own cosine.
    """

    def __init__(
        self, u: Floats, number: Ints, cosine: Floats, row: Ints | None = None, share: Floats | None = None
    ) -> None:
        """Weigh class `number` at `cosine`, all (E,): a row each, or those of `row`, rising, by `share`."""
        place = np.interp(cosine, u, np.arange(len(u)))
        low = np.minimum(place.astype(np.int32), len(u) - 2)
        node, part = number * len(u) + low, place - low
        weight = np.stack([1.0 - part, part], axis=1) * (1.0 if share is None else share[:, None])
        rows = len(number) if row is None else int(row.max(initial=-1)) + 1
        counts = np.ones(rows, int) if row is None else np.bincount(row, minlength=rows)
        self._first, nodes = int(node.max(initial=0)) + 2, np.stack([node, node + 1], axis=1).ravel()
        # In the types of the product, which is taken for one part of the states after another.
        starts, nodes = (part.astype(np.int32) for part in (starts_of(2 * counts), nodes))
        self._weights = Sparse(starts, nodes, weight.ravel().astype(np.float32), self._first)

    def __call__(self, nodes: Floats) -> Floats:
        """Return (N, T, W) values for `_nodes` (C·U, T, W)."""
        flat = nodes[: self._first].reshape(self._first, -1)
        return (self._weights @ flat).reshape(-1, *nodes.shape[1:])


class _Way:
    """What N groups of beams meet on their way through the stone, ready for any film."""

    def __init__(self, merged: Merged, rows: slice, u: Floats, lossy: Ints) -> None:
        """Take the N groups `rows`."""
        self.rows = rows
        first, last, leaks = merged.first[rows], merged.last[rows], merged.leaks[rows]
        final = merged.final[rows].astype(bool)
        self._in = _Lookup(u, first, merged.first_u[rows])
        leaves = np.flatnonzero(last != BACK)
        self._leaves = _run(leaves)
        last_u = merged.last_u[rows]
        self._out = _Lookup(u, last[leaves], last_u[leaves])
        self._end = np.flatnonzero(final & (last != BACK))
        self._again = _Lookup(u, last[self._end], last_u[self._end])
        self._leaks = []
        for other, (row, number, share, cosine) in enumerate(_leaks_of(merged, rows)):
            start = int(np.searchsorted(leaks, other, side="right"))
            mean = _Lookup(u, number, cosine, row - start, share)
            times = leaks[start:] - other if other == APART - 1 else np.ones(len(leaks) - start, int)
            self._leaks.append((start, mean, times))
        self._lossy, self._total = _run(lossy), None
        many = merged.total[rows, BACK + 1 :]
        row, number = np.nonzero(many > _NONE)
        if len(lossy) and len(row):
            cosine = merged.total_u[rows, BACK + 1 :][row, number]
            self._total = _Lookup(u, number + BACK + 1, cosine, row, many[row, number])
        self._foil = [_Reflections(u, 0, merged.foil[rows, h], merged.foil_u[rows, h]) for h in range(2)]
        self._ends = np.flatnonzero(last == BACK)
        self._end_final = np.flatnonzero(final[self._ends])
        self._sunk = _Lookup(u, np.zeros(len(self._ends), int), last_u[self._ends])

    def at_crown(self, back: Floats, through: Floats) -> Floats:
        """Return (N, T, W) what is left of beams, the back taken as a perfect mirror."""
        carried = self._in(through)
        carried[self._leaves] *= self._out(through)
        # The last beam of a chain takes its share of each further round with it: T (1 + R + R2 + ...).
        carried[self._end] /= 1.0 - np.minimum(self._again(back), np.float32(0.999))
        for start, mean, times in self._leaks:
            carried[start:] *= _power(mean(back), times)
        if self._total is not None:
            # Logarithms at the nodes add up, for all classes in one go: powers take thrice as long.
            logs = self._total(np.log(np.maximum(back[:, :, self._lossy], np.float32(1e-12))))
            carried[: len(logs), :, self._lossy] *= np.exp(logs, out=logs)
        return carried

    def at_back(self, mirror: Floats) -> Floats:
        """Return (N, T, W) what the back leaves of beams: of its reflections, and where they end there."""
        left = np.ones((self.rows.stop - self.rows.start, *mirror.shape[1:]), np.float32)
        for one in self._foil:
            one.reflect(left, mirror)
        returned = self._sunk(mirror)
        out = 1.0 - returned
        out[self._end_final] /= 1.0 - np.minimum(returned[self._end_final], np.float32(0.999))
        left[self._ends] *= out
        return left


def _leaks_of(merged: Merged, rows: slice) -> Iterator[tuple[Ints, Ints, Floats, Floats]]:
    """Yield, place by place, what of `Merged.leak` the groups `rows` have.

    That is which of them each is (rising), its class, share and mean signed cosine.
    """
    place, group, number = merged.leak.T
    at = place.astype(int) * len(merged.path) + group
    for other in range(APART):
        first, end = np.searchsorted(at, other * len(merged.path) + np.array([rows.start, rows.stop]))
        if first == end:
            return
        some = slice(first, end)
        yield group[some] - rows.start, number[some], merged.leak_share[some], merged.leak_u[some]


_NONE = 1e-6
"""Reflections in the mean that are as good as none."""


class _Reflections:
    """Reflections on one class of facet, as many for each of N groups as `count` (N,) says."""

    def __init__(self, u: Floats, kind: int, count: Floats, cosine: Floats) -> None:
        self._use = np.flatnonzero(count > _NONE)
        self._once = _Lookup(u, np.full(len(self._use), kind), cosine[self._use])
        self._times = count[self._use].astype(np.float32)
        self._powers = np.flatnonzero(np.abs(self._times - 1.0) > 1e-6)

    def reflect(self, carried: Floats, nodes: Floats) -> None:
        """Multiply (N, T, W) in place."""
        once, some = self._once(nodes), self._powers
        # A logarithm and its inverse are quicker than a power.
        logs = np.log(np.maximum(once[some], np.float32(1e-12)))
        logs *= self._times[some, None, None]
        once[some] = np.exp(logs, out=logs)
        carried[self._use] *= once


def _power(once: Floats, times: Ints) -> Floats:
    """Return (N, T, W) values to whole powers (N,) from 1; rises in place of `once`."""
    first = once.copy() if times.max(initial=1) > 1 else once
    for power in range(1, int(times.max(initial=1))):
        again = np.flatnonzero(times > power)
        once[again] *= first[again]
    return once
