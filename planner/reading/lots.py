"""What varies from lot to lot, as deterministic draws, and the interpolation that carries it.

Stone-to-stone spread within a lot mixes what the eye sees of one garment; lot-to-lot spread shifts
it. The first is averaged into every reading, the second gives the likelihoods.
"""

from dataclasses import dataclass
from functools import cache, lru_cache
from statistics import NormalDist

import numpy as np

from planner.catalogue.coating import Coating
from planner.optics.arrays import Floats
from planner.optics.store import kept
from planner.reading.known import ROOM
from planner.reading.states import States, thickness_sd

DRAWS = 2048
"""Lots drawn; a share is then good to half a per cent."""

BODY_STEP = 3.0**0.5
"""Standard deviations between the three body concentrations that are computed."""

_SMEAR = np.stack(np.polynomial.hermite_e.hermegauss(5), axis=1)
"""Nodes, in standard deviations, and weights of a normal distribution (Gauss and Hermite)."""


@dataclass(frozen=True, eq=False)
class Draws:
    """N lots."""

    scale: Floats
    """(N,) thickness shared by all layers, relative to nominal."""
    evenness: Floats
    """(N,) difference from the nominal evenness."""
    layers: Floats
    """(N, L) further relative change of each layer alone."""
    body: Floats
    """(N,) standard deviations of body concentration."""
    swatch: Floats
    """(N, 3) standard normal errors of the swatch's colour."""
    lean: Floats
    """(N,) standard deviations of how widely stones lean."""


@dataclass(frozen=True, eq=False)
class _Drawn:
    """What is kept between runs, since a later first answer would mostly wait for it."""

    normal: Floats


@cache
def _normal(count: int, dimensions: int) -> Floats:
    """Return (N, D) standard normal numbers, the same in every run."""
    return kept(_Drawn, (count, dimensions), lambda: _Drawn(_quasi_random(count, dimensions)), ROOM).normal


def _quasi_random(count: int, dimensions: int) -> Floats:
    """Return (N, D) standard normal numbers from a quasi-random sequence (Roberts 2018, R_d)."""
    root = 1.5
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    steps = root ** -np.arange(1.0, dimensions + 1)
    even = (0.5 + np.arange(1, count + 1)[:, None] * steps) % 1.0
    return np.array([*map(NormalDist().inv_cdf, even.ravel().tolist())]).reshape(even.shape)


@lru_cache(maxsize=128)
def draw(coating: Coating | None, count: int = DRAWS) -> Draws:
    """Return lots of a coating, always the same ones."""
    layers = len(coating.layers) if coating else 0
    z = _normal(count, 6 + layers)
    # By itself, so that the others stay as they are whatever else is drawn.
    lean, none = _normal(count, 1)[:, 0], np.zeros(count)
    if coating is None:
        return Draws(none + 1.0, none, np.zeros((count, 0)), z[:, 0], z[:, 1:4], lean)
    shared, alone = thickness_sd(coating)
    return Draws(
        scale=1.0 + shared * z[:, 4],
        evenness=coating.evenness_spread * z[:, 5],
        layers=alone * z[:, 6:],
        body=z[:, 0],
        swatch=z[:, 1:4],
        lean=lean,
    )


def scale_weights(nodes: Floats, at: Floats, spread: float) -> Floats:
    """Return (N, K) weights that interpolate in thickness and average over stones within a lot.

    Cubic through the four nearest nodes. Beyond the nodes the last one counts.
    """
    if len(nodes) == 1:
        return np.ones((len(at), 1))
    smear = _SMEAR if spread > 0 else np.array([[0.0, 1.0]])
    each = _cubic(nodes, (at[:, None] + smear[:, 0] * spread).ravel())
    return np.einsum("nzk,z->nk", each.reshape(len(at), len(smear), -1), smear[:, 1] / smear[:, 1].sum())


def _cubic(nodes: Floats, at: Floats) -> Floats:
    count = len(nodes)
    place = np.clip((at - nodes[0]) / (nodes[1] - nodes[0]), 0.0, count - 1.0)
    start = np.clip(np.floor(place).astype(int) - 1, 0, count - 4)
    x = place - start
    weights = np.zeros((len(at), count))
    rows = np.arange(len(at))
    for i in range(4):
        others = [j for j in range(4) if j != i]
        weights[rows, start + i] = np.prod([(x - j) / (i - j) for j in others], axis=0)
    return weights


def leaning(by_lean: Floats, lots: Draws) -> Floats:
    """Return (N, X) factors of what N lots look like, by how widely their stones lean.

    `by_lean` (3, X) holds values at `BODY_STEP` standard deviations narrower, as usual, and wider.
    """
    factor = np.divide(by_lean, by_lean[1], out=np.ones_like(by_lean), where=by_lean[1] > 0)
    return np.maximum(_three(BODY_STEP, lots.lean) @ factor, 0.0)


def _three(step: float, at: Floats) -> Floats:
    """Return (N, 3) weights of a parabola through -step, 0 and step."""
    x = at / step
    return np.stack([0.5 * x * (x - 1.0), 1.0 - x * x, 0.5 * x * (x + 1.0)], axis=1)


def spread_over(film: States, stone_spread: float, nodes: Floats, lots: Draws) -> Floats:
    """Return (N, X) what N lots look like.

    Parameters
    ----------
    film
        The states computed.
    stone_spread
        Relative spread of thickness from stone to stone.
    nodes
        (T, S, X) values in every state, for one body or for three concentrations.
    lots
        The lots.

    """
    even, thick = len(film.evenness), len(film.scale)
    bodies, values = nodes.shape[1:]
    grid = nodes[: even * thick].reshape(even, thick, bodies, values)
    by_scale, by_evenness, by_body, by_layer = _lot_weights(film, stone_spread, lots)
    # One product over thickness, which has the most nodes; the rest is nine sums at the most.
    parts = by_scale @ grid.transpose(1, 0, 2, 3).reshape(thick, -1)
    parts = parts.reshape(-1, even, bodies, values)
    found = np.zeros((len(by_scale), values))
    for e in range(even):
        for b in range(bodies):
            weight = by_evenness[:, e] * (by_body[:, b] if bodies == 3 else 1.0)
            found += weight[:, None] * parts[:, e, b]
    middle = grid[even // 2, thick // 2, bodies // 2]
    for layer, weights in enumerate(by_layer):
        thin, more = nodes[even * thick + 2 * layer : even * thick + 2 * layer + 2, bodies // 2]
        found += weights @ np.stack([thin, middle, more]) - middle
    return np.maximum(found, 0.0)


@lru_cache(maxsize=64)
def _lot_weights(
    film: States, stone_spread: float, lots: Draws
) -> tuple[Floats, Floats, Floats, tuple[Floats, ...]]:
    """Return (N, K), (N, E), (N, 3) and (N, 3) a layer: how each state counts for each of N lots."""
    even = film.evenness
    by_evenness = (
        _three(even[-1], lots.evenness.clip(2 * even[0], 2 * even[-1]))
        if len(even) == 3
        else np.ones((len(lots.scale), 1))
    )
    return (
        scale_weights(film.scale, lots.scale, stone_spread),
        by_evenness,
        _three(BODY_STEP, lots.body),
        tuple(_three(film.layer_step, lots.layers[:, layer]) for layer in range(film.layers)),
    )
