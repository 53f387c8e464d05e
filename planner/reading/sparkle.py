"""Flash in words' reach: its share in each hue family, how many flashes there are and how bright.

A glint of a small lamp is thousands of times brighter than white, so it has no lightness and no
colour difference. Every flash is brought to one luminance, and then has a hue family, or is white.
"""

from dataclasses import dataclass

import numpy as np

from planner.colour.names import FLASH_FAMILIES, flash_family
from planner.optics.arrays import Floats, Ints
from planner.reading.look import Flashes
from planner.reading.lots import scale_weights

CONTRAST = 4.0
"""A flash counts when its stone is this many times as bright as its glow: two stops. Less is
shading that comes and goes with every fold of the cloth (our choice)."""

OUTSHONE = 0.1
"""A flash this much dimmer than is usual beside it goes unnoticed (our choice)."""

FINE_STEPS = 4
"""Steps of thickness between two computed nodes at which flashes are usually classed."""


@dataclass(frozen=True, eq=False)
class FlashShares:
    """Shares of the flash over thickness; F hue families."""

    scale: Floats
    """(K,) thickness relative to nominal."""
    luminance: Floats
    """(K, F) luminance sent in flashes of each family, per stone at a moment."""
    number: Floats
    """(K, F) number of flashes of each family, per stone at a moment."""
    xyz: Floats
    """(K, 3) what the flashes that count add to the glow, cd/m²."""


@dataclass(frozen=True)
class Flash:
    """Flash of a pairing: shares add up to 1."""

    by_luminance: dict[str, float]
    by_number: dict[str, float]
    per_stone: float
    """Flashes that one stone shows at a moment, on average."""
    stops: float
    """How much brighter than its glow a stone is in a flash, in stops, weighted by luminance."""

    @property
    def main(self) -> str:
        """The family with the largest share by luminance."""
        return max(self.by_luminance, key=lambda family: self.by_luminance[family])


def shares(
    flashes: Flashes, scale: Floats, glow_y: Floats, white: Floats, steps: int = FINE_STEPS
) -> FlashShares:
    """Class every flash over thickness.

    Parameters
    ----------
    flashes
        From `planner.reading.look.flash_xyz`, at the thickness nodes and for one body.
    scale
        (K,) thickness nodes.
    glow_y
        (K,) luminance of the glow at the nodes, cd/m².
    white
        (3,) the venue's white.
    steps
        Steps of thickness between two nodes at which flashes are classed.

    """
    fine, weights = _finer(scale, steps)
    nodes = flashes.xyz[:, :, 0].transpose(0, 2, 1)
    xyz = np.maximum(nodes @ weights.T.astype(np.float32), 0.0).transpose(0, 2, 1)
    bright = xyz[..., 1]
    measure = flashes.measure[:, None].astype(np.float32)
    usual = (measure * bright**2).sum(axis=0) / np.maximum((measure * bright).sum(axis=0), 1e-30)
    least = np.maximum(CONTRAST * (weights @ glow_y), OUTSHONE * usual)
    seen = measure * (bright > least)
    # Families and thicknesses are counted together, which is faster than one mask for each.
    cell = flash_family(xyz, white).astype(np.intp)
    cell += np.arange(xyz.shape[1]) * len(FLASH_FAMILIES)
    number, luminance = (_counted(cell, part) for part in (seen, seen * bright))
    xyz_sum = np.einsum("ek,ekx->kx", seen, xyz)
    return FlashShares(fine, luminance, number, xyz_sum)


def _counted(cell: Ints, weight: Floats) -> Floats:
    """Return (K, F) sums of the (E, K) weights of each cell; what has no light has no weight either."""
    thicknesses, families = cell.shape[1], len(FLASH_FAMILIES)
    found = np.bincount(np.maximum(cell, 0).ravel(), weight.ravel(), thicknesses * families)
    return found.reshape(thicknesses, families)


def _finer(scale: Floats, steps: int) -> tuple[Floats, Floats]:
    """Return finer thickness nodes, and (K', K) weights that interpolate to them."""
    if steps == 1 or len(scale) == 1:
        return scale, np.eye(len(scale))
    fine = np.linspace(scale[0], scale[-1], steps * (len(scale) - 1) + 1)
    return fine, scale_weights(scale, fine, 0.0)


def flash_at(found: FlashShares, scale: float, stone_spread: float, glow_y: float) -> Flash | None:
    """Return the flash of a lot whose thickness is `scale`; None where nothing flashes."""
    luminance, number = (
        mix(part, found.scale, np.array([scale]), stone_spread)[0] for part in (found.luminance, found.number)
    )
    if number.sum() <= 0 or luminance.sum() <= 0:
        return None
    mean = luminance.sum() / number.sum()
    return Flash(
        _named(luminance), _named(number), float(number.sum()), float(np.log2(mean / max(glow_y, 1e-12)))
    )


def mix(values: Floats, nodes: Floats, at: Floats, spread: float) -> Floats:
    """Return (N, F) means over the stones of lots: a normal spread of thickness about `at`."""
    if len(nodes) == 1:
        return np.repeat(values, len(at), axis=0)
    width = max(spread, 0.5 * float(nodes[1] - nodes[0]))
    weights = np.exp(-0.5 * ((nodes[None] - at[:, None]) / width) ** 2)
    return (weights / weights.sum(axis=1, keepdims=True)) @ values


def _named(values: Floats) -> dict[str, float]:
    """Return shares by family, largest first, leaving out what is not there."""
    share = values / values.sum()
    order = np.argsort(-share, kind="stable")
    return {FLASH_FAMILIES[i]: float(share[i]) for i in order if share[i] > 0}
