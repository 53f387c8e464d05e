"""What is known of a question's swatch and cloth, and what their kind does: a sentence for each."""

import numpy as np

from planner.catalogue.cloth import cloth_kinds
from planner.colour.difference import delta_e
from planner.reading.doubt import Doubt, doubt
from planner.reading.question import Question, is_daylight
from planner.reading.read import Reading
from planner.reading.scene import perceived, scene, tristimulus_weights
from planner.refusal import InvalidValue
from planner.swatch.cloth import cloth_words
from planner.swatch.resolve import SwatchColour


def origins(reading: Reading) -> tuple[str, ...]:
    """Return how swatch and cloth were got, how sure they are here, and what their kind does here."""
    return (*got_as(reading.question), *kinds(reading))


def got_as(question: Question) -> tuple[str, ...]:
    """Return how swatch and cloth were got, and how sure they are in this venue."""
    return tuple(_got(what, question, colour) for what, colour in _both(question))


def _both(question: Question) -> tuple[tuple[str, SwatchColour], ...]:
    """Return the swatch, and the cloth where it is another."""
    swatch = ("swatch", question.swatch)
    return (swatch,) if question.cloth is question.swatch else (swatch, ("cloth", question.cloth))


def kinds(reading: Reading) -> tuple[str, ...]:
    """Return what the kind of swatch and cloth does to this reading; nothing where both are plain."""
    question = reading.question
    both = _both(question)
    said = [_neon(what, question, one) for what, one in both if one.fluorescent]
    said += [_turns(what, question, one) for what, one in both]
    said += [_backed(what, one) for what, one in both]
    said.append(_woven(reading))
    return tuple(one for one in said if one)


def _got(what: str, question: Question, colour: SwatchColour) -> str:
    """Return how a colour was got, its basis, and how well it is known in daylight and here."""
    sure = doubt(colour, question.venue)
    how = f"Your {what}: {colour.how or 'a colour of unknown origin'}; {colour.basis}"
    if colour.fluorescent:
        return f"{how}, known to ±{colour.uncertainty:.1f} ΔE00 in daylight alone."
    known = sure.sizes["known"]
    if known == 0.0 and sure.sizes["guess"] == 0.0:
        return f"{how}, taken to be exact."
    total = float(np.hypot(known, sure.sizes["guess"]))
    if sure.sizes["guess"] < 0.05:
        because = "" if colour.recovered else ", since its spectrum is known"
        return f"{how}, known to ±{known:.1f} ΔE00 in this light{because}."
    return (
        f"{how}, known to ±{colour.uncertainty:.1f} ΔE00 in daylight and ±{total:.1f} in this light, since "
        "its spectrum is a guess from its colour."
    )


def _neon(what: str, question: Question, colour: SwatchColour) -> str:
    if is_daylight(question.venue):
        return f"Your {what} fluoresces: this is for daylight, and nothing can be said of it under other "
        "lamps."
    if what == "cloth" and colour is not question.swatch:
        through = "" if question.stone.foil != "none" or question.stone.opaque else (
            ", nor of what shows through a stone without foil"
        )  # fmt: skip
        return (
            "Your cloth fluoresces: in this light nothing can be said of how the stones stand out from it"
            f"{through}."
        )
    return "You still get the stone's own colour and sparkle; only the comparison is missing."


def _turns(what: str, question: Question, colour: SwatchColour) -> str:
    """Return how far cloth changes in this light as it turns, and how that counts."""
    kind = cloth_kinds()["matte" if colour.cloth is None else colour.cloth.kind]
    if not kind.turns:
        return ""
    lightness, sure = _lightness(doubt(colour, question.venue)), doubt(colour, question.venue)
    shares = 'it counts in the shares of batches and in "I can\'t tell"'
    counts = shares if what == "swatch" else "the warning of light and dark allows for it"
    if what == "swatch" and colour is question.cloth:
        counts = f"{shares}, and the warning of light and dark allows for it"
    how = _directed(question)
    return (
        f"{kind.says} {how} it changes by ±{lightness:.0f} L* (±{sure.sizes['turns']:.0f} ΔE00) as it moves; "
        f"{counts}. The size is our estimate for the kind, not a measurement."
    )


def _lightness(sure: Doubt) -> float:
    return float(sure.turns[0, 0]) ** 0.5


def _directed(question: Question) -> str:
    angle = scene(question.venue).lamp_eye
    return "In this soft light" if angle is None else f"With the main lamp {angle:.0f}° from the eye"


def _backed(what: str, colour: SwatchColour) -> str:
    cloth = colour.cloth
    if cloth is None or cloth.backing is None:
        return ""
    worn = cloth_words(cloth.backing)
    if cloth.read_over is None:
        return f"Your {what} is sheer: its colour holds over {worn} and no other backing."
    share = "" if cloth.lets_through is None else f" (it lets through {100 * cloth.lets_through:.0f} %)"
    guess = "; how much light it lets through is our estimate" if cloth.lets_through is None else ""
    return (
        f"Your {what} is sheer: read over {cloth_words(cloth.read_over)}, here it lies over {worn}{share}"
        f"{guess}, and the doubt about both is counted."
    )


def _woven(reading: Reading) -> str:
    """Return how the stone stands to each colour of a two-tone swatch."""
    question = reading.question
    swatch = question.swatch
    if swatch.cloth is None or swatch.cloth.kind != "two-tone":
        return ""
    says = cloth_kinds()["two-tone"].says
    if swatch.ends is None:
        return f"{says} How far it changes is our estimate: give its second colour to have it worked out."
    if not question.swatch_told:
        return says
    glow = np.array(reading.seen.lab)
    first, second = (float(delta_e(glow, end)) for end in ends_of(question))
    return (
        f"{says} Against its first colour the stone is ΔE00 {first:.0f} off, against its second "
        f"({cloth_words(swatch.cloth.second)}) ΔE00 {second:.0f}; the shares take every mixture of the "
        "two as equally likely."
    )


def ends_of(question: Question) -> np.ndarray:
    """Return (2, 3) CIELAB of the two colours of a weave in the question's venue."""
    place = scene(question.venue)
    ends = question.swatch.ends
    if ends is None:
        raise InvalidValue("The swatch has one colour.")
    return perceived((ends * place.white) @ tristimulus_weights(), place)
