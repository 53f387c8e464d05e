"""A reading in plain sentences: words first, the figures apart.

No false precision: shares are words as long as anything they rest on is invented or estimated, and
percentages once all of it is measured.
"""

from typing import Final

from planner.catalogue.fields import Basis
from planner.catalogue.pairing import pairing_name
from planner.colour.words import SAME
from planner.reading.field import HUE_ACUITY, arc_minutes
from planner.reading.fit import SEATS, Fit, better_swatch, fit, known_to
from planner.reading.hues import Hues, hues
from planner.reading.phrase import WHOLE, listed, percent, share, signed, tenths, than
from planner.reading.read import Reading
from planner.reading.warn import STRADDLE, UNSURE

_CONFUSED: Final = frozenset({"green", "blue green", "blue"})
"""Families that a small field makes alike."""

CANNOT_TELL = 1.0 / 3.0
"""Share of the swatch's possible errors that must turn the answer: one in three."""

RESTS_DARKER = 8.0
"""Difference in L* from which the stone between its flashes is told of: plainly another lightness."""

COARSE = 0.5
"""Part of the tolerance that the swatch's uncertainty must reach. A swatch known better than that leaves
an answer near the limit, which is an answer: no tolerance is so sharp."""


def sentence(reading: Reading) -> str:
    """Return what a pairing reads as: glow and sparkle, drift, lots."""
    answer = fit(reading)
    said = [_glow_and_flash(reading), _no_flash(reading), _between(reading), _bright(reading)]
    if reading.question.swatch_told:
        said += [_drift(reading, answer), _lots(reading, answer), _unsure(answer)]
    return " ".join(one for one in said if one)


def pairing(reading: Reading) -> str:
    """Return the pairing's name."""
    return pairing_name(reading.question.stone, reading.question.coating)


def flash_basis(reading: Reading) -> Basis:
    """Return the weakest basis of what the sparkle rests on: stone, cut and coating."""
    question = reading.question
    film = None if question.coating is None else question.coating.basis
    return _weakest(question.stone.basis, question.cut.basis, film)


def drift_basis(reading: Reading) -> Basis:
    """Return the weakest basis of what the drift rests on: stone, cut, coating and swatch."""
    return _weakest(flash_basis(reading), reading.question.swatch.basis)


def _weakest(*found: Basis | None) -> Basis:
    order: tuple[Basis, ...] = ("invented", "estimated", "measured")
    return min((one for one in found if one is not None), key=order.index)


def _glow_and_flash(reading: Reading) -> str:
    clause, other = _flash(reading)
    return (
        f"{pairing(reading)}: {_glow(reading)}{(', but ' if other else ', and ') + clause if clause else ''}."
    )


def _glow(reading: Reading) -> str:
    """Return what the glow is, beside the bare stone if there is a film."""
    question = reading.question
    glow, bare = reading.seen, reading.uncoated
    if question.coating is None:
        return f"the stone reads {glow.name}"
    same = glow.family == bare.family
    what = f"stays {glow.family}" if same else f"turns from {bare.family} to {glow.family}"
    name = "" if glow.name == glow.family else f", {_article(glow.name)} {glow.name}"
    if reading.shift.words == SAME:
        return f"the stone {what}{name}, much as it is bare"
    return f"the stone {what}{name}, {than(reading.shift.words, 'bare')}"


def _article(words: str) -> str:
    return "an" if words[0] in "aeiou" else "a"


def _flash(reading: Reading) -> tuple[str, bool]:
    """Return the clause on sparkle, and whether it says another hue than the glow's."""
    told = hues(reading)
    if told is None:
        return "", False
    exact = flash_basis(reading) == "measured"
    many, count = share(told.luminance, exact=exact), share(told.number, exact=exact)
    where = "facet by facet " if reading.at_hand else ""
    named = listed(told.names, "or")
    if told.most_flashes and reading.flash is not None:
        rival = share(reading.flash.by_number[told.most_flashes], exact=exact)
        said = f"{many} of its sparkle is {named} by light, and {rival} {told.most_flashes} by number"
    elif many == count:
        said = f"{many} of its sparkle is {named}"
    else:
        joint = "though only" if told.number < told.luminance else "and"
        said = f"{many} of its sparkle by light, {joint} {count.removeprefix('about ')} by number, is {named}"
    return f"{where}{said}{_confused(reading, told)}", told.other


