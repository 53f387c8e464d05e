"""The answer in a few words: whether a pairing does what is wished, decided and worded here alone."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal, TypeAlias

import numpy as np

from planner.colour.everyday import word_of
from planner.colour.names import capped
from planner.reading.fit import Outcome, fit, hides_cloth, holds
from planner.reading.question import Question, Wish
from planner.reading.read import Reading, Seen

Tone: TypeAlias = Literal["good", "bad", "unsure"]

UNSURE_FROM = 0.2
"""Share of lots, or of the swatch's possible colours, that must disagree for an answer to be unsure."""


@dataclass(frozen=True)
class Verdict:
    """The answer in a few words."""

    outcome: Outcome
    """The same in one: passes, just about, fails, can't tell."""
    tone: Tone
    """Unsure also where lots or the swatch's doubt would turn it too often."""
    text: str

    @property
    def mark(self) -> str:
        """A sign for it, so that it does not rest on colour."""
        unsure = self.tone == "unsure" and self.outcome != "can't tell"
        return MARKS["just about" if unsure else self.outcome]

    @property
    def holds(self) -> bool:
        """Whether there is an answer, and it is that the pairing does what is wished, if only just."""
        return holds(self.outcome)


MARKS: Final[Mapping[Outcome, str]] = MappingProxyType({
    "passes": "✓", "just about": "~", "fails": "✗", "can't tell": "?",
})  # fmt: skip
"""A sign for each answer, beside its word."""


def verdict(reading: Reading) -> Verdict:
    """Return the answer to a reading's question."""
    answer, question = fit(reading), reading.question
    if answer.outcome == "can't tell":
        if not question.swatch_told or not (question.cloth_told or hides_cloth(question)):
            return Verdict("can't tell", "unsure", "Can't tell: fluorescent cloth away from daylight")
        changing = answer.main == "turns"
        turns, unknown = "the cloth changes too much as it turns", "your swatch's colour is too uncertain"
        why = turns if changing else unknown
        return Verdict("can't tell", "unsure", f"Can't tell: {why}")
    said = worded(answer.outcome, question)
    if answer.outcome == "fails" and answer.by_word:
        said = f"Reads {called(reading.seen)}; your swatch reads {called(reading.swatch)}"
    if answer.outcome == "just about":
        return Verdict(answer.outcome, "unsure", said)
    if answer.unsure > UNSURE_FROM or UNSURE_FROM < answer.lots < 1.0 - UNSURE_FROM:
        return Verdict(answer.outcome, "unsure", f"{said}, but that is not certain")
    return Verdict(answer.outcome, "good" if answer.fits else "bad", said)


def worded(outcome: Outcome, question: Question) -> str:
    """Return an answer that can be told, in a few words."""
    about = "Just about " if outcome == "just about" else ""
    match question.wish, outcome:
        case "contrast", "fails":
            said = "hardly stands out from your swatch"
        case "contrast", _:
            said = "stands out from your swatch"
        case "tone", "fails":
            said = "strays from the hue of your swatch"
        case "tone", _:
            said = "keeps to the hue of your swatch"
        case _, "fails":
            said = "too far off your swatch"
        case _:
            said = _PASSES.get(str(question.tolerance), "is as close to your swatch as you allow")
    return about + said if about else said[:1].upper() + said[1:]


_PASSES: Final = {
    "arm": "passes for your swatch even at arm's length",
    "seats": "passes for your swatch from the seats",
    "family": "is the same colour as your swatch",
}


def in_brief(wish: Wish, outcome: Outcome) -> str:
    """Return an answer in a word or two, for a row of many."""
    return _BRIEF[wish].get(outcome, outcome)


_BRIEF: Final[Mapping[Wish, Mapping[Outcome, str]]] = MappingProxyType({
    "blend": {"passes": "matches", "just about": "just about matches", "fails": "too far off"},
    "tone": {"passes": "keeps the hue", "just about": "just about keeps the hue", "fails": "off in hue"},
    "contrast": {
        "passes": "stands out", "just about": "just about stands out", "fails": "hardly stands out",
    },
})  # fmt: skip


def called(colour: Seen) -> str:
    """Return the everyday word that most people would use of a colour."""
    return word_of(capped(np.array(colour.lab))[0])[0]
