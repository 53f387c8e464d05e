"""Rays from the eye through cut stones, one for each sample of a picture.

The same cut, film, foil and body as in every reading, but ray by ray: a picture needs the place
where a ray meets the stone, and each stone has its own pose, film thickness and wedge.
"""

from dataclasses import dataclass

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
    """Return (R, 3) linear light of rays that meet a stone at `facet` and `position`."""
    normals = matter.facets.normals.astype(np.float32)
    seen = _Entry.at(matter, posed)
    pair = stone * len(normals) + facet
    row = _rows(matter, posed, stone, facet, seen.cosine[pair])
    front, table = matter.front[row], matter.table[row]
    count = matter.front.shape[1]
    blur = np.full(len(stone), 2.0 * float(matter.waviness), np.float32)
    still = np.zeros((len(stone), 3), np.float32)
    light = _leave(matter, posed, lights, stone, front, seen.mirrored[pair], still, blur)
    ray = np.arange(len(stone))
    carried, way = table[:, count:], seen.inside[:, pair]
    waves = seen.waves[pair]
    for _ in range(MAX_HITS):
        along = way[0] @ normals.T
        gap = np.maximum(matter.facets.offsets.astype(np.float32) - position @ normals.T, np.float32(1e-9))
        distance = np.where(along > 1e-6, gap / np.maximum(along, 1e-6), np.inf)
        facet = distance.argmin(axis=1)
        step = distance[np.arange(len(facet)), facet]
        position = position + step[:, None] * way[0]
        if matter.absorption.any():
            depth = (matter.millimetres * step)[:, None] * matter.absorption
            carried = carried * np.exp(-np.minimum(depth, np.float32(_DARK)))
        at_back = facet == BACK
        normal = normals[facet]
        normal[at_back] = posed.back_normal[stone[at_back]]
        cosine = np.einsum("vrx,rx->vr", way, normal)
        u = _signed(cosine, matter.indices)
        table = matter.table[_rows(matter, posed, stone, facet, u[0])]
        out = np.flatnonzero((u[0] > 0) & ~at_back)
        light[ray[out]] += _refracted(
            matter, posed, lights, stone[out], carried[out] * table[out, count:], way[:, out], normal[out],
            cosine[:, out], u[:, out], waves[out],
        )  # fmt: skip
        if matter.back != "foil":
            ends = np.flatnonzero(at_back)
            light[ray[ends]] += (carried[ends] * table[ends, count:] * matter.under) @ lights.cloth
        carried = carried * table[:, :count]
        # Numbers too small to be normal slow every step that follows.
        carried[carried < _LEAST] = 0.0
        if matter.back == "sink":
            carried[at_back] = 0.0
        way = way - 2.0 * cosine[..., None] * normal
        # A facet out of true by e turns what it reflects by 2e inside, about 2ne outside.
        waves = waves + np.where(at_back, np.float32(0.0), np.float32(4.0 * 1.5**2))
        left = carried @ lights.eye
        dim = np.flatnonzero(left <= STOP)
        light[ray[dim]] += carried[dim] @ lights.anywhere
        kept = np.flatnonzero(left > STOP)
        way = way[:, kept]
        ray, stone, position, carried, waves = (part[kept] for part in (ray, stone, position, carried, waves))
        if not len(ray):
            break
    light[ray] += carried @ lights.anywhere
    return light


@dataclass(frozen=True, eq=False)
class _Entry:
    """What the first facet does to a ray from the eye: (S·P, ...) for every stone and facet."""

    cosine: Floats
    inside: Floats
    """(2, S·P, 3) refracted, at the glass index and one step above."""
    mirrored: Floats
    waves: Floats
    """(S·P,) squared: how many times the waviness the direction spreads."""

    @classmethod
    def at(cls, matter: Matter, posed: Posed) -> "_Entry":
        normal = matter.facets.normals
        eye = posed.turn[:, 2]
        cosine = (eye @ normal.T).ravel()
        normal = np.tile(normal, (len(eye), 1))
        eye = np.repeat(eye, len(matter.facets.rows), axis=0)
        index = matter.indices
        inner = np.sqrt(1.0 - (1.0 - cosine**2) / index**2)
        inside = -eye / index[..., None] + (cosine / index - inner)[..., None] * normal
        waves = (matter.index * inner[0] - cosine) ** 2
        mirrored = 2.0 * cosine[:, None] * normal - eye
        return cls(*(part.astype(np.float32) for part in (cosine, inside, mirrored, waves)))


def _signed(cosine: Floats, index: Floats) -> Floats:
    squared = 1.0 - index**2 * (1.0 - cosine**2)
    return np.sign(squared) * np.sqrt(np.abs(squared))


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
