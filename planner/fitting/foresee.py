"""What the films that are left mean for other stones, and which further sample would tell them apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from planner.catalogue.palette import Palette
from planner.colour.difference import delta_e
from planner.fitting.card import MODEL, body_step, metric, nominal
from planner.fitting.coating import Fitted
from planner.fitting.films import glows
from planner.fitting.sight import ERRORS, Placed, Sample
from planner.optics.arrays import Floats

INTERVAL = 0.9
"""Share of what may be that an interval holds."""

_MODEL_REACH = 2.5 / 3.0**0.5 * MODEL
"""ΔE00 within which 90 % of the model's errors lie: 2.5 standard deviations in three dimensions."""

_BODIES = np.array([NormalDist().inv_cdf((step + 0.5) / 11) for step in range(11)])
"""Body concentrations that are equally likely, in standard deviations."""

LEAST_GAIN = 0.3
"""Bits that a further sample must tell to be worth asking for (our choice)."""


@dataclass(frozen=True, eq=False)
class Foreseen:
    """The glow of a stone in even daylight, under whichever film it is."""

    placed: Placed
    lab: Floats
    """(3,) CIELAB in the middle of what may be."""
    within: float
    """CIEDE2000 from there within which `INTERVAL` of what may be lies."""


@dataclass(frozen=True, eq=False)
class Telling:
    """How much a further sample would tell."""

    placed: Placed
    bits: float
    """Information about the film that its glow would add, bits; 1 halves what is possible."""


def further_samples(palette: Palette, samples: Sequence[Sample]) -> list[Placed]:
    """Return stones of a card's glasses, cuts and size that are not on it: her own, if she has such."""
    placed = [one.placed for one in samples]
    on_it = {one.stone.id for one in placed}
    kinds = {(one.stone.material, one.stone.cut, one.stone.foil) for one in placed}
    found = [
        Placed(one, palette.cuts[one.cut], placed[0].size)
        for one in palette.stones.values()
        if one.id not in on_it and (one.material, one.cut, one.foil) in kinds
    ]
    return [one for one in found if ("stone", one.stone.id) in palette.own] or found


def foresee(fitted: Fitted, placed: Sequence[Placed]) -> tuple[Foreseen, ...]:
    """Return the glow to be expected of stones that need not be on the card, each with an interval."""
    return tuple(
        _foreseen(fitted, one, lab[fitted.kept]) for one, lab in zip(placed, glows(placed), strict=True)
    )


def telling(fitted: Fitted, placed: Sequence[Placed], source: str = "picked") -> tuple[Telling, ...]:
    """Return stones by how much a sample of each would tell about the film, the most telling first.

    The information of a normal measurement of what differs between the films that are left, against
    its error (given as `source`), the model's and the spread of the stone's body.
    """
    alone, together = ERRORS[source]
    noise = (alone**2 + together**2 + MODEL**2) / 3.0
    found = []
    for one, lab in zip(placed, glows(placed), strict=True):
        seen, shift = nominal(lab[fitted.kept]), body_step(lab[fitted.kept])
        mean = fitted.weight @ seen
        turn = metric(mean)
        apart, moved = (seen - mean) @ turn.T, (fitted.weight @ shift) @ turn.T
        spread = apart.T @ (fitted.weight[:, None] * apart)
        error = noise * np.eye(3) + np.outer(moved, moved)
        gain = np.linalg.slogdet(np.eye(3) + np.linalg.solve(error, spread))[1]
        found.append(Telling(one, float(0.5 * gain / np.log(2.0))))
    return tuple(sorted(found, key=lambda one: -one.bits))


def _foreseen(fitted: Fitted, placed: Placed, lab: Floats) -> Foreseen:
    seen, shift = nominal(lab), body_step(lab)
    points = seen[:, None] + _BODIES[:, None] * shift[:, None, :]
    weight = np.repeat(fitted.weight, len(_BODIES)) / len(_BODIES)
    middle = fitted.weight @ seen
    apart = delta_e(points.reshape(-1, 3), middle)
    order = np.argsort(apart)
    place = int(np.searchsorted(np.cumsum(weight[order]), INTERVAL))
    reach = float(apart[order[min(place, len(order) - 1)]])
    return Foreseen(placed, middle, float(np.hypot(reach, _MODEL_REACH)))
