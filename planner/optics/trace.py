"""The tracer: follows rays from the eye through a cut and gathers them into `Beams`.

All rays of one direction that have met the same facets share their direction and every cosine;
such a group is a chain. Only positions and lengths are kept ray by ray.
"""

from dataclasses import dataclass, fields, replace
from typing import Literal, NamedTuple

import numpy as np

from planner.colour.ordered import alike, numbered
from planner.optics.arrays import Floats, Ints
from planner.optics.beams import (
    FOIL_SLOTS,
    KEPT_REFLECTANCE,
    MAX_HITS,
    SLOTS,
    STOP,
    Beams,
    even_points,
    frame,
    view_directions,
)
from planner.optics.cut import BACK, Facets

Back = Literal["foil", "sink", "window"]
"""What happens at the back: all is reflected; all ends there; it may end there or be reflected."""

_THIN_AT = (8, 12, 16, 24, 40)
"""Hits after which every second ray is dropped and the others count double: what is left by then
is a small, well mixed share of the light."""

_TOGETHER = 2048
"""Rays whose distances from all facets are compared at once: few enough to stay in the processor's cache."""

_STEP = 1e-4
"""Step of the numerical derivatives of directions, radians or index."""


_KEPT_AS = {
    "view": np.int32, "first": np.int16, "last": np.int16, "first_u": np.float32, "last_u": np.float32,
    "slots_u": np.float32, "rest_u": np.float32, "path": np.float32, "by_index": np.float32,
    "by_wedge": np.float32, "by_waviness": np.float32,
}  # fmt: skip


class _Rays(NamedTuple):
    position: Floats
    """(R, 3)"""
    length: Floats
    """(R,) inside the glass so far, in diameters."""
    weight: Floats
    """(R,)"""
    chain: Ints
    """(R,) which chain a ray belongs to."""


@dataclass(frozen=True)
class _Chains:
    view: Ints
    first: Ints
    first_u: Floats
    direction: Floats
    """(C, 4, 3) inside the glass: as cut, at a changed index, with the back tilted two ways."""
    energy: Floats
    """(C,) the largest share of light that can be left."""
    used: Ints
    """(C,) slots in use."""
    foils: Ints
    """(C,) slots used for the back."""
    slots: Ints
    slots_u: Floats
    rest: Ints
    rest_u: Floats
    """(C, rows) sum, not mean, while tracing."""
    waviness: Floats
    """(C,) squared."""

    def take(self, rows: Ints) -> "_Chains":
        return _Chains(**{f.name: getattr(self, f.name).take(rows, axis=0) for f in fields(self)})


def trace(facets: Facets, index: float, views: int = 48, rays: int = 400, back: Back = "foil") -> Beams:
    """Return the beams of a cut of glass with refractive index `index`.

    Parameters
    ----------
    facets
        The cut.
    index
        Refractive index at the sodium line.
    views
        Number of directions of view, spread over the cone of tilts.
    rays
        Number of parallel rays aimed at the stone for each direction; about two thirds hit.
    back
        "foil": a mirror, whose reflectance comes later. "sink": light ends at the back, as in
        glue on cloth. "window": it may end there or be reflected, as over an air gap.

    """
    eyes, share = view_directions(views)
    variants = _variants(facets, index)
    state, shine, total = _enter(facets, variants, eyes, share, rays)
    found = [shine]
    for hit in range(1, MAX_HITS):
        rays_now, chains = state
        if not len(rays_now.weight):
            break
        state, leaving = _bounce(facets, variants, rays_now, chains, back)
        found.extend(leaving)
        if hit in _THIN_AT:
            state = _thin(*state)
    return _gather(eyes, share, found, total)


@dataclass(frozen=True)
class _Variants:
    normals: Floats
    """(P, 4, 3) facet normals of the four variants of `_Chains.direction`."""
    index: Floats
    """(4,) refractive index of each."""


def _variants(facets: Facets, index: float) -> _Variants:
    normals = np.repeat(facets.normals[:, None, :], 4, axis=1)
    normals[BACK, 2] = [_STEP, 0.0, -1.0]
    normals[BACK, 3] = [0.0, _STEP, -1.0]
    normals[BACK] /= np.linalg.norm(normals[BACK], axis=-1, keepdims=True)
    return _Variants(normals, np.array([index, index + _STEP, index, index]))


