"""Warnings as the template takes them: a grade, its word, a sentence, and who accepted it."""

from collections.abc import Sequence
from typing import Any

from planner.assess import LineAssessed
from planner.brief.wording import Wording
from planner.job import Acceptance
from planner.reading.warn import SEVERITIES


def warned(told: LineAssessed, words: Wording, *, reasons: bool = True) -> list[dict[str, Any]]:
    """Return every warning on a line."""
    return [
        warning(one.severity, words.warning(one, told), by, words, reasons=reasons)
        for one, by in told.concerns
    ]


def warning(
    severity: str, text: str, by: Acceptance | None, words: Wording, *, reasons: bool = True
) -> dict[str, Any]:
    """Return one warning; with `reasons`, also why it was accepted."""
    say = words.say.say
    accepted = ""
    if by:
        accepted = (
            say("warning", "accepted", who=by.who, why=by.why)
            if reasons
            else say("warning", "accepted_by", who=by.who)
        )
    return {"severity": severity, "word": say("warning", severity), "text": text, "accepted": accepted}


def of_numbers(numbers: Sequence[int], text: str, words: Wording) -> str:
    """Return a sentence that says which lines it is about."""
    key = "numbers" if len(numbers) > 1 else "number"
    return words.say.say("warning", key, numbers=words.numbers(list(numbers)), text=text)


def warned_together(rest: Sequence[LineAssessed], words: Wording) -> list[dict[str, Any]]:
    """Return every warning on lines that have not even a row, drawn together by kind."""
    found: dict[tuple[int, str], list[int]] = {}
    for one in rest:
        for concern, _ in one.concerns:
            found.setdefault((SEVERITIES.index(concern.severity), concern.code), []).append(one.number)
    return [
        warning(SEVERITIES[grade], of_numbers(numbers, words.warning_of_many(code), words), None, words)
        for (grade, code), numbers in sorted(found.items())
    ]
