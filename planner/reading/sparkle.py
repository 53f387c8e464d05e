"""Flash in words' reach: its share in each hue family, how many flashes there are and how bright.

A glint of a small lamp is thousands of times brighter than white, so it has no lightness and no
colour difference. Every flash is brought to one luminance, and then has a hue family, or is white.
"""

from dataclasses import dataclass, replace

import numpy as np

from planner.colour.names import FLASH_FAMILIES, flash_family
from planner.optics.arrays import Floats
from planner.optics.moments import hurry
from planner.reading.look import Flashes
from planner.reading.lots import scale_weights

CONTRAST = 4.0
"""A flash counts when its stone is this many times as bright as without it: two stops. Less is
shading that comes and goes with every fold of the cloth (our choice). Tubes rarely give more: common
practice has it that stones hardly sparkle under them."""

THRESHOLD = 0.28
"""Contrast times area, square minutes of arc, at which half of all small spots are just seen against a
field of some tens of cd/m² (Ricco's law; Blackwell, J. Opt. Soc. Am. 36, 624-643, 1946, table VIII at
100 foot-lamberts and 3.6': 0.027; from memory)."""

NOTICED = 10.0
"""Times the threshold from which somebody who does not look for a flash notices it. Visibility levels of
7 and more are asked for where a target must not be missed (Adrian, Lighting Res. Technol. 21, 181-188,
1989); ten is our choice."""

LEAST_CONTRAST = 1.0
"""However large it looks, a stone must be so many times brighter than what lies about it, over and above
that, to be a flash and no shading of the cloth (our choice)."""

OUTSHONE = 0.1
"""A flash this much dimmer than is usual beside it goes unnoticed (our choice)."""

FURTHEST = 4.5
"""Standard deviations beyond which no stone's thickness is reckoned with (our choice)."""

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
    flashes: Flashes, scale: Floats, glow_y: Floats, white: Floats, steps: int = FINE_STEPS,
    about: tuple[float, float] | None = None, contrast: float | None = None,
) -> FlashShares:  # fmt: skip
    """Class every flash over thickness.

    Parameters
    ----------
    flashes
        From `planner.reading.look.flash_xyz`, at the thickness nodes and for one body.
    scale
        (K,) thickness nodes.
    glow_y
        (K,) luminance of the glow at the nodes, cd/m²; with a `contrast`, of what lies about a flash.
    white
        (3,) the venue's white.
    steps
        Steps of thickness between two nodes at which flashes are classed.
    about
        A lot's thickness and the spread of its stones, where flashes are wanted for that lot alone:
        thicknesses that it has next to none of are left out.
    contrast
        How many times as bright as what lies about it a flash must be, from `noticed`; when not given,
        `CONTRAST` times the glow, and no dimmer than `OUTSHONE` of what is usual.

    """
    fine, weights = _finer(scale, steps)
    if about is not None and len(fine) > 1:
        near = np.abs(fine - about[0]) <= FURTHEST * _width(fine, about[1])
        fine, weights = fine[near], weights[near]
    nodes = flashes.xyz[:, :, 0]
    turn = weights.T.astype(np.float32)
    same = fine is scale
    bright = np.ascontiguousarray(nodes[..., 1]) if same else np.maximum(nodes[..., 1] @ turn, 0.0)
    measure = flashes.measure[:, None].astype(np.float32)
    sent = measure * bright
    usual = (sent * bright).sum(axis=0) / np.maximum(sent.sum(axis=0), 1e-30)
    if contrast is None:
        least = np.maximum(CONTRAST * (weights @ glow_y), OUTSHONE * usual)
    else:
        least = contrast * (weights @ glow_y)
    event, thickness = np.nonzero(bright > least)
    # Only what counts is classed; families and thicknesses are counted together.
    counted = nodes[event, thickness] if same else _between(nodes, turn)[event, thickness]
    cell = np.maximum(flash_family(counted, white).astype(np.intp), 0) + thickness * len(FLASH_FAMILIES)
    met = flashes.measure[event]
    number, luminance = (
        np.bincount(cell, part, len(fine) * len(FLASH_FAMILIES)).reshape(len(fine), -1)
        for part in (met, met * counted[:, 1])
    )
    added = [np.bincount(thickness, met * counted[:, i], len(fine)) for i in range(3)]
    return FlashShares(fine, luminance, number, np.stack(added, axis=1))


def noticed(arc_minutes: float) -> float:
    """Return how many times as bright as what lies about it a flash must be, beyond that, to be noticed.

    `arc_minutes` is the width of what flashes (a stone, or a facet), over which its light is averaged.
    """
    return max(LEAST_CONTRAST, NOTICED * THRESHOLD / (0.25 * np.pi * arc_minutes**2))


def hurried(flashes: Flashes, sweep: float) -> Flashes:
    """Return flashes as the eye adds them up while lamps sweep past: more of them, each dimmer."""
    more = hurry(flashes.radius, sweep)
    xyz = flashes.xyz / more[:, None, None, None].astype(np.float32)
    return replace(flashes, measure=flashes.measure * more, xyz=xyz)


def _between(nodes: Floats, turn: Floats) -> Floats:
    """Return (E, K', 3) values at the finer thicknesses, of (E, K, 3), by (K, K') weights."""
    # One product of many rows, where NumPy would make thousands of small ones.
    rows = np.ascontiguousarray(nodes.transpose(0, 2, 1)).reshape(-1, len(turn))
    return np.maximum(rows @ turn, 0.0).reshape(len(nodes), 3, turn.shape[1]).transpose(0, 2, 1)


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
    weights = np.exp(-0.5 * ((nodes[None] - at[:, None]) / _width(nodes, spread)) ** 2)
    return (weights / weights.sum(axis=1, keepdims=True)) @ values


def _width(nodes: Floats, spread: float) -> float:
    return max(spread, 0.5 * float(nodes[1] - nodes[0]))


def _named(values: Floats) -> dict[str, float]:
    """Return shares by family, largest first, leaving out what is not there."""
    share = values / values.sum()
    order = np.argsort(-share, kind="stable")
    return {FLASH_FAMILIES[i]: float(share[i]) for i in order if share[i] > 0}