def _enter(
    facets: Facets, variants: _Variants, eyes: Floats, share: Floats, rays: int
) -> tuple[tuple[_Rays, _Chains], dict[str, Floats | Ints], float]:
    """Aim rays at the stone; return those inside, the outer reflections, and the area hit."""
    start, view, area = _aim(facets, eyes, rays)
    facet, nearest, hit = _seen_facet(facets, start, view, eyes)
    start, view, facet, nearest = start[hit], view[hit], facet[hit], nearest[hit]
    position = (start - nearest[:, None] * eyes[view]).astype(np.float32)
    lead, chain = alike(view * 128 + facet)
    weight = area * share[view]
    chains, shine = _first_chains(facets, variants, eyes, view[lead], facet[lead])
    shine["weight"] = np.bincount(chain, weight)
    shine["path"] = np.zeros(len(lead))
    inside = _Rays(position, np.zeros(len(view)), weight, chain)
    return (inside, chains), shine, float(weight.sum())


def _seen_facet(facets: Facets, start: Floats, view: Ints, eyes: Floats) -> tuple[Ints, Floats, Ints]:
    """Return (R,) the facet that each ray comes to first, how far away it is, and whether there is any."""
    normals, offsets = facets.normals.T.astype(np.float32), facets.offsets.astype(np.float32)
    towards = -eyes.astype(np.float32) @ normals
    facet, nearest, hit = np.empty(len(view), int), np.empty(len(view), np.float32), np.empty(len(view), bool)
    for first in range(0, len(view), _TOGETHER):
        some = slice(first, first + _TOGETHER)
        along = towards.take(view[some], axis=0)
        distance = offsets - start[some] @ normals
        with np.errstate(divide="ignore", invalid="ignore"):
            distance /= along
        inward = np.where(along < 0, distance, np.float32(-np.inf))
        facet[some] = inward.argmax(axis=1)
        nearest[some] = inward.max(axis=1)
        hit[some] = nearest[some] < np.where(along > 0, distance, np.float32(np.inf)).min(axis=1)
    return facet, nearest, hit


def _aim(facets: Facets, eyes: Floats, rays: int) -> tuple[Floats, Ints, float]:
    """Return starting points on a disc before the stone, their view, and the area of each."""
    corners = 1.0 / np.cos(np.pi / max(3, int((facets.rows == 1).sum())))
    radius = 0.5 * corners + 0.5 * facets.height * np.sqrt(1 - eyes[:, 2].min() ** 2)
    first, second = even_points(rays)
    turn = np.arange(1, len(eyes) + 1)[:, None]
    r = radius * np.sqrt((first + 0.6180339887 * turn) % 1.0)
    azimuth = 2.0 * np.pi * ((second + 0.7548776662 * turn) % 1.0)
    right, up = (one.T for one in frame(eyes.T))
    plane = (r * np.cos(azimuth))[..., None] * right[:, None] + (r * np.sin(azimuth))[..., None] * up[:, None]
    points = plane + 4.0 * eyes[:, None] + np.array([0.0, 0.0, 0.5 * facets.height])
    area = np.pi * radius**2 / rays
    return points.reshape(-1, 3).astype(np.float32), np.repeat(np.arange(len(eyes)), rays), area


def _first_chains(
    facets: Facets, variants: _Variants, eyes: Floats, view: Ints, facet: Ints
) -> tuple[_Chains, dict[str, Floats | Ints]]:
    """Return one chain for each facet seen, refracted into the glass, and its outer reflection."""
    count, rows = len(view), facets.table + 1
    eye = np.repeat(eyes[view][:, None, :], 4, axis=1)
    normal = variants.normals[facet]
    cosine = (eye * normal).sum(axis=-1)
    inside = np.sqrt(1.0 - (1.0 - cosine**2) / variants.index**2)
    direction = -eye / variants.index[:, None] + (cosine / variants.index - inside)[..., None] * normal
    refraction = (variants.index[0] * inside[:, 0] - cosine[:, 0]) ** 2
    chains = _Chains(
        view, facet, cosine[:, 0], direction, np.ones(count), np.zeros(count, int), np.zeros(count, int),
        np.full((count, SLOTS), -1, np.int8), np.zeros((count, SLOTS)),
        np.zeros((count, rows), np.int16), np.zeros((count, rows)), refraction,
    )  # fmt: skip
    mirrored = 2.0 * cosine[:, :1] * normal[:, 0] - eye[:, 0]
    shine = _leaving(chains, np.full(count, -1), cosine[:, 0], np.repeat(mirrored[:, None], 4, axis=1))
    shine["by_waviness"] = np.full(count, 2.0)
    return chains, shine


