"""How well every candidate film fits a sample card: the likelihood of all its colours together."""

from collections.abc import Sequence

import numpy as np

from planner.fitting.sight import Sample, Sight, family_misfit
from planner.optics.arrays import Floats
from planner.reading.lots import BODY_STEP

MODEL = 1.0
"""Root mean square ΔE00 by which a film may differ from a candidate that stands for it: our choice, near
the middle of what was measured over jet, clear and four coloured stones. Films of the candidates' own
materials between two steps of the grid are off by 0.7 (1.4 on jet); films of five other materials by 1.4
from the candidate nearest in index and thickness (2.3 on jet), by 0.7 from the one that looks most
alike."""


def metric(lab: Floats) -> Floats:
    """Return (3, 3) W, by which |W (lab2 - lab)| is near CIEDE2000 for colours near `lab` (3,).

    The weights of CIEDE2000 at one colour, without its rotation of blues and its hue term T
    (ISO/CIE 11664-6:2014).
    """
    L, a, b = (float(part) for part in lab)
    chroma7 = np.hypot(a, b) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(chroma7 / (chroma7 + 25.0**7))
    chroma = np.hypot(stretch * a, b)
    hue = np.arctan2(b, stretch * a)
    turn = np.array([[1, 0, 0], [0, np.cos(hue), np.sin(hue)], [0, -np.sin(hue), np.cos(hue)]])
    s_l = 1.0 + 0.015 * (L - 50.0) ** 2 / np.sqrt(20.0 + (L - 50.0) ** 2)
    scale = np.array([s_l, 1.0 + 0.045 * chroma, 1.0 + 0.015 * chroma])
    return (turn / scale[:, None]) @ np.diag([1.0, stretch, 1.0])


def nominal(lab: Floats) -> Floats:
    """Return (C, 3) colours at the nominal body concentration, of (C, B, 3)."""
    return lab[:, lab.shape[1] // 2]


def body_step(lab: Floats) -> Floats:
    """Return (C, 3) how far one standard deviation of body concentration moves a colour, of (C, B, 3)."""
    if lab.shape[1] == 1:
        return np.zeros((len(lab), 3))
    return (lab[:, 2] - lab[:, 0]) / (2.0 * BODY_STEP)


def misfit(samples: Sequence[Sample], looks: Sequence[Floats]) -> Floats:
    """Return (C,) twice the negative log-likelihood of a card under C films, up to a constant.

    Errors are normal: each colour's own and the model's, one that all colours of the card share, and
    the concentration of each stone's body, which nobody knows exactly.

    Parameters
    ----------
    samples
        The card.
    looks
        For each sample, (C, B, 3) its glow under every film.

    """
    total = np.zeros(len(looks[0]))
    points = [
        (one.seen, one.seen.lab, lab)
        for one, lab in zip(samples, looks, strict=True)
        if one.seen.lab is not None
    ]
    for one, lab in zip(samples, looks, strict=True):
        if one.seen.family is not None:
            total += family_misfit(nominal(lab), one.seen.family)
    if not points:
        return total
    turns = [metric(seen) for _, seen, _ in points]
    size = 3 * len(points)
    covariance = np.zeros((len(total), size, size))
    residual = np.empty((len(total), size))
    for row, (sight, seen, lab) in enumerate(points):
        here = slice(3 * row, 3 * row + 3)
        residual[:, here] = (nominal(lab) - seen) @ turns[row].T
        shift = body_step(lab) @ turns[row].T
        own = MODEL**2 / 3.0 * np.eye(3) + _own(sight, turns[row])
        covariance[:, here, here] += own + shift[:, :, None] * shift[:, None, :]
        for column, (other, _, _) in enumerate(points):
            # What was typed and what was photographed have no error in common.
            if (sight.reckoned is None) == (other.reckoned is None):
                shared = _shared(sight) @ _shared(other).T
                covariance[:, here, 3 * column : 3 * column + 3] += turns[row] @ shared @ turns[column].T
    lower = np.linalg.cholesky(covariance)
    white = np.linalg.solve(lower, residual[:, :, None])[:, :, 0]
    spread = 2.0 * np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(axis=1)
    return total + (white**2).sum(axis=1) + spread - spread.min()


def _own(seen: Sight, turn: Floats) -> Floats:
    """Return (3, 3) the covariance of a colour's own error, as `turn` (3, 3) stretches CIELAB."""
    if seen.reckoned is None:
        return np.asarray(seen.alone**2 / 3.0 * np.eye(3))
    return np.asarray(turn @ seen.reckoned.own @ turn.T)


def _shared(seen: Sight) -> Floats:
    """Return (3, K) how errors that a card's colours have in common move one, in CIELAB."""
    return seen.together / 3.0**0.5 * np.eye(3) if seen.reckoned is None else seen.reckoned.shared


def wider(least: float, samples: Sequence[Sample]) -> float:
    """Return how many times as large as told errors must be to explain the least misfit of a card.

    It is 1 where they explain it as they are, which they do for 999 cards of 1000. The 99.9th percentile of
    chi-squared by E. B. Wilson, M. M. Hilferty, Proc. Natl. Acad. Sci. 17, 684-688 (1931).
    """
    freedom = sum(3 if one.seen.lab is not None else 1 for one in samples)
    part = 2.0 / (9.0 * freedom)
    most = freedom * (1.0 - part + 3.09 * np.sqrt(part)) ** 3
    return float(np.sqrt(max(1.0, least / most)))
