"""A reading in figures, for programs."""

import dataclasses
from typing import Any

from planner.catalogue.fields import Basis
from planner.reading.doubt import doubt
from planner.reading.instead import Instead
from planner.reading.origin import origins
from planner.reading.question import Question, is_daylight
from planner.reading.rank import Ranked
from planner.reading.read import Reading, Seen
from planner.reading.sentence import cannot_tell, figures, sentence
from planner.reading.verdict import verdict
from planner.say.as_json import DIGITS
from planner.say.question import pairing_data
from planner.say.warned import concerns_data
from planner.swatch.resolve import SwatchColour


def reading_data(reading: Reading) -> dict[str, Any]:
    """Return what a reading says in figures."""
    flash, field, lots, answer = reading.flash, reading.field, reading.lots, verdict(reading)
    # Of fluorescent swatch or cloth nothing is said where its colour cannot be told.
    told, cloth_told = reading.question.swatch_told, reading.question.cloth_told
    return {
        "sentence": sentence(reading),
        "figures": figures(reading),
        "cannot_tell": cannot_tell(reading),
        "seen": seen_data(reading.seen),
        "seen_of": reading.seen_of,
        "seen_stone": seen_data(reading.seen_stone),
        "seen_field": seen_data(reading.seen_field),
        "in_hand": {
            "seen": seen_data(reading.hand.seen), "table": reading.hand.table, "rim": reading.hand.rim,
        },
        "glow": seen_data(reading.glow),
        "uncoated": seen_data(reading.uncoated),
        "swatch": seen_data(reading.swatch) if told else None,
        "cloth": seen_data(reading.cloth) if cloth_told else None,
        "known": _known(reading),
        "shift": dataclasses.asdict(reading.shift),
        "flash": None if flash is None else {
            "by_luminance": _shares(flash.by_luminance),
            "by_number": _shares(flash.by_number),
            "told_by": "facet" if reading.at_hand else "stone",
            "lamp_eye_degrees": reading.lamp_eye,
        },
        "field": None if not cloth_told else {
            "lab": list(field.lab), "merge_m": field.merge_m, "merge_hue_m": field.merge_hue_m,
        },
        "sparkle": None if reading.sparkle is None else dataclasses.asdict(reading.sparkle),
        "drift": dataclasses.asdict(reading.drift) if told else None,
        "answer": answer.outcome,
        "holds": None if answer.outcome == "can't tell" else answer.holds,
        "lots": None if not told else {
            "within_tolerance": lots.within_tolerance,
            "same_hue_family": lots.same_hue_family,
            "dE00": list(lots.dE00),
            "towards": lots.towards,
        },
    }  # fmt: skip


def seen_data(one: Seen) -> dict[str, Any]:
    """Return a colour as the eye has it in the venue."""
    return {
        "lab": list(one.lab), "name": one.name, "family": one.family, "hex": one.hex,
        "screen_can_show_it": one.in_gamut, "brighter_than_white": one.brighter_than_white,
    }  # fmt: skip


def bases(question: Question) -> dict[str, Basis | None]:
    """Return where the numbers come from, by what they are of."""
    return {
        "stone": question.stone.basis,
        "coating": None if question.coating is None else question.coating.basis,
        "cut": question.cut.basis,
        "swatch": question.swatch.basis,
        "cloth": question.cloth.basis,
        "venue": question.venue.basis,
    }


def ranked_data(one: Ranked) -> dict[str, Any]:
    """Return one pairing of a ranking."""
    of = bases(one.question)
    return {
        **pairing_data(one.question),
        "seen": seen_data(one.seen),
        "drift": dataclasses.asdict(one.drift),
        "holds": one.holds,
        "film_alone": one.film_alone,
        "lots": one.lots,
        "score": one.score,
        "basis": {"stone": of["stone"], "coating": of["coating"]},
    }


def instead_data(one: Instead) -> dict[str, Any]:
    """Return a pairing to order instead."""
    return {
        **pairing_data(one.reading.question),
        "seen": seen_data(one.reading.seen),
        "drift": dataclasses.asdict(one.reading.drift),
        "holds": one.ranked.holds,
        "lots": one.ranked.lots,
        "gives_up": list(one.gives_up),
        "warnings": concerns_data([(concern, None) for concern in one.concerns]),
    }


def _known(reading: Reading) -> dict[str, Any]:
    """Return how sure swatch and cloth are in the venue, as sizes (root mean square ΔE00) and in words."""
    question = reading.question
    return {"words": list(origins(reading)), "swatch": _sure(question.swatch, question),
            "cloth": _sure(question.cloth, question)}  # fmt: skip


def _sure(colour: SwatchColour, question: Question) -> dict[str, Any]:
    found = doubt(colour, question.venue)
    return {
        "told_here": not colour.fluorescent or is_daylight(question.venue),
        "dE00": found.sd,
        "of_it_as_got": found.sizes["known"],
        "of_it_guessed_spectrum": found.sizes["guess"],
        "of_it_cloth_turning": found.sizes["turns"],
        "covariance_lab": [list(row) for row in found.covariance],
    }


def _shares(by_family: dict[str, float]) -> dict[str, float]:
    """Return the shares that do not round to nothing."""
    return {family: share for family, share in by_family.items() if round(share, DIGITS) > 0}
