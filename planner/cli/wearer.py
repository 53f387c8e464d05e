"""What concerns the wearer, told before anything else, and whether it stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import click

from planner.catalogue.palette import Palette
from planner.cli import text
from planner.fixing.caution import Caution, accepting, wearer_cautions
from planner.job.model import Acceptance, Job

STYLE: dict[str, dict[str, Any]] = {
    "severe": {"fg": "red", "bold": True},
    "caution": {"fg": "yellow"},
    "note": {},
}
_WIDEST = max(map(len, STYLE)) + 4


@dataclass(frozen=True)
class Warned:
    """A caution on a job, and who accepts it for which line."""

    caution: Caution

    by_line: tuple[tuple[int, Acceptance | None], ...]
    """(number of the line, who accepts it there or None) for each line that it is about."""

    @property
    def standing(self) -> tuple[int, ...]:
        """Lines for which it is severe and accepted by nobody."""
        if self.caution.severity != "severe":
            return ()
        return tuple(line for line, by in self.by_line if by is None)


def warned(job: Job, palette: Palette) -> tuple[Warned, ...]:
    """Return what concerns the wearer of a job, gravest first."""
    return tuple(_warned(one, job) for one in wearer_cautions(job, palette))


def _warned(caution: Caution, job: Job) -> Warned:
    lines = ((number, accepting(caution, job.lines[number - 1])) for number in caution.lines)
    return Warned(caution, tuple(lines))


def told(found: Sequence[Warned], wearer: str) -> str:
    """Return what concerns the wearer, under a heading; nothing where nothing does."""
    if not found:
        return ""
    for_whom = "" if wearer == "adult" else f": a child {wearer}"
    return "\n".join([text.heading(f"The wearer{for_whom}"), *map(_one, found)])


def _one(one: Warned) -> str:
    parts = [caution_told(one.caution)]
    for line, by in one.by_line:
        if by is not None:
            parts.append(text.wrap(f"Accepted for line {line} by {by.who}: {by.why}", _WIDEST))
    return "\n".join(parts)


def caution_told(one: Caution) -> str:
    """Return a caution with its severity, its lines and what to do."""
    lead = f"  {one.severity}"
    lines = (
        f" (line{'s' if len(one.lines) > 1 else ''} {', '.join(map(str, one.lines))})" if one.lines else ""
    )
    first, *rest = text.wrap(f"{one.code}{lines}: {one.text}", _WIDEST, lead.ljust(_WIDEST)).split("\n")
    styled = click.style(lead, **STYLE[one.severity]) + first[len(lead) :]
    return "\n".join([styled, *rest, text.wrap(f"What to do: {one.do}", _WIDEST)])


def numbered(lines: Sequence[int]) -> str:
    """Return numbers of lines as part of a sentence: "lines 1, 3"."""
    return f"line{'s' if len(lines) > 1 else ''} {', '.join(map(str, lines))}"


def data(found: Sequence[Warned]) -> list[dict[str, Any]]:
    """Return what concerns the wearer for programs."""
    return [
        {
            **caution_data(one.caution),
            "accepted": [
                {"line": line, "who": by.who, "why": by.why} for line, by in one.by_line if by is not None
            ],
            "standing": list(one.standing),
        }
        for one in found
    ]


def caution_data(one: Caution) -> dict[str, Any]:
    """Return a caution for programs."""
    return {
        "code": one.code, "severity": one.severity, "text": one.text, "do": one.do, "lines": list(one.lines),
        "can_be_accepted": not one.final,
    }  # fmt: skip
