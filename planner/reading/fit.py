"""Whether a reading answers its wish: decided here alone, for whoever shows, ranks, warns or orders.

A misfit of 1 is the limit of what is wished. Nothing turns from right to wrong at a figure: about the
limit a pairing just about passes, and where the swatch is not known well enough there is no answer.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeAlias

import numpy as np

from planner.colour.cielab import NEUTRAL_CHROMA
from planner.colour.difference import delta_e, delta_e_terms
from planner.colour.everyday import overlap, shares, words
from planner.optics.arrays import Floats
from planner.reading.doubt import Part, spread_about
from planner.reading.drift import (
    JUST,
    NEARLY,
    TOLERANCES,
    WORD_LIMIT,
    apart,
    limit,
    matched,
    where_it_may_count,
    worse,
)
from planner.reading.lots import draw
from planner.reading.question import Question
from planner.reading.read import Reading

SEATS = float(TOLERANCES["seats"] or 0.0)
"""CIEDE2000 that an audience forgives; the measure where a tolerance is no figure."""

_ERRORS = 512
"""Errors of the swatch drawn; a share is then good to about one per cent."""

CANNOT_TELL = 1.0 / 3.0
"""Share of the swatch's possible errors that must turn the answer: one in three."""

COARSE = 0.5
"""Part of the tolerance that the swatch's uncertainty must reach. A swatch known better than that leaves
an answer near the limit, which is an answer: no tolerance is so sharp."""

_FARTHEST = 10.0
"""Misfit of what does not stand out at all."""

Outcome: TypeAlias = Literal["passes", "just about", "fails", "can't tell"]


@dataclass(frozen=True)
class Fit:
    """How a reading answers its wish."""

    outcome: Outcome
    """The answer. Where it can't be told, the other figures are those of the swatch as it is given."""

    apart: float
    """CIEDE2000 that counts: lightness half where seen from the seats, the hue alone where tone on tone
    is wanted."""

    most: float | None
    """The largest that is allowed (for contrast: the least that is wanted); None for a hue family."""

    misfit: float
    """How ill it does what is wished: 0 is perfectly, 1 the limit."""

    by_word: bool
    """Whether it is the everyday word that decides, and no longer the distance."""

    fits: bool
    """Whether the nominal reading does what is wished, if only just, the swatch taken as it is given."""

    lots: float
    """Share of lots that do, 0 to 1, the swatch taken as it is given."""

    unsure: float
    """Share of the swatch's possible errors that would turn `fits` round, 0 to 1, lots aside."""

    swatch_sd: float
    """Uncertainty of the swatch in this venue, root mean square CIEDE2000."""

    main: Part
    """Where most of that comes from; "turns" is the cloth's own change and no doubt about it."""


@lru_cache(maxsize=64)
def fit(reading: Reading) -> Fit:
    """Return how a reading answers its question's wish.

    blend: it matches within the tolerance, and is called by the same everyday word. tone: its hue is
    within the tolerance, whatever its depth, and its word the same. contrast: it lies outside the
    tolerance, at least `SEATS` away where that is the hue family.
    """
    question = reading.question
    swatch, stone = np.array(reading.swatch.lab), np.array(reading.seen.lab)
    doubt = question.doubt
    ill = float(ill_served(stone, swatch, question))
    fits = ill <= JUST
    unsure = float(((of_possible(reading) <= JUST) != fits).mean())
    counted = float(counts(stone, swatch, question))
    most = _most(question)
    return Fit(
        _outcome(question, ill, unsure, counted),
        counted,
        most,
        ill,
        question.wish != "contrast" and (most is None or counted / most < ill - 1e-9),
        fits,
        float((of_lots(reading) <= JUST).mean()),
        unsure,
        doubt.sd,
        doubt.main,
    )


@lru_cache(maxsize=64)
def of_lots(reading: Reading) -> Floats:
    """Return (N,) how ill every lot does what is wished, the swatch taken as it is given."""
    return ill_served(reading.lab_lots, np.array(reading.swatch.lab), reading.question)


@lru_cache(maxsize=64)
def of_possible(reading: Reading) -> Floats:
    """Return (N,) how ill the nominal reading does beside every colour that the swatch may have."""
    may_be = possible(np.array(reading.swatch.lab), reading.question.doubt.covariance)
    return ill_served(np.array(reading.seen.lab), may_be, reading.question)


def _outcome(question: Question, ill: float, unsure: float, counted: float) -> Outcome:
    """Return the answer.

    Where one possible swatch in three turns it round (`CANNOT_TELL`), and the swatch is uncertain by a
    good part of the tolerance (`COARSE`), there is none. A fluorescent swatch has none but in daylight.
    """
    if not question.swatch_told or not (question.cloth_told or hides_cloth(question)):
        return "can't tell"
    most, sd = _most(question), question.doubt.sd
    if unsure > CANNOT_TELL and sd >= COARSE * (SEATS if most is None else most):
        near = most is None or abs(counted - most) < sd or abs(ill - 1.0) < COARSE
        if near:
            return "can't tell"
    return outcome_of(ill)


