"""A reading in plain sentences: words first, the figures apart.

No false precision: shares are words as long as anything they rest on is invented or estimated, and
percentages once all of it is measured.
"""

from typing import Final

import numpy as np

from planner.catalogue.fields import Basis
from planner.catalogue.pairing import pairing_name
from planner.colour.difference import delta_e
from planner.colour.everyday import shares, word_of, words
from planner.colour.words import SAME
from planner.reading.field import HUE_ACUITY, arc_minutes
from planner.reading.fit import Fit, better_swatch, fit, hides_cloth, known_to, outcome_of
from planner.reading.hues import GREENISH, greenish, hues, kind_of
from planner.reading.phrase import WHOLE, percent, share, signed, tenths, than
from planner.reading.question import Question
from planner.reading.read import Reading, Seen
from planner.reading.verdict import in_brief
from planner.reading.warn import STRADDLE, UNSURE

ALL: Final = 0.93
"""Share from which "nearly all" goes without saying."""

READS = 0.5
"""Share of people who call a colour green from which it reads green."""

MOSTLY = 0.71
"""Share of greenish sparkles from which the sparkle as a whole is said to read green: "three quarters"."""

SOME_GREEN = 0.15
"""Share of greenish sparkles from which a stone is said to have them: "about a fifth" (our choice)."""


def sentence(reading: Reading) -> str:
    """Return what a pairing reads as: colour and sparkle, whether it reads green, match, batches."""
    answer = fit(reading)
    said = [_looks(reading), _bright(reading), sparkling(reading), reads_green(reading)]
    if reading.question.swatch_told:
        said += [_match(reading, answer), _batches(reading, answer), _ranging(reading), _unsure(answer)]
    said.append(_nearer(reading))
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


def _looks(reading: Reading) -> str:
    """Return the colour, beside the bare stone if there is a film."""
    question = reading.question
    glow, bare = reading.seen, reading.uncoated
    name = pairing(reading)
    if question.coating is None:
        return f"{name}: it looks {glow.name}."
    before, same = reading.family_uncoated, glow.family == bare.family
    what = f"it stays {before}" if same else f"the coating turns it from {before} to {glow.family}"
    exactly = "" if glow.name == glow.family else f", {_article(glow.name)} {glow.name}"
    if reading.shift.words == SAME:
        return f"{name}: {what}{exactly}, hardly changed by the coating."
    return f"{name}: {what}{exactly}, {than(reading.shift.words, 'uncoated')}."


def _article(words: str) -> str:
    return "an" if words[0] in "aeiou" else "a"


def sparkling(reading: Reading) -> str:
    """Return how much of the sparkle is in which hue, in one sentence."""
    told = hues(reading)
    if told is None:
        if reading.lamp_eye is None:
            return "The light here is soft, so it hardly sparkles."
        return "It hardly sparkles here."
    exact = flash_basis(reading) == "measured"
    many = share(told.number, exact=exact)
    where = "Close up, " if reading.at_hand else ""
    also = f", {share(told.also_number, exact=exact)} {told.also}" if told.also else ""
    if not told.contrary:
        sparkles = (
            "Its sparkle is" if told.number > ALL else f"{many[:1].upper()}{many[1:]} of its sparkle is"
        )
    else:
        sparkles = f"{'But ' if not where else ''}{many} of its sparkle is"
    said = f"{where}{sparkles[:1].lower() + sparkles[1:] if where else sparkles} {told.name}{also}"
    return f"{said}."


def _nearer(reading: Reading) -> str:
    """Return what single stones look like, where the viewer sees stones and cloth as one."""
    stone = reading.nearer
    if reading.seen_of == "stone" or stone.name == reading.seen.name:
        return ""
    return f"Closer up, each stone by itself looks {stone.name}."


def reads_green(reading: Reading) -> str:
    """Answer the first question about a coated stone in one line; nothing for an uncoated one."""
    question = reading.question
    if question.coating is None:
        return ""
    people = green_share(reading.seen)
    if people >= READS:
        bare = green_share(reading.uncoated) >= READS
        how = "as it does uncoated" if bare else f"to about {in_ten(people)} people"
        return f"Does it read green? Yes, {how}."
    sparkles = greenish(reading)
    if sparkles < SOME_GREEN:
        return "Does it read green? No."
    small = arc_minutes(question.millimetres, question.distance) < HUE_ACUITY
    far = ", and from that far it may pass for blue" if small else ""
    return f"Does it read green? Only {'its' if sparkles > MOSTLY else 'some of its'} sparkle does{far}."


