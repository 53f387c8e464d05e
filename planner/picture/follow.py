"""Rays from the eye through cut stones, one for each sample of a picture.

The same cut, film, foil and body as in every reading, but ray by ray: a picture needs the place
where a ray meets the stone, and each stone has its own pose, film thickness and wedge.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from planner.optics.arrays import Floats, Ints
from planner.optics.cut import BACK, Facets
from planner.optics.trace import Back
from planner.picture.lamps import Lamps, arriving

STOP = 0.01
"""A ray is followed until no more than this share of its light is left, as the eye weighs it."""

MAX_HITS = 24
"""Longest chain; what is left then meets the light spread evenly."""

FINER = 4
"""Steps of a film's table between two of its cosines."""

_LEAST = np.float32(1e-6)
"""Light carried at one wavelength below which there is none."""

_DARK = 20.0
"""Optical depth of what is black."""

_NUDGE = 0.01
"""Step of the glass index by which dispersion is found."""


@dataclass(frozen=True, eq=False)
class Matter:
    """What stones are made of, at the N nodes of `planner.picture.bands`."""

    facets: Facets
    index: float
    """Glass index by which rays are followed."""
    offset: Floats
    """(N,) glass index at the nodes, less that one."""
    back: Back
    millimetres: float
    absorption: Floats
    """(N,) per mm; zeros for clear glass."""
    waviness: Floats
    """() radians."""
    under: Floats
    """(N,) radiance factor of the cloth under an unfoiled stone, for what reaches it."""
    classes: Ints
    """(S or 1, P) film class of every facet, stone by stone."""
    table: Floats
    """(T·C·U, 2N) reflectance inside, then transmittance, by state, class and cosine."""
    front: Floats
    """(T·C·U, N) reflectance outside."""
    shape: tuple[int, int]
    """C and U."""
    lowest: float
    """The least signed cosine of the tables; the highest is 1. They step evenly."""

    @property
    def indices(self) -> Floats:
        """(2, 1) the glass index, and one step above."""
        return np.array([[self.index], [self.index + _NUDGE]], np.float32)


@dataclass(frozen=True, eq=False)
class Posed:
    """S stones as they are turned to the viewer at a moment."""

    turn: Floats
    """(S, 3, 3) from a stone's frame to the viewer's."""
    back_normal: Floats
    """(S, 3) normal of each foil, out of true by the wedge; in the stone's frame."""
    state: Ints
    """(S,) film state."""


def even_tables(u: Floats, values: Floats) -> Floats:
    """Return (T, C, U', W) tables at evenly spaced, finer cosines, so that the nearest row serves."""
    count = FINER * (len(u) - 1) + 1
    fine = np.linspace(u[0], u[-1], count)
    place = np.clip(np.searchsorted(u, fine) - 1, 0, len(u) - 2)
    share = ((fine - u[place]) / (u[place + 1] - u[place]))[:, None]
    return values[:, :, place] * (1.0 - share) + values[:, :, place + 1] * share


def enter(matter: Matter, posed: Posed, stone: Ints, start: Floats) -> tuple[Ints, Ints, Floats, Floats]:
    """Aim rays at their stones: return which hit, and for those the facet, the place and the depth.

    Parameters
    ----------
    matter, posed
        The stones.
    stone
        (R,) which stone a ray is aimed at.
    start
        (R, 3) a point of each ray in its stone's frame, diameters.

    """
    facets = matter.facets
    eye = posed.turn[:, 2]
    along = -(eye @ facets.normals.T).astype(np.float32)[stone]
    gap = facets.offsets.astype(np.float32) - start @ facets.normals.T.astype(np.float32)
    with np.errstate(divide="ignore", invalid="ignore"):
        distance = gap / along
    inward = np.where(along < 0, distance, -np.inf)
    facet, nearest = inward.argmax(axis=1), inward.max(axis=1)
    hit = np.flatnonzero(nearest < np.where(along > 0, distance, np.inf).min(axis=1))
    nearest = nearest[hit]
    position = start[hit] - nearest[:, None] * eye[stone[hit]].astype(np.float32)
    return hit, facet[hit], position.astype(np.float32), -nearest


