"""Path lengths: what a body leaves of light along any path, from what it leaves along a few.

Over the paths of a stone exp(-x p) is, for every depth x, a sum of a few exp(-x q) with weights that depend
on the path alone (an interpolative decomposition). So light is gathered once for a dozen paths q, whatever
number of bodies, sizes and concentrations look through it.
"""

from dataclasses import dataclass

import numpy as np

from planner.optics.arrays import Floats

STEP = 1.7
"""Ratio of neighbouring paths: any between them is then right to 10⁻³, and to 10⁻⁴ on average."""

_DEPTHS = np.concatenate([[0.0], np.geomspace(1e-3, 300.0, 160)])
"""Absorption times diameter at which the weights are fitted: from clear to opaque."""


@dataclass(frozen=True, eq=False)
class Paths:
    """A few path lengths that stand for those of M groups of beams."""

    nodes: Floats
    """(R,) diameters, rising from 0."""
    weights: Floats
    """(M, R) how each counts for each group."""


def few_paths(path: Floats) -> Paths:
    """Return a few paths for M, in diameters. What never enters the glass has the first, of 0, alone."""
    inside = np.flatnonzero(path > 0.0)
    weights = np.zeros((len(path), 1))
    weights[path <= 0.0] = 1.0
    if not len(inside):
        return Paths(np.zeros(1), weights.astype(np.float32))
    least, most = path[inside].min(), path[inside].max()
    nodes = np.geomspace(least, most, 2 + int(np.ceil(np.log(most / least) / np.log(STEP))))
    each = np.exp(-_DEPTHS[:, None] * nodes)
    # The same least squares as with each path for itself, and there are thousands.
    own = (np.linalg.pinv(each, rcond=1e-7) @ np.exp(-_DEPTHS[:, None] * path[inside])).T
    more = np.zeros((len(path), len(nodes)))
    more[inside] = own
    return Paths(np.append(0.0, nodes), np.concatenate([weights, more], axis=1).astype(np.float32))