def where_worn(reading: Reading) -> str:
    """Return the look where it is worn in one line, beside the swatch."""
    question = reading.question
    green = ""
    if question.coating is not None:
        sparkles = " with a green sparkle" if greenish(reading) >= SOME_GREEN else ""
        green = " and reads green" if green_share(reading.seen) >= READS else sparkles
    beside = f", {than(reading.drift.words, 'your swatch')}" if question.swatch_told else ""
    return f"From {question.distance:g} m it looks {reading.seen.name}{green}{beside}."


def by_the_window(reading: Reading) -> str:
    """Return the other look in one line: in the hand by the window, where the parcel is opened."""
    hand, question = reading.hand, reading.question
    parts = "" if hand.table == hand.rim else f"; its table shines {hand.table}, its rim {hand.rim}"
    green = ""
    if question.coating is not None:
        # Where table and rim differ, they are told apart anyway.
        gleam = " with a green gleam" if not parts and kind_of(hand.rim) == GREENISH else ""
        green = " and reads green" if green_share(hand.seen) >= READS else gleam
    return f"In the hand by the window it looks {hand.seen.name}{green}{parts}."


def green_share(colour: Seen) -> float:
    """Return the share of people who would call a colour green or teal."""
    found = dict(zip(words(), shares(np.array(colour.lab)), strict=True))
    return float(found["green"] + found["teal"])


def _bright(reading: Reading) -> str:
    return "It looks brighter than white cloth." if reading.seen.brighter_than_white else ""


def _match(reading: Reading, answer: Fit) -> str:
    """Return how the colour stands to the swatch, by the wish and the tolerance."""
    drift, outcome = reading.drift, answer.outcome
    if outcome == "can't tell":
        # What follows says so; the figures stand for themselves.
        outcome = outcome_of(answer.misfit)
    if outcome == "fails" and answer.by_word:
        return _other_word(reading)
    compared = f"The stone is {off(drift.words, outcome)}"
    return f"{compared}{_ends(reading.question, outcome, drift.words == SAME)}."


def off(words_of: str, outcome: str) -> str:
    """Return a drift as a comparison; what fails without a word for it is "a shade off"."""
    if words_of == SAME and outcome == "fails":
        return "a shade off your swatch"
    return than(words_of, "your swatch")


def _other_word(reading: Reading) -> str:
    word, people = word_of(np.array(reading.seen.lab))
    theirs, _ = word_of(np.array(reading.swatch.lab))
    if word == theirs:
        return f"Many people would not call it {theirs}, which is what they call your swatch."
    return f"About {in_ten(people)} people would call it {word}; your swatch is {theirs}."


def in_ten(value: float) -> str:
    """Return a share of people as "seven in ten"."""
    number = max(1, min(9, round(10 * value)))
    return f"{_NUMBERS[number]} in ten"


_NUMBERS: Final = ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def _ends(question: Question, outcome: str, same: bool) -> str:
    """Return the end of the sentence on how it stands to the swatch, which passes though it differs."""
    about = "just about " if outcome == "just about" else ""
    fails = outcome == "fails"
    but = "and" if fails or same else "but"
    match question.wish:
        case "contrast":
            return ", and hardly stands out from it" if fails else f", and {about}stands out as you want"
        case "tone":
            return ", and strays from its hue" if fails else f", {but} {about}keeps to its hue, as you want"
    match question.tolerance:
        case "arm":
            return f", {but} {'does not pass' if fails else f'{about}passes'} for it at arm's length"
        case "seats":
            return f", {but} {'does not pass' if fails else f'{about}passes'} for it from the seats"
        case "family":
            return ", and is another colour" if fails else f", {but} is still {about}the same colour"
        case _:
            return ": more than you allow" if fails else f": {about}within what you allow"


def _batches(reading: Reading, answer: Fit) -> str:
    exact = drift_basis(reading) == "measured"
    otherwise = 1.0 - answer.lots if answer.fits else answer.lots
    if otherwise <= STRADDLE:
        same = share(1.0 - otherwise, exact=exact)
        if exact:
            return f"Of the batches, {same} come out like this."
        return f"{same[:1].upper()}{same[1:]}{'' if same in WHOLE else ' of the'} batches come out like this."
    does = {"blend": "match", "tone": "keep to its hue", "contrast": "stand out"}[reading.question.wish]
    towards = reading.lots.towards
    # Where most differ as the stone itself does, that has been said.
    new = towards not in {"", reading.drift.words}
    most = f", and most come out {than(towards, 'your swatch')}" if new else ""
    many = share(answer.lots, exact=exact)
    return f"Batches differ: {many}{'' if many in WHOLE else ' of them'} {does}{most}."