def follow(matter: Matter, posed: Posed, lights: Lamps, stone: Ints, facet: Ints, position: Floats) -> Floats:
    """Return (R, 3) linear light of rays that meet a stone at `facet` and `position`.

    Rays of one stone that have met the same facets share their direction, and with it all but their
    place: such a group is a chain, and what an eye knows as a facet seen in a facet. Light is reckoned
    once for a chain, with its rays' mean way through the glass.
    """
    sides = len(matter.facets.rows)
    pair, ray = _grouped(stone * sides + facet, len(posed.turn) * sides)
    chains, light = _begin(matter, posed, lights, pair // sides, pair % sides)
    found = np.empty((len(stone), 3), np.float32)
    rays = _Rays(np.arange(len(stone)), ray, position)
    for _ in range(MAX_HITS):
        rays, chains, facet, light = _next(matter, posed, rays, chains, light)
        light = light + _let_out(matter, posed, lights, chains, facet)
        chains = _reflect(matter, posed, chains, facet)
        dim = chains.carried @ lights.eye <= STOP
        ended = dim[rays.chain]
        light[dim] += chains.carried[dim] @ lights.anywhere
        found[rays.place[ended]] = light[rays.chain[ended]]
        if dim.all():
            return found
        number = np.cumsum(~dim) - 1
        kept = np.flatnonzero(~ended)
        rays = _Rays(rays.place[kept], number[rays.chain[kept]], rays.position[kept])
        chains, light = chains.take(np.flatnonzero(~dim)), light[~dim]
    light += chains.carried @ lights.anywhere
    found[rays.place] = light[rays.chain]
    return found


class _Rays(NamedTuple):
    """R rays still under way."""

    place: Ints
    """(R,) which of all rays."""
    chain: Ints
    """(R,)"""
    position: Floats
    """(R, 3)"""


class _Chains(NamedTuple):
    """C chains inside their stones."""

    stone: Ints
    way: Floats
    """(2, C, 3) at the glass index and one step above."""
    carried: Floats
    """(C, N)"""
    waves: Floats
    """(C,) squared: how many times the waviness the direction spreads."""
    cosine: Floats
    """(2, C) to the facet just met."""
    rows: Ints
    """(C,) of the tables, for the facet just met."""

    def take(self, kept: Ints) -> "_Chains":
        return _Chains(
            self.stone[kept], self.way[:, kept], self.carried[kept], self.waves[kept], self.cosine[:, kept],
            self.rows[kept],
        )  # fmt: skip


def _grouped(code: Ints, most: int) -> tuple[Ints, Ints]:
    """Return the codes below `most` that occur, and the place of each of `code` among them."""
    there = np.zeros(most, bool)
    there[code] = True
    return np.flatnonzero(there), (np.cumsum(there) - 1)[code]


def _begin(matter: Matter, posed: Posed, lights: Lamps, stone: Ints, facet: Ints) -> tuple[_Chains, Floats]:
    """Return the chains of the first facets, refracted into the glass, and the light these mirror."""
    normal = matter.facets.normals[facet].astype(np.float32)
    eye = posed.turn[stone, 2].astype(np.float32)
    cosine = np.einsum("cx,cx->c", eye, normal)
    index = matter.indices
    inner = np.sqrt(1.0 - (1.0 - cosine**2) / index**2)
    way = -eye / index[..., None] + (cosine / index - inner)[..., None] * normal
    waves = (matter.index * inner[0] - cosine) ** 2
    row = _rows(matter, posed, stone, facet, cosine)
    mirrored = 2.0 * cosine[:, None] * normal - eye
    blur = np.full(len(stone), 2.0 * float(matter.waviness), np.float32)
    still = np.zeros_like(mirrored)
    light = _leave(matter, posed, lights, stone, matter.front[row], mirrored, still, blur)
    carried = matter.table[row, matter.front.shape[1] :]
    return _Chains(stone, way, carried, waves, np.stack([cosine, cosine]), row), light


def _next(
    matter: Matter, posed: Posed, rays: _Rays, chains: _Chains, light: Floats
) -> tuple[_Rays, _Chains, Ints, Floats]:
    """Take every ray to the facet it meets next; return also that of each chain, and its light so far."""
    normals, sides = matter.facets.normals.astype(np.float32), len(matter.facets.rows)
    along = chains.way[0] @ normals.T
    with np.errstate(divide="ignore"):
        ahead = np.where(along > 1e-6, 1.0 / along, np.float32(np.inf))
    distance = matter.facets.offsets.astype(np.float32) - rays.position @ normals.T
    np.maximum(distance, np.float32(1e-9), out=distance)
    distance *= ahead[rays.chain]
    met = distance.argmin(axis=1)
    step = np.take_along_axis(distance, met[:, None], axis=1)
    position = rays.position + step * chains.way[0][rays.chain]
    pair, chain = _grouped(rays.chain * sides + met, len(ahead) * sides)
    before, facet = pair // sides, pair % sides
    chains = chains.take(before)
    carried = chains.carried
    if matter.absorption.any():
        mean = np.bincount(chain, step[:, 0]) / np.bincount(chain)
        depth = (matter.millimetres * mean.astype(np.float32))[:, None] * matter.absorption
        carried = carried * np.exp(-np.minimum(depth, np.float32(_DARK)))
    normal = _normal(matter, posed, chains.stone, facet)
    cosine = np.einsum("vcx,cx->vc", chains.way, normal)
    row = _rows(matter, posed, chains.stone, facet, _signed(cosine[0], matter.indices[0]))
    chains = chains._replace(carried=carried, cosine=cosine, rows=row)
    return _Rays(rays.place, chain, position), chains, facet, light[before]


def _normal(matter: Matter, posed: Posed, stone: Ints, facet: Ints) -> Floats:
    normal = matter.facets.normals.astype(np.float32)[facet]
    at_back = facet == BACK
    normal[at_back] = posed.back_normal[stone[at_back]]
    return normal


def _let_out(matter: Matter, posed: Posed, lights: Lamps, chains: _Chains, facet: Ints) -> Floats:
    """Return (C, 3) the light of what leaves by the facets just met."""
    light = np.zeros((len(facet), 3), np.float32)
    count, index = matter.front.shape[1], matter.index
    at_back = facet == BACK
    out = np.flatnonzero((chains.cosine[0] ** 2 > 1.0 - index**-2) & ~at_back)
    gone = chains.take(out)
    u = _signed(gone.cosine, matter.indices)
    normal = _normal(matter, posed, gone.stone, facet[out])
    carried = gone.carried * matter.table[gone.rows, count:]
    light[out] = _refracted(
        matter, posed, lights, gone.stone, carried, gone.way, normal, gone.cosine, u, gone.waves
    )
    if matter.back != "foil":
        ends = np.flatnonzero(at_back)
        through = chains.carried[ends] * matter.table[chains.rows[ends], count:]
        light[ends] = (through * matter.under) @ lights.cloth
    return light


def _reflect(matter: Matter, posed: Posed, chains: _Chains, facet: Ints) -> _Chains:
    """Return the chains as they go on inside."""
    at_back = facet == BACK
    carried = chains.carried * matter.table[chains.rows, : matter.front.shape[1]]
    # Numbers too small to be normal slow every step that follows.
    carried[carried < _LEAST] = 0.0
    if matter.back == "sink":
        carried[at_back] = 0.0
    normal = _normal(matter, posed, chains.stone, facet)
    way = chains.way - 2.0 * chains.cosine[..., None] * normal
    # A facet out of true by e turns what it reflects by 2e inside, about 2ne outside.
    waves = chains.waves + np.where(at_back, np.float32(0.0), np.float32(4.0 * 1.5**2))
    return chains._replace(way=way, carried=carried, waves=waves)


def _signed(cosine: Floats, index: Floats) -> Floats:
    squared = 1.0 - index**2 * (1.0 - cosine**2)
    return np.copysign(np.sqrt(np.abs(squared)), squared)


def _rows(matter: Matter, posed: Posed, stone: Ints, facet: Ints, u: Floats) -> Ints:
    """Return (R,) the rows of the tables nearest to signed cosines `u`."""
    classes, nodes = matter.shape
    own = matter.classes[stone if len(matter.classes) > 1 else 0, facet]
    step = (u - matter.lowest) * ((nodes - 1) / (1.0 - matter.lowest))
    place = np.clip(np.rint(step), 0, nodes - 1).astype(np.int64)
    return (posed.state[stone] * classes + own) * nodes + place


def _refracted(
    matter: Matter, posed: Posed, lights: Lamps, stone: Ints, carried: Floats, way: Floats,
    normal: Floats, cosine: Floats, u: Floats, waves: Floats,
) -> Floats:  # fmt: skip
    """Return (R, 3) light of the parts that leave by a facet."""
    index, air = matter.indices, np.maximum(u, 0.0)
    outgoing = way * index[..., None] + (air - index * cosine)[..., None] * normal
    by_index = (outgoing[1] - outgoing[0]) / np.float32(_NUDGE)
    bend = (index[0] * cosine[0] - air[0]) ** 2
    blur = np.float32(matter.waviness) * np.sqrt(waves + bend)
    return _leave(matter, posed, lights, stone, carried, outgoing[0], by_index, blur)


def _leave(
    matter: Matter, posed: Posed, lights: Lamps, stone: Ints, carried: Floats, outgoing: Floats,
    by_index: Floats, blur: Floats,
) -> Floats:  # fmt: skip
    """Return (R, 3) light that arrives along directions in the stones' own frames."""
    light = np.empty((len(stone), 3), np.float32)
    below = outgoing[:, 2] < 0.0
    light[below] = carried[below] @ lights.cloth
    up = np.flatnonzero(~below)
    turn = posed.turn.astype(np.float32)[stone[up]]
    towards = (turn @ outgoing[up, :, None])[..., 0]
    change = (turn @ by_index[up, :, None])[..., 0]
    light[up] = arriving(lights, carried[up], towards, change, blur[up], matter.offset)
    return light