def _confused(reading: Reading, told: Hues) -> str:
    """Return a doubt on green against blue where a stone is too small for the eye to be sure of it.

    Only of single stones: the glow is that of a whole field of them.
    """
    small = arc_minutes(reading.question.millimetres, reading.question.distance) < HUE_ACUITY
    if told.other and small and {*told.names, reading.seen.family} <= _CONFUSED:
        return f", which from so far is hard to tell from {reading.seen.family}"
    return ""


def _no_flash(reading: Reading) -> str:
    if reading.flash is not None:
        return ""
    if reading.lamp_eye is None:
        return "There are no small lamps here, so there is no sparkle to speak of."
    return "None of its reflections outshines its glow enough to be called a sparkle."


def _between(reading: Reading) -> str:
    """Return what the eye rests on between flashes, where that is clearly darker than the glow."""
    glow, between = reading.seen, reading.between
    if reading.flash is None or glow.lab[0] - between.lab[0] < RESTS_DARKER:
        return ""
    rests = "darker" if between.name == glow.name else f"{_article(between.name)} {between.name}"
    return f"Much of that light comes in flashes: between them it is {rests}."


def _bright(reading: Reading) -> str:
    if not reading.seen.brighter_than_white:
        return ""
    return "It glows brighter than white cloth, and is named as if it did not."


def _drift(reading: Reading, answer: Fit) -> str:
    """Return how the glow stands to the swatch, by the wish and the tolerance."""
    question, drift = reading.question, reading.drift
    compared = f"It is {than(drift.words, 'your swatch')}"
    if question.wish == "contrast":
        if answer.fits:
            return f"{compared}, and stands out from it as you wish."
        return f"{compared}, and hardly stands out from it."
    if question.wish == "tone":
        if answer.fits:
            return f"{compared}, and keeps its hue as you wish."
        return f"{compared}, and does not keep its hue."
    return f"{compared}{_blends(reading, fits=answer.fits)}."


def _blends(reading: Reading, *, fits: bool) -> str:
    """Return the end of the sentence on drift where the stone should blend in."""
    match reading.question.tolerance:
        case "arm":
            return (
                ", and passes for it at arm's length"
                if fits
                else ", and does not pass for it at arm's length"
            )
        case "seats":
            return f", which {'' if fits else 'is further than '}an audience would forgive"
        case "family":
            family = reading.swatch.family
            return (
                f", and stays {family}" if fits else f": {reading.seen.family} where your swatch is {family}"
            )
        case _:
            return f", which is {'within what' if fits else 'more than'} you allow"


def _lots(reading: Reading, answer: Fit) -> str:
    exact = drift_basis(reading) == "measured"
    otherwise = 1.0 - answer.lots if answer.fits else answer.lots
    if otherwise <= STRADDLE:
        same = share(1.0 - otherwise, exact=exact)
        return f"The same goes for {same}{'' if same in WHOLE else ' of'} batches."
    does = {"blend": "hold", "tone": "keep its hue", "contrast": "stand out"}[reading.question.wish]
    towards = reading.lots.towards
    most = f", and most come out {than(towards, 'the swatch')}" if towards else ""
    return f"Batches disagree: {share(answer.lots, exact=exact)} {does}{most}."


def _unsure(answer: Fit) -> str:
    if answer.unsure <= UNSURE:
        return ""
    if answer.main == "turns":
        return "That is so near the limit that it depends on how the cloth is turned."
    return "That is so near the limit that the doubt about your swatch may decide it."


