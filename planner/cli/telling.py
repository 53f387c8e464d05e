"""A reading told to a person: words first, then warnings and what to do, figures after."""

from collections.abc import Iterable, Sequence

import click

from planner.cli import text
from planner.job.model import Acceptance
from planner.reading.origin import got_as, origins
from planner.reading.question import Question
from planner.reading.read import Reading
from planner.reading.sentence import cannot_tell, figures, sentence
from planner.reading.warn import Concern

_STYLE = {"severe": {"fg": "red", "bold": True}, "caution": {"fg": "yellow"}, "note": {}}
_WIDEST = max(map(len, _STYLE)) + 4


def words(reading: Reading) -> str:
    """Return what a pairing reads as, and where that cannot be told, why."""
    unsure = cannot_tell(reading)
    said = text.wrap(sentence(reading))
    return f"{said}\n\n{text.wrap(unsure)}" if unsure else said


def known(reading: Reading) -> str:
    """Return how the swatch and the cloth were got, how sure they are here, and what their kind does."""
    return "\n".join(text.wrap(one, 4, "  ") for one in origins(reading))


def got(reading: Reading) -> str:
    """Return how the swatch and the cloth were got, and how sure they are here."""
    return "\n".join(text.wrap(one, 4, "  ") for one in got_as(reading.question))


def concerns(found: Sequence[tuple[Concern, Acceptance | None]], *, codes: bool = False) -> str:
    """Return every warning with what to do about it, and who accepted it.

    With `codes`, each begins with the code by which a job accepts it.
    """
    if not found:
        return "  None."
    return "\n".join(_concern(one, by, f"{one.code}: " if codes else "") for one, by in found)


def _concern(one: Concern, by: Acceptance | None, code: str) -> str:
    lead = f"  {one.severity}"
    first, *rest = text.wrap(code + one.text, _WIDEST, lead.ljust(_WIDEST)).split("\n")
    styled = click.style(lead, **_STYLE[one.severity]) + first[len(lead) :]  # type: ignore[arg-type]
    lines = [styled, *rest]
    if by is None:
        lines.append(text.wrap(f"What to do: {one.do}", _WIDEST))
    else:
        lines.append(text.wrap(f"Accepted by {by.who}: {by.why}", _WIDEST))
    return "\n".join(lines)


def numbers(reading: Reading) -> str:
    """Return the figures behind the words, and how far off stones and cloth merge."""
    said = [part.strip() for part in figures(reading).removesuffix(".").split(";")]
    said += [_sparkle(reading), _field(reading)]
    return "\n".join(text.wrap(one, 4, "  ") for one in said if one)


def _sparkle(reading: Reading) -> str:
    found = reading.sparkle
    if found is None or reading.flash is None:
        return ""
    much = f"{abs(found.brighter_stops):.1f} stops {'brighter' if found.brighter_stops >= 0 else 'dimmer'}"
    where = "" if reading.lamp_eye is None else f" (lamp and eye are {reading.lamp_eye:.0f}° apart)"
    return (
        f"a flash is {found.stops:.1f} stops brighter than the glow{where}; beside clear crystal of this cut "
        f"there are {found.number_ratio:.1f} × as many, {much}"
    )


def _field(reading: Reading) -> str:
    field = reading.field
    if reading.question.cover == 0.0 or not reading.question.cloth_told:
        return ""
    hue = f"blue from green at {field.merge_hue_m:.1f} m"
    if field.merge_m == 0.0:
        return f"stones and cloth are equally light, and the eye ceases to part {hue}"
    return f"the eye ceases to part stones from cloth at {field.merge_m:.0f} m, and {hue}"


def basis(asked: Question) -> str:
    """Return the label that belongs to every answer: where its numbers come from."""
    parts = {
        "stone": asked.stone.basis,
        **({} if asked.coating is None else {"coating": asked.coating.basis}),
        "cut": asked.cut.basis,
        "swatch": asked.swatch.basis,
        **({} if asked.cloth is asked.swatch else {"cloth": asked.cloth.basis}),
        "venue": asked.venue.basis,
    }
    kinds = {
        word: [what for what, one in parts.items() if one == word]
        for word in ("invented", "estimated", "measured")
    }
    told = "; ".join(f"{_listed(what)} {word}" for word, what in kinds.items() if what)
    return "\n".join(one for one in (text.wrap(f"Basis: {told}."), invented(parts.values())) if one)


def invented(bases: Iterable[str]) -> str:
    """Return what must be said wherever something invented takes part; nothing elsewhere."""
    if "invented" not in bases:
        return ""
    return text.wrap(
        "The demo's stones, coatings and venues are invented: they show how to choose, so do not order by "
        "them."
    )


def block(title: str, body: str) -> str:
    """Return a part under its heading."""
    return f"{text.heading(title)}\n{body}"


def notes(found: Iterable[str]) -> str:
    """Return notes, wrapped."""
    return "\n".join(text.wrap(f"Note: {one}") for one in found)


def _listed(words_: Sequence[str]) -> str:
    *first, last = words_
    return f"{', '.join(first)} and {last}" if first else last
