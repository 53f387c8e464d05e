"""Whether a reading answers its wish: what of the drift counts, and how much of it is allowed."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from planner.colour.cielab import NEUTRAL_CHROMA
from planner.colour.difference import delta_e, delta_e_terms
from planner.optics.arrays import Floats
from planner.reading.doubt import Part, spread_about
from planner.reading.drift import TOLERANCES, limit, same_family
from planner.reading.lots import draw
from planner.reading.question import Question
from planner.reading.read import Reading

SEATS = float(TOLERANCES["seats"] or 0.0)
"""CIEDE2000 that an audience forgives; the measure where a tolerance is no figure."""


_ERRORS = 512
"""Errors of the swatch drawn; a share is then good to about one per cent."""


@dataclass(frozen=True)
class Fit:
    """How a reading answers its wish."""

    apart: float
    """CIEDE2000 that counts: all of the drift, or its hue alone where tone on tone is wanted."""

    most: float | None
    """The largest that is allowed (for contrast: the least that is wanted); None for a hue family."""

    fits: bool
    """Whether the nominal reading does what is wished."""

    lots: float
    """Share of lots that do, 0 to 1, the swatch taken as it is given."""

    unsure: float
    """Share of the swatch's possible errors that would turn `fits` round, 0 to 1, lots aside."""

    swatch_sd: float
    """Uncertainty of the swatch in this venue, root mean square CIEDE2000."""

    main: Part
    """Where most of that comes from; "turns" is the cloth's own change and no doubt about it."""


@lru_cache(maxsize=16)
def fit(reading: Reading) -> Fit:
    """Return how a reading answers its question's wish.

    blend: the glow is within the tolerance. tone: its hue is, whatever its depth; where the
    tolerance is the hue family, whose names change with depth (a dark orange is a brown), the hue
    may be off by `SEATS`. contrast: the glow lies outside the tolerance, at least `SEATS` away where
    that is the hue family.
    """
    question = reading.question
    swatch, glow = np.array(reading.swatch.lab), np.array(reading.seen.lab)
    doubt = question.doubt
    targets = possible(swatch, doubt.covariance)
    fits = bool(does(glow, swatch, question))
    return Fit(
        float(counts(glow, swatch, question)),
        _most(question),
        fits,
        float(does(reading.lab_lots, swatch, question).mean()),
        float((does(glow, targets, question) != fits).mean()),
        doubt.sd,
        doubt.main,
    )


def possible(swatch: Floats, covariance: Floats) -> Floats:
    """Return (N, 3) colours that a swatch (3,) may have, or (1, 3) where it is known exactly."""
    if not covariance.any():
        return swatch[None]
    return spread_about(swatch, draw(None, _ERRORS).swatch, covariance)


def surely_fails(lab: Floats, swatch: Floats, question: Question, covariance: Floats) -> float:
    """Return in which share of a swatch's possible colours a glow does not do what is wished, 0 to 1.

    Parameters
    ----------
    lab, swatch
        (3,) CIELAB of the glow and of the swatch in some venue.
    question
        For its wish and tolerance.
    covariance
        (3, 3) of the swatch there.

    """
    return float((~does(lab, possible(swatch, covariance), question)).mean())


def counts(lab: Floats, swatch: Floats, question: Question) -> Floats:
    """Return (...) the CIEDE2000 that counts for the wish, of colours (..., 3) against a swatch."""
    if question.wish != "tone":
        return delta_e(swatch, lab)
    terms = delta_e_terms(swatch, lab)
    # A grey has no hue to keep: between a grey and a colour the chroma is the difference in hue.
    chroma = np.minimum(np.hypot(lab[..., 1], lab[..., 2]), np.hypot(swatch[..., 1], swatch[..., 2]))
    return np.abs(np.where(chroma < NEUTRAL_CHROMA, np.hypot(terms[..., 1], terms[..., 2]), terms[..., 2]))


def does(lab: Floats, swatch: Floats, question: Question) -> Floats:
    """Return (...) whether colours (..., 3) do what is wished beside swatches (..., 3)."""
    most = _most(question)
    if most is None:
        return same_family(lab, swatch)
    near = counts(lab, swatch, question) <= most
    return ~near if question.wish == "contrast" else near


def _most(question: Question) -> float | None:
    most = limit(question.tolerance)
    return SEATS if most is None and question.wish != "blend" else most


def better_swatch(reading: Reading) -> str:
    """Return how to come by a surer answer, by what the doubt about the swatch is made of."""
    question = reading.question
    match question.doubt.main:
        case "turns":
            return "Pin a stone to the cloth, and turn both under these lamps."
        case "guess":
            return "Have the cloth's spectrum measured, or judge a cutting of it under these lamps."
        case _ if question.swatch.basis == "measured":
            return "Measure the cloth again, in several places, and take the mean."
        case _ if "photograph" in question.swatch.how:
            return (
                "Photograph the cloth again in a window's daylight, three or four times, and give all the "
                "photographs together, or have it measured."
            )
        case _:
            return "Photograph the cloth with white paper beside it."


def known_to(question: Question) -> str:
    """Return how well the swatch is known, as the beginning of a sentence without its "Your".

    Where its cloth turns too, each part is said as elsewhere, so that the figures agree.
    """
    doubt = question.doubt
    cloth = question.swatch.cloth
    known, turns = float(np.hypot(doubt.sizes["known"], doubt.sizes["guess"])), doubt.sizes["turns"]
    if cloth is None or round(doubt.sd) == round(known):
        return f"swatch is known to ±{doubt.sd:.0f}"
    changes = f"{cloth.kind} swatch itself changes as it turns in this light, by ±{turns:.0f}"
    if round(doubt.sd) == round(turns):
        return changes
    return f"{changes}, and is known to ±{known:.0f}: together ±{doubt.sd:.0f}"