def short(reading: Reading) -> str:
    """Return a reading for a row of a table: "strong blue; sparkle half green; too far"."""
    told = hues(reading)
    parts = [reading.seen.name]
    if told is None:
        parts.append("no sparkle")
    else:
        amount = share(told.luminance, exact=flash_basis(reading) == "measured").removeprefix("about ")
        parts.append(f"sparkle {amount} {listed(told.names, 'or')}")
    told_of = reading.question.swatch_told
    parts.append(_verdict(reading, fit(reading)) if told_of else "can't tell")
    return "; ".join(parts)


def _verdict(reading: Reading, answer: Fit) -> str:
    wish = reading.question.wish
    if wish == "contrast":
        return "stands out" if answer.fits else "hardly stands out"
    if answer.fits:
        return "holds"
    return "off in hue" if wish == "tone" else reading.drift.words


def figures(reading: Reading) -> str:
    """Return the figures behind the sentence; whole numbers unless all that they rest on is measured."""
    digits = 1 if drift_basis(reading) == "measured" else 0
    drift, lots, flash = reading.drift, reading.lots, reading.flash
    a, b, dL, dC = (signed(value, digits=digits) for value in (*reading.seen.lab[1:], drift.dL, drift.dC))
    turn = "hue undefined" if drift.dh is None else f"Δh {signed(drift.dh, '°', digits)}"
    said = [f"Glow {reading.seen.name}, L* {reading.seen.lab[0]:.{digits}f}, a* {a}, b* {b}"]
    if reading.question.swatch_told:
        said.append(f"from the swatch ΔE00 {drift.dE00:.{digits}f}, ΔL* {dL}, ΔC* {dC}, {turn}")
    if flash is not None:
        said.append(f"flash by luminance {_shares(flash.by_luminance)}")
        said.append(f"by number {_shares(flash.by_number)}")
    if not reading.question.swatch_told:
        return "; ".join(said) + "."
    low, half, high = lots.dE00
    exactly = fit(reading).lots
    # The warning of lots takes the swatch as given: where the two differ in words, both are said.
    both = reading.question.wish == "blend" and tenths(exactly) != tenths(lots.within_tolerance)
    if both:
        said.append(f"{tenths(exactly)} within the tolerance if the swatch is exactly as given")
    said.append(
        f"{tenths(lots.within_tolerance)} {'with the doubt about it' if both else 'within the tolerance'}, "
        f"{tenths(lots.same_hue_family)} in the hue "
        f"family, ΔE00 {low:.{digits}f} to {high:.{digits}f} (half below {half:.{digits}f})"
    )
    return "; ".join(said) + "."


def _shares(shares: dict[str, float]) -> str:
    return ", ".join(f"{percent(value)} {name}" for name, value in shares.items() if value >= 0.02)


def cannot_tell(reading: Reading) -> str | None:
    """Return why there is no answer, if the swatch is known too badly for one.

    The swatch's error is drawn as for lots, with its covariance in this venue (`planner.reading.doubt`:
    away from daylight a colour without a spectrum is a guess too, and some cloth changes as it turns).
    Where one such swatch in three turns the answer round (`CANNOT_TELL`), and its uncertainty is a good
    part of the tolerance (`COARSE`), there is no answer. The difference asked about is what lies
    between the drift and the tolerance. A fluorescent swatch has no answer but in daylight.
    """
    question = reading.question
    if not question.swatch_told:
        return (
            "I can't tell: your swatch fluoresces, and its colour in other light than daylight depends on "
            "how much ultraviolet and blue the lamps give. Hold the stones on the cloth under those lamps."
        )
    if not question.cloth_told and question.stone.foil == "none" and not question.stone.opaque:
        return (
            "I can't tell: your cloth fluoresces, and shows through a stone without foil; what it sends back "
            "in this light is not known. Glue one on a scrap and look at it under those lamps."
        )
    answer = fit(reading)
    most = answer.most
    if answer.unsure <= CANNOT_TELL or answer.swatch_sd < COARSE * (SEATS if most is None else most):
        return None
    if most is not None and abs(answer.apart - most) >= answer.swatch_sd:
        return None
    between = "enough to change its hue family" if most is None else "more than the difference you ask about"
    return f"I can't tell: your {known_to(question)}, which is {between}. {better_swatch(reading)}"
