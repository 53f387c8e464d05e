"""Warnings that one reading alone cannot give: other venues of the job, other sizes of the pairing."""

from collections.abc import Sequence

import numpy as np

from planner.colour.words import SAME
from planner.reading.concern import Concern, Elsewhere, known
from planner.reading.drift import Difference, apart, limit
from planner.reading.fit import SEATS, Fit, counts
from planner.reading.phrase import than
from planner.reading.read import Reading

BREAK_MARGIN = 2.0
"""Least ΔE00 beyond the tolerance at which a match breaks clearly, as it counts for the wish (lightness half
from the seats): an eye at arm's length tells 1 to 2, so less is no news."""

BREAK_SURE = 0.84
"""Share of the colours which the swatch may have in the other light that must fail too: all but one
standard deviation on the near side. Else the guess of its spectrum may have made the break (our choice)."""

BREAK_TURN = 15.0
"""Turn of hue, degrees, that breaks a match within a hue family: half a family's mean width. Two colours
astride a border differ by nothing."""


def breaks_elsewhere(reading: Reading, answer: Fit, elsewhere: Sequence[Elsewhere]) -> Concern | None:
    """Warn where the pairing does what is wished here and clearly fails to in another venue."""
    if not answer.fits:
        return None
    if reading.question.wish == "contrast":
        return _passes_elsewhere(reading, answer.most or SEATS, elsewhere)
    worst: Elsewhere | None = None
    for there in elsewhere:
        if _breaks(reading, answer, there) and (worst is None or there.drift.dE00 > worst.drift.dE00):
            worst = there
    if worst is None:
        return None
    drift = worst.drift
    others = sum(_breaks(reading, answer, there) for there in elsewhere) - 1
    also = f" (and {_other_venues(others)})" if others else ""
    return Concern(
        "breaks-elsewhere",
        "severe",
        f"It works here, but in {worst.venue.name}{also} it is "
        f"{'a shade off your swatch' if drift.words == SAME else than(drift.words, 'your swatch')}.",
        "Choose a pairing that works in both, or ask what lamps the other place will really use.",
        {
            **known(dE00=drift.dE00, dh=drift.dh, here=reading.drift.dE00),
            "venue": worst.venue.name,
            "sure": worst.fails,
        },
    )


def _passes_elsewhere(reading: Reading, least: float, elsewhere: Sequence[Elsewhere]) -> Concern | None:
    """Warn where a stone that stands out here passes for the swatch in another venue."""
    near = [
        there
        for there in elsewhere
        if not there.holds and there.fails >= BREAK_SURE and there.drift.dE00 < least - BREAK_MARGIN
    ]
    if not near:
        return None
    worst = min(near, key=lambda there: there.drift.dE00)
    also = f" (and {_other_venues(len(near) - 1)})" if len(near) > 1 else ""
    return Concern(
        "breaks-elsewhere",
        "caution",
        f"It stands out here, but in {worst.venue.name}{also} it nearly passes for your swatch.",
        "Choose a stone that stands out in both, or ask what lamps the other place will really use.",
        {
            "dE00": worst.drift.dE00,
            "here": reading.drift.dE00,
            "least": least,
            "venue": worst.venue.name,
            "sure": worst.fails,
        },
    )


def _other_venues(count: int) -> str:
    return f"{count} other venue{'s' if count > 1 else ''}"


def _breaks(reading: Reading, answer: Fit, there: Elsewhere) -> bool:
    question = reading.question
    if there.fails < BREAK_SURE or (there.holds and question.wish == "blend"):
        return False
    if question.wish == "tone":
        return _hue_part(reading, there.drift) > (answer.most or SEATS) + BREAK_MARGIN
    if answer.most is not None:
        far = counts(np.array(there.seen.lab), np.array(there.swatch.lab), question)
        return float(far) > answer.most + BREAK_MARGIN
    if there.drift.dh is None or reading.drift.dh is None:
        return there.drift.dE00 > SEATS + BREAK_MARGIN
    return abs(there.drift.dh - reading.drift.dh) > BREAK_TURN


def _hue_part(reading: Reading, drift: Difference) -> float:
    """Return what a turn of hue elsewhere counts, with the chromas that the two colours have here.

    Where one of the two is nearly neutral there is no hue to turn, and the change of chroma counts.
    """
    swatch, glow = (np.hypot(*one.lab[1:]) for one in (reading.swatch, reading.seen))
    mean = 0.5 * float(swatch + glow)
    if drift.dh is None:
        return abs(drift.dC) / (1.0 + 0.045 * mean)
    apart = 2.0 * float(np.sqrt(swatch * glow)) * np.sin(np.radians(abs(drift.dh)) / 2.0)
    return float(apart / (1.0 + 0.015 * mean))


SIZES_APART_LEAST = 2.0
"""ΔE00 between two sizes of one stone below which even an arm's length shows no difference."""


def sizes_differ(reading: Reading, others: Sequence[Reading]) -> Concern | None:
    """Warn where another size of the same pairing on the job differs in colour.

    From half of the tolerance, lightness counting half from the seats: the two sit side by side on one cloth,
    where the eye compares them directly and not with a memory of the cloth.
    """
    question = reading.question
    most = limit(question.tolerance)
    allowed = max(SIZES_APART_LEAST, 0.5 * (SEATS if most is None else most))
    worst, most_apart = None, allowed
    for other in others:
        theirs = other.question
        same = theirs.stone == question.stone and theirs.coating == question.coating
        if same and theirs.size != question.size:
            mine, their = np.array(reading.seen.lab), np.array(other.seen.lab)
            between = float(apart(their, mine, question.tolerance))
            if between > most_apart:
                worst, most_apart = other, between
    if worst is None:
        return None
    dL = worst.seen.lab[0] - reading.seen.lab[0]
    deeper = "darker" if dL < 0 else "lighter"
    return Concern(
        "sizes-differ",
        "caution",
        f"In {worst.question.size} the same stone looks {deeper} than in {question.size}: light goes "
        f"{'further' if worst.question.millimetres > question.millimetres else 'less far'} through it.",
        "Keep the two apart, use the sizes for a gradient, or take the other size in another shade.",
        {"dE00": most_apart, "dL": dL, "size": worst.question.size},
    )