RANGES = 0.2
"""Share of batches from which another everyday word is told: one in five (our choice)."""


RANGED = 6.0
"""CIEDE2000 between those and the others from which they are told (our choice)."""


def _ranging(reading: Reading) -> str:
    """Return from which everyday colour to which batches of a coating range, where they do."""
    if reading.question.coating is None:
        return ""
    named = shares(reading.lab_lots).argmax(axis=-1)
    often = np.bincount(named, minlength=len(words()))
    usual, other = (int(at) for at in np.argsort(-often, kind="stable")[:2])
    part = float(often[other] / often.sum())
    if part < RANGES:
        return ""
    ends = [reading.lab_lots[named == at].mean(axis=0) for at in (usual, other)]
    if delta_e(*ends) < RANGED:
        return ""  # alike, and a border between two words runs through them
    many = share(part, exact=drift_basis(reading) == "measured")
    return (
        f"Batches range from {words()[usual]} to {words()[other]}: {many} of them come out {words()[other]}."
    )


def _unsure(answer: Fit) -> str:
    if answer.unsure <= UNSURE or answer.outcome == "can't tell":
        return ""
    if answer.main == "turns":
        return "It is so close that it may depend on which way the cloth is turned."
    return "It is so close that a small error in your swatch's colour could change the answer."


def short(reading: Reading) -> str:
    """Return a reading for a row of a table: "strong blue; sparkle half greenish; too far off"."""
    told, answer = hues(reading), fit(reading)
    parts = [reading.seen.name]
    if told is None:
        parts.append("no sparkle")
    else:
        amount = share(told.number, exact=flash_basis(reading) == "measured").removeprefix("about ")
        parts.append(f"sparkle {amount} {told.name}")
    wish = reading.question.wish
    if answer.outcome == "fails" and wish == "blend" and reading.drift.words != SAME:
        parts.append(reading.drift.words)
    else:
        parts.append(in_brief(wish, answer.outcome))
    return "; ".join(parts)


def figures(reading: Reading) -> str:
    """Return the figures behind the sentence; whole numbers unless all that they rest on is measured."""
    digits = 1 if drift_basis(reading) == "measured" else 0
    drift, lots, flash = reading.drift, reading.lots, reading.flash
    dL, dC = (signed(value, digits=digits) for value in (drift.dL, drift.dC))
    turn = "hue undefined" if drift.dh is None else f"Δh {signed(drift.dh, '°', digits)}"
    said = [f"Seen {_lab(reading.seen, digits)}"]
    if reading.question.swatch_told:
        said.append(f"from the swatch ΔE00 {drift.dE00:.{digits}f}, ΔL* {dL}, ΔC* {dC}, {turn}")
    if reading.seen_of == "field" and reading.question.cloth_told:
        said.append(f"with the cloth between the stones {_lab(reading.seen_field, digits)}")
    said.append(f"glow, averaged over everything, {_lab(reading.glow, digits)}")
    if flash is not None:
        said.append(f"sparkle by number {_shares(flash.by_number)}")
        said.append(f"sparkle by light {_shares(flash.by_luminance)}")
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


def _lab(one: Seen, digits: int) -> str:
    a, b = (signed(value, digits=digits) for value in one.lab[1:])
    return f"{one.name}, L* {one.lab[0]:.{digits}f}, a* {a}, b* {b}"


def _shares(shares: dict[str, float]) -> str:
    return ", ".join(f"{percent(value)} {name}" for name, value in shares.items() if value >= 0.02)


def cannot_tell(reading: Reading) -> str | None:
    """Return why there is no answer, if there is none (`planner.reading.fit`)."""
    question, answer = reading.question, fit(reading)
    if answer.outcome != "can't tell":
        return None
    if not question.swatch_told:
        return (
            "I can't tell: your swatch fluoresces, and away from daylight its colour depends on how much "
            "ultraviolet and blue the lamps give. Hold the stones against the cloth under those lamps."
        )
    if not question.cloth_told and not hides_cloth(question):
        return (
            "I can't tell: your cloth fluoresces and shows through a stone without foil, and nobody knows "
            "how it looks in this light. Glue one to a scrap and look at it under those lamps."
        )
    return f"I can't tell: your {known_to(question)}, and the answer hangs on that. {better_swatch(reading)}"
