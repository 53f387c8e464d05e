"""What can go wrong with a pairing, each in one plain sentence with its figures and a way out.

Every rule depends on the wish: who wants to stand out is not warned of standing out. Invented and
estimated numbers are a label on every answer and no warning.
"""

from collections.abc import Callable, Iterable, Sequence

import numpy as np

from planner.colour.difference import delta_e, delta_e_terms
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.words import SAME
from planner.job.model import Acceptance
from planner.reading.concern import CODES, SEVERITIES, Concern, Elsewhere, Severity, known
from planner.reading.doubt import doubt
from planner.reading.drift import JUST, lightness_weight
from planner.reading.fit import SEATS, Fit, better_swatch, fit, known_to
from planner.reading.hues import by_kind, off_hue, sparkle_of
from planner.reading.phrase import WHOLE, changed, listed, share
from planner.reading.read import Reading
from planner.reading.verdict import called
from planner.reading.warn_beyond import breaks_elsewhere, sizes_differ

__all__ = ["CODES", "SEVERITIES", "Concern", "Elsewhere", "Severity", "accepted", "warnings"]


def warnings(
    reading: Reading, elsewhere: Sequence[Elsewhere] = (), others: Sequence[Reading] = ()
) -> tuple[Concern, ...]:
    """Return all warnings on a reading, gravest first.

    Parameters
    ----------
    reading
        What is asked about.
    elsewhere
        Its glow in the job's other venues.
    others
        Readings of the job's other lines, in the same venue.

    """
    answer, question = fit(reading), reading.question
    rules: list[Callable[[Reading, Fit], Concern | None]] = []
    # Of fluorescent cloth nothing is claimed where its colour cannot be told.
    if question.swatch_told:
        rules += [
            glow_drifts, hardly_stands_out, flash_off_hue, lots_straddle, swatch_unsure, screen_cannot_show,
        ]  # fmt: skip
        if question.cloth_told:
            rules += [lightness_apart, shows_cloth]
    found = [rule(reading, answer) for rule in rules]
    if question.swatch_told:
        found.append(breaks_elsewhere(reading, answer, elsewhere))
    found.append(sizes_differ(reading, others))
    order = {code: place for place, code in enumerate(CODES)}
    return tuple(
        sorted(
            (one for one in found if one is not None),
            key=lambda one: (SEVERITIES.index(one.severity), order[one.code]),
        )
    )


def accepted(
    concerns: Iterable[Concern], accept: Iterable[Acceptance]
) -> tuple[tuple[Concern, Acceptance | None], ...]:
    """Return every warning with who accepts it and why; an accepted warning is still told.

    Of several acceptances of one code the last one counts.
    """
    by_code = {one.code: one for one in accept}
    return tuple((one, by_code.get(one.code)) for one in concerns)


CLEARLY = 1.5
"""Times the tolerance from which a drift is severe: half as much again (our choice)."""


def glow_drifts(reading: Reading, answer: Fit) -> Concern | None:
    """Warn of a glow outside the tolerance, where blend or tone on tone is wanted.

    Severe from `CLEARLY` times the limit; a difference just over it is one that batches and light may mend.
    """
    if reading.question.wish == "contrast" or answer.fits:
        return None
    drift = reading.drift
    figures = known(dE00=drift.dE00, dL=drift.dL, dC=drift.dC, dh=drift.dh, counts=answer.apart)
    word, theirs = called(reading.seen), called(reading.swatch)
    words = "a different shade" if drift.words == SAME else changed(drift.words)
    if answer.by_word and word != theirs:
        said = f"It reads {word}, and your swatch reads {theirs}."
    elif reading.question.wish == "tone":
        said = f"It strays from the hue of your swatch: it is {words}."
    else:
        said = f"It does not match your swatch: it is {words}."
    return Concern(
        "glow-drifts",
        "severe" if answer.misfit > CLEARLY else "caution",
        said,
        "Choose a pairing that matches, or fix one of these to the cloth and look at it under the lamps.",
        figures,
    )


def hardly_stands_out(reading: Reading, answer: Fit) -> Concern | None:
    """Warn where contrast is wanted and the glow is within what an audience forgives as a match."""
    if reading.question.wish != "contrast" or answer.fits or answer.most is None:
        return None
    return Concern(
        "hardly-stands-out",
        "caution",
        "The stone should stand out, but it nearly passes for your swatch.",
        "Choose a stone that is lighter, darker or another colour.",
        known(dE00=answer.apart, least=answer.most),
    )


OFF_HUE = 1.0 / 3.0
"""Share of the sparkle from which it is noticed as another hue: one sparkle in three (our choice)."""


def flash_off_hue(reading: Reading, _answer: Fit) -> Concern | None:
    """Warn where many sparkles have other hues than the swatch, unless contrast is wanted.

    Severe where most of them have: then nobody calls it the swatch's colour.
    """
    flash = sparkle_of(reading)
    if flash is None or reading.question.wish == "contrast":
        return None
    word = called(reading.swatch)
    names = (reading.swatch.family, word)
    light, number = (off_hue(shares, *names) for shares in (flash.by_luminance, flash.by_number))
    by_light, by_number = sum(light.values()), sum(number.values())
    if by_number < OFF_HUE:
        return None
    hues = listed([kind for kind, part in by_kind(number).items() if part >= 0.1] or [*by_kind(number)][:1])
    many = share(by_number)
    return Concern(
        "flash-off-hue",
        "severe" if by_number > 0.5 else "caution",
        f"{many[:1].upper()}{many[1:]} of its sparkle is {hues}, and your swatch is {word}.",
        "Look at one under a small lamp before you buy, or choose a coating whose sparkle keeps to the hue.",
        {"by_luminance": by_light, "by_number": by_number, "hues": hues},
    )


