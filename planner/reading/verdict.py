"""The answer in a few words: whether a pairing does what is wished, decided and worded here alone."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from planner.reading.fit import Fit, fit
from planner.reading.question import Wish
from planner.reading.read import Reading
from planner.reading.sentence import cannot_tell

Tone: TypeAlias = Literal["good", "bad", "unsure"]

UNSURE_FROM = 0.2
"""Share of lots, or of the swatch's possible colours, that must disagree for an answer to be unsure."""


@dataclass(frozen=True)
class Verdict:
    """The answer in a few words."""

    tone: Tone
    mark: str
    """A sign for it, so that it does not rest on colour."""
    text: str


def verdict(reading: Reading) -> Verdict:
    """Return the answer to a reading's question."""
    return _verdict(reading, fit(reading), cannot_tell(reading))


def in_brief(wish: Wish, does: bool) -> str:
    """Return in a word or two whether a pairing does what is wished, for a row of many."""
    return {
        "blend": ("too far", "holds"), "tone": ("off in hue", "keeps the hue"),
        "contrast": ("hardly stands out", "stands out"),
    }[wish][does]  # fmt: skip


def _verdict(reading: Reading, answer: Fit, unable: str | None) -> Verdict:
    wish, tolerance = reading.question.wish, reading.question.tolerance
    if unable is not None:
        if not (reading.question.swatch_told and reading.question.cloth_told):
            return Verdict("unsure", "?", "Can't tell: fluorescent cloth away from daylight")
        changing = answer.main == "turns"
        why = "the cloth changes too much as it turns" if changing else "the swatch is not known well enough"
        return Verdict("unsure", "?", f"Can't tell: {why}")
    if wish == "contrast":
        said = "Stands out from your swatch" if answer.fits else "Hardly stands out from your swatch"
    elif wish == "tone":
        said = "Keeps the hue of your swatch" if answer.fits else "Leaves the hue of your swatch"
    elif answer.fits:
        passes = {"arm": "even at arm's length", "seats": "from the seats", "family": "as the same hue"}
        said = f"Passes for your swatch {passes.get(str(tolerance), 'as you allow')}"
    else:
        said = "Too far from your swatch"
    if answer.unsure > UNSURE_FROM or UNSURE_FROM < answer.lots < 1.0 - UNSURE_FROM:
        return Verdict("unsure", "~", f"{said}, but not surely")
    return Verdict("good" if answer.fits else "bad", "✓" if answer.fits else "✗", said)