def _leaving(chains: _Chains, last: Ints, last_u: Floats, outgoing: Floats) -> dict[str, Floats | Ints]:
    """Return the columns of `Beams` for chains that leave; `outgoing` is (C, 4, 3)."""
    return {
        "view": chains.view,
        "first": chains.first,
        "first_u": chains.first_u,
        "last": last,
        "last_u": last_u,
        "final": np.zeros(len(last_u), bool),
        "slots": chains.slots,
        "slots_u": chains.slots_u,
        "rest": chains.rest,
        "rest_u": chains.rest_u / np.maximum(chains.rest, 1),
        "outgoing": outgoing[:, 0],
        "by_index": (outgoing[:, 1] - outgoing[:, 0]) / _STEP,
        "by_wedge": (outgoing[:, 2:] - outgoing[:, :1]) / _STEP,
    }


def _bounce(
    facets: Facets, variants: _Variants, rays: _Rays, chains: _Chains, back: Back
) -> tuple[tuple[_Rays, _Chains], list[dict[str, Floats | Ints]]]:
    """Take every ray to the next facet: return what goes on inside, and the beams that leave."""
    met, step = _next_facet(facets, rays, chains)
    position = rays.position + step[:, None] * chains.direction[:, 0].astype(np.float32).take(
        rays.chain, axis=0
    )
    parent, facet, chain = _parted(rays.chain, met, len(chains.view), len(facets.rows))
    length = rays.length + step
    weight = np.bincount(chain, rays.weight)
    path = np.bincount(chain, rays.weight * length) / weight

    inside, normal = chains.direction.take(parent, axis=0), variants.normals.take(facet, axis=0)
    cosine = np.einsum("cvi,cvi->cv", inside, normal)
    u = signed_cosine(cosine, variants.index)
    at_back = facet == BACK
    leaves = (u[:, 0] > 0) & ~at_back
    out = np.flatnonzero(leaves)
    energy, room = chains.energy[parent], chains.used[parent] < SLOTS
    energy[out] *= _kept(u[out, 0], cosine[out, 0], variants.index[0])
    goes_on = (room | ~leaves) & (energy > STOP)
    if back == "sink":
        goes_on &= ~at_back
    beams = _refract_out(chains.take(parent[out]), variants, facet[out], u[out], cosine[out], normal[out])
    found = [beams | {"weight": weight[out], "path": path[out], "final": ~goes_on[out]}]
    if back != "foil":
        ends = np.flatnonzero(at_back)
        ended = _end(chains.take(parent[ends]), u[ends, 0])
        found.append(ended | {"weight": weight[ends], "path": path[ends]})
    on = np.flatnonzero(goes_on)
    direction = normal.take(on, axis=0)
    direction *= -2.0 * cosine.take(on, axis=0)[:, :, None]
    direction += inside.take(on, axis=0)
    chains = replace(chains.take(parent[on]), direction=direction, energy=energy[on])
    chains = _remember(chains, facet[on], facets.rows[facet[on]], u[on, 0], leaves[on])
    kept = np.flatnonzero(goes_on[chain])
    number = np.cumsum(goes_on) - 1
    return (
        _Rays(position.take(kept, axis=0), length[kept], rays.weight[kept], number[chain[kept]]),
        chains,
    ), found


def _parted(chain: Ints, facet: Ints, chains: int, facets: int) -> tuple[Ints, Ints, Ints]:
    """Return the chain and the facet (C',) that new chains come from, and (R,) which of them rays are in."""
    found, number = numbered(chain * facets + facet, chains * facets)
    return *np.divmod(found, facets), number


def _next_facet(facets: Facets, rays: _Rays, chains: _Chains) -> tuple[Ints, Floats]:
    normals = facets.normals.T.astype(np.float32)
    along = chains.direction[:, 0].astype(np.float32) @ normals
    ahead = along > 1e-6
    inverse = np.full_like(along, np.inf)
    np.divide(np.float32(1.0), along, out=inverse, where=ahead)
    offsets = facets.offsets.astype(np.float32)
    facet, step = np.empty(len(rays.chain), int), np.empty(len(rays.chain), np.float32)
    for first in range(0, len(facet), _TOGETHER):
        some = slice(first, first + _TOGETHER)
        distance = rays.position[some] @ normals
        np.subtract(offsets, distance, out=distance)
        np.maximum(distance, np.float32(1e-9), out=distance)
        distance *= inverse.take(rays.chain[some], axis=0)
        met = distance.argmin(axis=1)
        facet[some], step[some] = met, distance[np.arange(len(met)), met]
    return facet, step