STRADDLE = 0.2
"""Share of lots that must answer otherwise than the nominal one: one pack in five. Fewer is a risk
that buying once and looking covers; from there on a second order is a gamble (our choice)."""


def lots_straddle(reading: Reading, answer: Fit) -> Concern | None:
    """Warn where more than `STRADDLE` of the lots answer the wish otherwise than the nominal one.

    The swatch is taken as it is given here: its own doubt is another warning.
    """
    otherwise = 1.0 - answer.lots if answer.fits else answer.lots
    if otherwise <= STRADDLE:
        return None
    does = "stand out" if reading.question.wish == "contrast" else "match"
    low, _, high = reading.lots.dE00
    many = share(answer.lots)
    few = f"{'' if many in WHOLE else 'only '}{many}"
    does = f"not {does}: {few}" if answer.fits else f"{does} all the same: {many}"
    return Concern(
        "lots-straddle",
        "caution",
        f"The pack you are sent may {does}{'' if many in WHOLE else ' of the'} batches do.",
        "Order all of them at once and ask for one batch; look at one on the cloth before you open the rest.",
        {"lots": answer.lots, "dE00_low": low, "dE00_high": high},
    )


def lightness_apart(reading: Reading, answer: Fit) -> Concern | None:
    """Warn where stones that should blend in are too light or too dark for the cloth they sit on.

    Too much is what alone exceeds the tolerance, lightness counting half from the seats; what lies within is
    what light and folds do to any cloth. Not where the swatch itself is as far from the cloth, since then the
    match asks for it, nor from so far away that the eye no longer parts stones from cloth. Cloth that
    itself grows lighter and darker as it turns (satin, velvet, metallic) hides that much of it.
    """
    question = reading.question
    if question.wish != "blend" or question.distance > reading.field.merge_m:
        return None
    allowed = JUST * (SEATS if answer.most is None else answer.most) * lightness_weight(question.tolerance)
    cloth, stone, swatch = (np.array(one.lab) for one in (reading.cloth, reading.seen, reading.swatch))
    term = float(delta_e_terms(cloth, stone)[0])
    hidden = float(doubt(question.cloth, question.venue).turns[0, 0]) ** 0.5
    if abs(term) <= allowed + hidden or abs(float(delta_e_terms(cloth, swatch)[0])) >= allowed:
        return None
    dL = float(stone[0] - cloth[0])
    darker = term < 0
    return Concern(
        "lightness-apart",
        "caution",
        f"The stones are {'darker' if darker else 'lighter'} than their cloth: up to about "
        f"{reading.field.merge_m:.0f} m they look like {'holes in it' if darker else 'specks on it'}.",
        f"Take a {'lighter' if darker else 'darker'} stone, a smaller size, or a gradient at the edges.",
        {"dL": dL, "merge_m": reading.field.merge_m},
    )


def shows_cloth(reading: Reading, _answer: Fit) -> Concern | None:
    """Warn of an unfoiled stone: what lies under it decides its colour.

    A caution where the cloth is not the swatch, since then its colour comes through instead of the
    swatch's; else a note, for the reading has reckoned with that cloth.
    """
    stone = reading.question.stone
    if stone.foil != "none" or stone.opaque:
        return None
    apart = float(delta_e(np.array(reading.cloth.lab), np.array(reading.swatch.lab)))
    under = "glue and cloth show" if stone.back == "glued" else "the cloth shows"
    other = "; and the cloth is not the colour of your swatch" if apart > SEATS else ""
    return Concern(
        "shows-cloth",
        "caution" if apart > SEATS else "note",
        f"Without foil, {under} through, so it looks like this on this cloth only{other}.",
        "Glue one to a scrap of this very cloth and let it dry before you order, or take a foiled stone.",
        {"cloth_L": reading.cloth.lab[0], "glow_L": reading.seen.lab[0], "cloth_to_swatch": apart},
    )


UNSURE = 0.2
"""Share of the swatch's possible errors that must turn the answer: the same one in five as for lots."""

DOUBT = 0.25
"""Part of the tolerance that its uncertainty must reach; less is lost in a limit that nobody knows to a
quarter of itself (our choice)."""


def swatch_unsure(reading: Reading, answer: Fit) -> Concern | None:
    """Warn where the swatch is not known well enough for the answer: its error alone may turn it round."""
    most = SEATS if answer.most is None else answer.most
    if answer.unsure <= UNSURE or answer.swatch_sd < DOUBT * most:
        return None
    many = share(answer.unsure)
    return Concern(
        "swatch-unsure",
        "caution",
        f"Your {known_to(reading.question)}: {many}{'' if many in WHOLE else ' of'} the colours it could be "
        "would change the answer.",
        better_swatch(reading),
        {"uncertainty": answer.swatch_sd, "turned": answer.unsure},
    )


SCREEN_APART = 3.0
"""ΔE00 between a colour and its picture from which the picture misleads: what a typed colour is good
for on a screen that nobody calibrated, so less would be lost in the screen itself."""


def screen_cannot_show(reading: Reading, _answer: Fit) -> Concern | None:
    """Note that stone or swatch has a colour that a screen cannot show."""
    off = {
        what: float(delta_e(np.array(one.lab), srgb_to_lab(parse_hex(one.hex))))
        for what, one in (("stone", reading.seen), ("swatch", reading.swatch))
        if not one.in_gamut
    }
    off = {what: apart for what, apart in off.items() if apart > SCREEN_APART}
    if not off:
        return None
    what = " and the ".join(off)
    bright = reading.seen.brighter_than_white and "stone" in off
    return Concern(
        "screen-cannot-show",
        "note",
        f"No screen can show the true colour of the {what}{': it is brighter than white' if bright else ''}.",
        "Go by the name, not by the picture.",
        dict(off),
    )
