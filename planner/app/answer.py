"""One answer as the main screen shows it: a question read and judged, with its words."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any, TypeVar

from planner.assess import Assessed, assess_question
from planner.catalogue.venue import Venue
from planner.job.model import Acceptance
from planner.reading.concern import Concern
from planner.reading.leeway import Leeway, leeway
from planner.reading.matter import QUICK, Grade
from planner.reading.origin import kinds
from planner.reading.question import Question
from planner.reading.read import Reading
from planner.reading.sentence import (
    by_the_window,
    cannot_tell,
    drift_basis,
    pairing,
    sentence,
    sparkling,
    where_worn,
)
from planner.reading.verdict import Verdict

T = TypeVar("T")

SENTENCES = 3
"""Sentences on the main screen at most; all of them stand with the figures."""

_END = re.compile(r"(?<=[.!]) (?=[A-Z])")
"""Where one sentence ends and the next begins; a question stays with its answer."""


@dataclass(frozen=True, eq=False)
class Answer:
    """What there is to say about one question."""

    assessed: Assessed
    window: str = ""
    """The look in the hand by the window, a sentence; empty while it is not worked out."""

    @property
    def reading(self) -> Reading:
        """Its reading."""
        return self.assessed.reading

    @cached_property
    def verdict(self) -> Verdict:
        """The answer in a few words."""
        return self.assessed.verdict

    @cached_property
    def leeway(self) -> Leeway | None:
        """How far one could go from the swatch; None where nothing can be told."""
        return leeway(self.reading)

    @property
    def concerns(self) -> tuple[tuple[Concern, Acceptance | None], ...]:
        """Warnings, gravest first, each with who accepts it."""
        return self.assessed.concerns

    @property
    def fine(self) -> bool:
        """Whether it is worked out in full; else it is a first look."""
        return self.assessed.fine

    @property
    def basis(self) -> str:
        """The weakest basis of what the answer rests on."""
        return drift_basis(self.reading)

    @cached_property
    def name(self) -> str:
        """The pairing: "Pulley blue with the Halyard aurora film"."""
        return pairing(self.reading)

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """What it reads as; the pairing's name is left out, since it is chosen beside them."""
        said = sentence(self.reading).removeprefix(f"{self.name}: ")
        unable = cannot_tell(self.reading)
        return (*(() if unable is None else (unable,)), *_END.split(said[:1].upper() + said[1:]))

    @cached_property
    def short(self) -> tuple[str, ...]:
        """The answer in at most three sentences: whether it can be told, the looks, the sparkle."""
        unable = cannot_tell(self.reading)
        sparkle = sparkling(self.reading).removeprefix("But ")  # it stands by itself here
        sparkle = sparkle[:1].upper() + sparkle[1:]
        said = (*(() if unable is None else (unable,)), *self.looks(), sparkle)
        return said[:SENTENCES]

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What is to be known beside it: sizes, how near such predictions came, what the cloth does."""
        question, record = self.reading.question, self.assessed.record
        told = () if record.track is None else (record.track.said,)
        notes = (*told, *(f"{one[:1].upper()}{one[1:]}" for one in record.notes), *kinds(self.reading))
        if question.size in question.stone.sizes:
            return notes
        sizes = ", ".join(question.stone.sizes)
        return (f"{question.stone.name} is not sold as {question.size}, only as {sizes}.", *notes)

    def looks(self) -> tuple[str, ...]:
        """Return what the stones are seen as where they are worn, and by the window: a sentence each."""
        return where_worn(self.reading), *([self.window] if self.window else ())

    def at_the_window(self) -> "Answer":
        """Return the answer with the look in the hand by the window worked out, and the sparkle compared."""
        _ = self.reading.sparkle  # whoever asks for the figures does not wait for it
        return _changed(self, "short", window=by_the_window(self.reading))

    def accepting(self, accept: Iterable[Acceptance]) -> "Answer":
        """Return the answer with what is accepted by now."""
        return _changed(self, assessed=self.assessed.accepting(accept))

    def asked_as(self, question: Question) -> "Answer":
        """Return the answer, which another process gave, to the very question that it got a copy of.

        What is remembered of a question's parts is then remembered of this answer's too.
        """
        reading = _changed(self.reading, question=question)
        return _changed(self, assessed=replace(self.assessed, reading=reading))


def _changed(one: T, *forgotten: str, **changed: Any) -> T:
    """Return a value changed in some fields; what it has worked out besides, but the `forgotten`, is kept."""
    other = replace(one, **changed)  # type: ignore[type-var]  # dataclasses
    known = {each.name for each in fields(one)} | {*forgotten}  # type: ignore[arg-type]
    vars(other).update({name: found for name, found in vars(one).items() if name not in known})
    return other


def first_look(question: Question, accept: Iterable[Acceptance]) -> Answer:
    """Return a first look at a question, all that is shown of it worked out."""
    found = answer_of(question, QUICK, accept=accept)
    _ = found.verdict, found.leeway, found.short, found.notes
    return found


def answer_of(
    question: Question, grade: Grade, *, venues: Sequence[Venue] = (), others: Sequence[Question] = (),
    accept: Iterable[Acceptance] = (), reading: Reading | None = None,
) -> Answer:  # fmt: skip
    """Return the answer to a question; parameters as for `planner.assess.assess_question`."""
    return Answer(
        assess_question(question, grade, venues=venues, others=others, accept=accept, reading=reading)
    )
