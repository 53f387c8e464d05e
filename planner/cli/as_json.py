"""A reading as JSON for programs: plain numbers, null where there is nothing to say, never NaN."""

import dataclasses
import json
import math
from collections.abc import Sequence
from typing import Any

from planner.catalogue.fields import Entry
from planner.catalogue.palette_file import entry_data
from planner.cli.ask import Asked, Colour
from planner.job.model import Acceptance
from planner.reading.doubt import doubt
from planner.reading.instead import Instead
from planner.reading.origin import origins
from planner.reading.question import Question, is_daylight
from planner.reading.rank import Ranked
from planner.reading.read import Reading, Seen
from planner.reading.sentence import cannot_tell, figures, sentence
from planner.reading.warn import Concern
from planner.swatch.resolve import SwatchColour

_DIGITS = 4


def dumps(data: dict[str, Any]) -> str:
    """Return JSON of `data`, numbers rounded to what carries meaning."""
    return json.dumps(_plain(data), ensure_ascii=False, indent=2, allow_nan=False)


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, bool) or value is None or isinstance(value, int | str):
        return value
    number = float(value)
    # 0.0 is added so that a rounded -0.0 loses its sign.
    return round(number, _DIGITS) + 0.0 if math.isfinite(number) else None


def inputs(asked: Asked) -> dict[str, Any]:
    """Return everything a reading was made from, resolved."""
    question = asked.question
    stone, venue = question.stone, question.venue
    return {
        "stone": {"id": stone.id, "name": stone.name, "material": stone.material, "cut": stone.cut,
                  "foil": stone.foil},
        "coating": named(question.coating),
        "size": question.size,
        "millimetres": question.millimetres,
        "swatch": colour(asked.swatch),
        "cloth": colour(asked.cloth),
        "venue": named(venue),
        "distance_m": question.distance,
        "cover": question.cover,
        "tolerance": question.tolerance,
        "wish": question.wish,
        "grade": asked.grade,
    }  # fmt: skip


def named(entry: Entry | None) -> dict[str, str] | None:
    """Return the id and name of an entry; None for none."""
    return None if entry is None else {"id": entry.id, "name": entry.name}


def colour(one: Colour) -> dict[str, Any]:
    """Return a swatch as it is in daylight (D65)."""
    return {
        "id": one.id, "name": one.name, "lab": list(one.colour.lab),
        "uncertainty_dE00": one.colour.uncertainty, "spectrum_guessed": one.colour.recovered,
        "how": one.colour.how, "basis": one.colour.basis, "fluorescent": one.colour.fluorescent,
        "cloth": None if one.colour.cloth is None else entry_data(one.colour.cloth),
    }  # fmt: skip


def known(reading: Reading) -> dict[str, Any]:
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


def answer(reading: Reading) -> dict[str, Any]:
    """Return what a reading says in figures."""
    flash, field, lots = reading.flash, reading.field, reading.lots
    # Of fluorescent swatch or cloth nothing is said where its colour cannot be told.
    told, cloth_told = reading.question.swatch_told, reading.question.cloth_told
    return {
        "sentence": sentence(reading),
        "figures": figures(reading),
        "cannot_tell": cannot_tell(reading),
        "glow": seen(reading.glow),
        "between": seen(reading.between),
        "uncoated": seen(reading.uncoated),
        "swatch": seen(reading.swatch) if told else None,
        "cloth": seen(reading.cloth) if cloth_told else None,
        "known": known(reading),
        "shift": dataclasses.asdict(reading.shift),
        "flash": None if flash is None else {
            "by_luminance": shares(flash.by_luminance),
            "by_number": shares(flash.by_number),
            "told_by": "facet" if reading.at_hand else "stone",
            "lamp_eye_degrees": reading.lamp_eye,
        },
        "field": None if not cloth_told else {
            "lab": list(field.lab), "merge_m": field.merge_m, "merge_hue_m": field.merge_hue_m,
        },
        "sparkle": None if reading.sparkle is None else dataclasses.asdict(reading.sparkle),
        "drift": dataclasses.asdict(reading.drift) if told else None,
        "holds": reading.holds if told else None,
        "lots": None if not told else {
            "within_tolerance": lots.within_tolerance,
            "same_hue_family": lots.same_hue_family,
            "dE00": list(lots.dE00),
            "towards": lots.towards,
        },
    }  # fmt: skip


def seen(one: Seen) -> dict[str, Any]:
    """Return a colour as the eye has it in the venue."""
    return {
        "lab": list(one.lab), "name": one.name, "family": one.family, "hex": one.hex,
        "screen_can_show_it": one.in_gamut, "brighter_than_white": one.brighter_than_white,
    }  # fmt: skip


def concerns(found: Sequence[tuple[Concern, Acceptance | None]]) -> list[dict[str, Any]]:
    """Return warnings, each with who accepts it and why, or null."""
    return [
        {
            "code": one.code, "severity": one.severity, "text": one.text, "do": one.do,
            "figures": dict(one.figures),
            "accepted": None if by is None else {"who": by.who, "why": by.why},
        }
        for one, by in found
    ]  # fmt: skip


def shares(by_family: dict[str, float]) -> dict[str, float]:
    """Return the shares that do not round to nothing."""
    return {family: share for family, share in by_family.items() if round(share, _DIGITS) > 0}


def basis(asked: Question) -> dict[str, str | None]:
    """Return where the numbers come from."""
    return {
        "stone": asked.stone.basis,
        "coating": None if asked.coating is None else asked.coating.basis,
        "cut": asked.cut.basis,
        "swatch": asked.swatch.basis,
        "cloth": asked.cloth.basis,
        "venue": asked.venue.basis,
    }


def ranked(one: Ranked) -> dict[str, Any]:
    """Return one pairing of a ranking."""
    question = one.question
    return {
        "stone": named(question.stone),
        "coating": named(question.coating),
        "size": question.size,
        "glow": seen(one.glow),
        "drift": dataclasses.asdict(one.drift),
        "holds": one.holds,
        "lots": one.lots,
        "score": one.score,
        "basis": {"stone": question.stone.basis,
                  "coating": None if question.coating is None else question.coating.basis},
    }  # fmt: skip


def alternative(one: Instead) -> dict[str, Any]:
    """Return a pairing to order instead."""
    reading = one.reading
    question = reading.question
    return {
        "stone": named(question.stone),
        "coating": named(question.coating),
        "size": question.size,
        "glow": seen(reading.glow),
        "drift": dataclasses.asdict(reading.drift),
        "holds": one.ranked.holds,
        "lots": one.ranked.lots,
        "gives_up": list(one.gives_up),
        "warnings": concerns([(concern, None) for concern in one.concerns]),
    }
