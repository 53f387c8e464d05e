"""The whole palette ranked against one swatch, for ``planner match``."""

from pathlib import Path
from typing import Any

import click

from planner.catalogue.coating import NONE
from planner.catalogue.palette import Palette
from planner.cli import as_json, telling, text
from planner.cli.ask import Asked, asked_for, palette_of
from planner.cli.next_step import command, pairing_options, same_match
from planner.colour.words import SAME
from planner.reading.phrase import changed, tenths
from planner.reading.question import Question
from planner.reading.rank import Ranked, rank
from planner.refusal import Refusal

_WISHES = {"blend": "to blend in with", "tone": "to keep the hue of", "contrast": "to stand out from"}
_FIRST_LOOK = (
    "This is a first look, and at the glow alone. The full reading has the sparkle, the warnings and what "
    "is unsure:"
)


def show(
    *, size: str, coated: bool | None, material: str | None, top: int, palettes: Path | None, as_data: bool,
    **match: Any,
) -> None:  # fmt: skip
    """Print the best pairings."""
    palette = palette_of(palettes)
    if not palette.stones:
        raise Refusal("No stone is in the palettes read; a palette file needs at least one [[stone]]")
    # Ranking takes every stone in turn; the question needs one to begin with.
    first = next(iter(palette.stones))
    asked = asked_for(palette, stone=first, coating=NONE, size=size, grade="quick", **match)
    if not asked.question.swatch_told:
        raise Refusal(
            f"{asked.swatch.name} fluoresces, so no pairing can be ranked for it in "
            f"{asked.question.venue.name}; choose a venue in daylight, or hold stones on the cloth there"
        )
    found = rank(palette, asked.question, coated=coated, material=material)
    if as_data:
        click.echo(as_json.dumps(_data(asked, found, top)))
    else:
        click.echo(_told(asked, found, top, palettes, palette))


def _data(asked: Asked, found: tuple[Ranked, ...], top: int) -> dict[str, Any]:
    given = as_json.inputs(asked)
    # The stone that the question began with is nobody's choice.
    for name in ("stone", "coating", "millimetres"):
        del given[name]
    return {
        "schema": "planner match 1",
        "inputs": given,
        "count": len(found),
        "pairings": [{"rank": place, **as_json.ranked(one)} for place, one in enumerate(found[:top], 1)],
    }


def _told(asked: Asked, found: tuple[Ranked, ...], top: int, palettes: Path | None, palette: Palette) -> str:
    question = asked.question
    lead = (
        f"{min(top, len(found))} of {len(found)} pairings, the best first, {_WISHES[question.wish]} "
        f"{asked.swatch.name} in {question.venue.name}."
    )
    if not found:
        return text.wrap("No pairing is left: take fewer of --material, --coated and --uncoated.")
    bases = {one.basis for one in (*palette.stones.values(), *palette.coatings.values(), question.venue)}
    again = command("try", {**pairing_options(found[0].question), **same_match(asked, palettes)})
    parts = [
        text.wrap(lead), table(found[:top], question.wish), text.wrap(_FIRST_LOOK) + "\n" + again,
        telling.invented(bases),
    ]  # fmt: skip
    return "\n\n".join(part for part in parts if part)


def table(found: tuple[Ranked, ...], wish: str) -> str:
    """Return pairings as a table: ids and figures in one line, words in the next."""
    names = [_ids(one.question) for one in found]
    wide = max(map(len, names))
    lines = [text.heading(f"    {'stone + coating, size':<{wide}}  ΔE00  lots that do")]
    for place, (one, name) in enumerate(zip(found, names, strict=True), 1):
        lines.append(f"{place:>3} {name:<{wide}}  {one.drift.dE00:>4.0f}  {tenths(one.lots)}")
        lines.append(text.wrap(f"{verdict(one, wish)}: {one.glow.name}, {differs(one)}", 4, "    "))
    return "\n".join(lines)


def _ids(question: Question) -> str:
    return f"{question.stone.id} + {question.coating.id if question.coating else NONE}, {question.size}"


def verdict(one: Ranked, wish: str) -> str:
    """Return in a word or two whether a pairing does what is wished."""
    does, fails = {
        "blend": ("holds", "too far"), "tone": ("keeps the hue", "off in hue"),
        "contrast": ("stands out", "hardly stands out"),
    }[wish]  # fmt: skip
    return does if one.holds else fails


def differs(one: Ranked) -> str:
    """Return how a pairing differs from the swatch, in words."""
    words = one.drift.words
    return f"{SAME} as the swatch" if words == SAME else f"{changed(words)} than the swatch"