def signed_cosine(cosine_inside: Floats, index: Floats | float) -> Floats:
    """Return the signed cosine in air, see `planner.optics.beams`, for a cosine in the glass."""
    squared = 1.0 - index**2 * (1.0 - cosine_inside**2)
    return np.sign(squared) * np.sqrt(np.abs(squared))


def _kept(u: Floats, inside: Floats, index: float) -> Floats:
    """Return what the tracer reckons stays inside where light can also leave."""
    air = np.maximum(u, 0.0)
    s = (index * inside - air) / (index * inside + air)
    p = (inside - index * air) / (inside + index * air)
    return np.maximum(0.5 * (s**2 + p**2), KEPT_REFLECTANCE)


def _refract_out(
    gone: _Chains, variants: _Variants, facet: Ints, u: Floats, cosine: Floats, normal: Floats
) -> dict[str, Floats | Ints]:
    index, air = variants.index, np.maximum(u, 0.0)
    outgoing = gone.direction * index[:, None] + (air - index * cosine)[..., None] * normal
    bend = (index[0] * cosine[:, 0] - air[:, 0]) ** 2
    return _leaving(gone, facet, u[:, 0], outgoing) | {"by_waviness": np.sqrt(gone.waviness + bend)}


def _end(gone: _Chains, u: Floats) -> dict[str, Floats | Ints]:
    beams = _leaving(gone, np.full(len(u), BACK), u, gone.direction)
    return beams | {"by_waviness": np.sqrt(gone.waviness)}


def _remember(chains: _Chains, facet: Ints, row: Ints, u: Floats, leaves: Ints) -> _Chains:
    """Write a reflection down, in chains that have room for it and are nobody else's."""
    at_back = facet == BACK
    own = leaves | (at_back & (chains.foils < FOIL_SLOTS) & (chains.used < SLOTS))
    write, summed = np.flatnonzero(own), np.flatnonzero(~own)
    chains.slots[write, chains.used[write]] = facet[write]
    chains.slots_u[write, chains.used[write]] = u[write]
    chains.rest[summed, row[summed]] += 1
    chains.rest_u[summed, row[summed]] += u[summed]
    return replace(
        chains, used=chains.used + own, foils=chains.foils + (own & at_back),
        # A facet out of true by e turns what it reflects by 2e inside, about 2ne outside.
        waviness=chains.waviness + np.where(at_back, 0.0, 4.0 * 1.5**2),
    )  # fmt: skip


def _thin(rays: _Rays, chains: _Chains) -> tuple[_Rays, _Chains]:
    """Keep every second ray, with the weight of the other, and the chains that are left."""
    if len(rays.weight) < 2:
        return rays, chains
    # Rays that have had as many chances to leave hold alike shares of their light: the weight of
    # each such group is kept, and neighbours in the order share a chain.
    leaks = (chains.used - chains.foils)[rays.chain]
    order = np.lexsort((rays.chain, leaks))[::2]
    before = np.bincount(leaks, rays.weight, minlength=SLOTS + 1)
    after = np.bincount(leaks[order], rays.weight[order], minlength=SLOTS + 1)
    scale = before / np.where(after > 0, after, 1.0)
    kept, chain = numbered(rays.chain[order], len(chains.view))
    weight = rays.weight[order] * scale[leaks[order]]
    return _Rays(rays.position[order], rays.length[order], weight, chain), chains.take(kept)


def _gather(eyes: Floats, share: Floats, found: list[dict[str, Floats | Ints]], total: float) -> Beams:
    columns = {name: np.concatenate([part[name] for part in found]) for name in found[0]}
    columns["weight"] = columns["weight"] / total
    # There are a hundred thousand beams: what need not be exact, or is small, is kept small.
    for name, kind in _KEPT_AS.items():
        columns[name] = columns[name].astype(kind)
    return Beams(views=eyes, share=share, **columns)