def outcome_of(ill: float) -> Outcome:
    """Return the answer to a misfit, the swatch taken as it is given."""
    return "passes" if ill <= NEARLY else "just about" if ill <= JUST else "fails"


def holds(outcome: Outcome) -> bool:
    """Return whether there is an answer, and it is that a pairing does what is wished, if only just."""
    return outcome in {"passes", "just about"}


def hides_cloth(question: Question) -> bool:
    """Say whether nothing of the cloth shows through the stone."""
    return question.stone.foil != "none" or question.stone.opaque


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
    if question.wish == "contrast":
        return delta_e(swatch, lab)
    if question.wish == "blend":
        return apart(lab, swatch, question.tolerance)
    terms = delta_e_terms(swatch, lab)
    # A grey has no hue to keep: between a grey and a colour the chroma is the difference in hue.
    chroma = np.minimum(np.hypot(lab[..., 1], lab[..., 2]), np.hypot(swatch[..., 1], swatch[..., 2]))
    return np.abs(np.where(chroma < NEUTRAL_CHROMA, np.hypot(terms[..., 1], terms[..., 2]), terms[..., 2]))


def ill_served(lab: Floats, swatch: Floats, question: Question) -> Floats:
    """Return (...) how ill colours (..., 3) do what is wished beside swatches (..., 3): 1 is the limit."""
    return worse(*served(lab, swatch, question))


def served(lab: Floats, swatch: Floats, question: Question) -> tuple[Floats, Floats]:
    """Return (...) the same by distance and by everyday word apart; for contrast no word counts."""
    if question.wish == "blend":
        return matched(lab, swatch, question.tolerance)
    most = _most(question) or SEATS
    far = counts(lab, swatch, question)
    if question.wish == "contrast":
        return np.asarray(most / np.maximum(far, most / _FARTHEST)), np.zeros_like(far)
    return far / most, where_it_may_count(far / most, lab, swatch, _other_hue)


def same_word(lab: Floats, swatch: Floats, question: Question) -> Floats:
    """Return (...) the share of people who could call colours and swatches by one word, 0 to 1.

    Tone on tone that is a word of hue, whatever the depth.
    """
    if question.wish == "tone":
        return _same_hue(lab, swatch)
    return overlap(lab, swatch)


def _same_hue(lab: Floats, swatch: Floats) -> Floats:
    return np.asarray(np.minimum(_hue_words(lab), _hue_words(swatch)).sum(axis=-1))


def _other_hue(lab: Floats, swatch: Floats) -> Floats:
    """Return (...) how far the words differ of what may be two depths of one hue: 0 is alike, 1 the limit."""
    return (1.0 - _same_hue(lab, swatch)) * WORD_LIMIT


def _hue_words(lab: Floats) -> Floats:
    """Return (..., W) shares of words for a hue: black and white go with grey, beige with brown."""
    found, known = np.array(shares(lab)), words()
    for word, counts_as in (("black", "grey"), ("white", "grey"), ("beige", "brown")):
        found[..., known.index(counts_as)] += found[..., known.index(word)]
        found[..., known.index(word)] = 0.0
    return found


def does(lab: Floats, swatch: Floats, question: Question) -> Floats:
    """Return (...) whether colours (..., 3) do what is wished beside swatches (..., 3), if only just."""
    return np.asarray(ill_served(lab, swatch, question) <= JUST)


def _most(question: Question) -> float | None:
    most = limit(question.tolerance)
    return SEATS if most is None and question.wish != "blend" else most


def better_swatch(reading: Reading) -> str:
    """Return how to come by a surer answer, by what the doubt about the swatch is made of."""
    question = reading.question
    match question.doubt.main:
        case "turns":
            return "Hold a stone to the cloth, and turn both under these lamps."
        case "guess":
            return "Have the cloth's spectrum measured, or look at a scrap of it under these lamps."
        case _ if question.swatch.basis == "measured":
            return "Measure the cloth again in several places, and take the average."
        case _ if "photograph" in question.swatch.how:
            return (
                "Photograph the cloth again by a window in daylight, three or four times, and use all the "
                "photographs together, or have it measured."
            )
        case _:
            return "Photograph the cloth with white paper beside it."


def known_to(question: Question) -> str:
    """Return what is uncertain of the swatch, as the beginning of a sentence without its "Your".

    How large that is stands among the figures (`planner.reading.origin`).
    """
    doubt = question.doubt
    cloth = question.swatch.cloth
    known, turns = float(np.hypot(doubt.sizes["known"], doubt.sizes["guess"])), doubt.sizes["turns"]
    if cloth is None or round(doubt.sd) == round(known):
        return "swatch's colour is not known closely enough"
    changes = f"{cloth.kind} swatch changes colour as it turns in this light"
    if round(doubt.sd) == round(turns):
        return changes
    return f"{changes}, and its colour is not known closely enough"
