"""Warnings on readings and cautions for the wearer, with who accepts them."""

from collections.abc import Iterable, Sequence
from typing import Any

from planner.assess import Guarded
from planner.fixing.caution import Caution
from planner.job.model import Acceptance
from planner.reading.concern import Concern
from planner.say.document import Item, Part, Section, Warned
from planner.say.names import numbered


def concern_parts(
    found: Iterable[tuple[Concern, Acceptance | None]], *, codes: bool = False, nothing: str = ""
) -> tuple[Part, ...]:
    """Return every warning with what to do about it or who accepted it; `nothing` where there is none.

    With `codes`, each begins with the code by which a job accepts it.
    """
    parts = tuple(
        Warned(
            one.severity, one.text, one.do, one.code if codes else "",
            accepted=() if by is None else (f"Accepted by {by.who}: {by.why}",), settled=by is not None,
        )
        for one, by in found
    )  # fmt: skip
    return parts or ((Item(nothing),) if nothing else ())


def wearer_section(found: Sequence[Guarded], wearer: str) -> Section | None:
    """Return what concerns the wearer, told before anything else; nothing where nothing does."""
    for_whom = "" if wearer == "adult" else f": a child {wearer}"
    return Section(f"The wearer{for_whom}", tuple(map(guarded_part, found))) if found else None


def guarded_part(one: Guarded) -> Warned:
    """Return a caution for the wearer; what to do is told of an accepted one too, as it still protects."""
    said = tuple(f"Accepted for line {line} by {by.who}: {by.why}" for line, by in one.by_line if by)
    return caution_part(one.caution, said)


def caution_part(one: Caution, accepted: tuple[str, ...] = ()) -> Warned:
    """Return a caution with the lines that it is about."""
    about = numbered(one.lines) if one.lines else ""
    return Warned(one.severity, one.text, one.do, one.code, about, accepted)


def concerns_data(found: Iterable[tuple[Concern, Acceptance | None]]) -> list[dict[str, Any]]:
    """Return warnings, each with who accepts it and why, or null."""
    return [
        {
            "code": one.code, "severity": one.severity, "text": one.text, "do": one.do,
            "figures": dict(one.figures),
            "accepted": None if by is None else {"who": by.who, "why": by.why},
        }
        for one, by in found
    ]  # fmt: skip


def guarded_data(one: Guarded) -> dict[str, Any]:
    """Return a caution for the wearer."""
    return {
        **caution_data(one.caution),
        "accepted": [{"line": line, "who": by.who, "why": by.why} for line, by in one.by_line if by],
        "standing": list(one.standing),
    }


def caution_data(one: Caution) -> dict[str, Any]:
    """Return a caution."""
    return {
        "code": one.code, "severity": one.severity, "text": one.text, "do": one.do, "lines": list(one.lines),
        "can_be_accepted": not one.final,
    }  # fmt: skip
