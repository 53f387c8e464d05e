"""The whole palette ranked against one swatch, for ``planner match``."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from planner.catalogue.coating import NONE
from planner.cli.ask import GRADES, asked_for
from planner.cli.at_hand import palette_of
from planner.cli.text import progress, tell
from planner.reading.finish import Finish
from planner.reading.mix import mixes
from planner.reading.places import places
from planner.reading.rank import rank
from planner.refusal import Refusal
from planner.say.match import match_document


def show(
    *, size: str, coated: bool | None, material: str | None, unfoiled: bool, mine: bool | None,
    finish: Finish | None, top: int, mix: bool, palettes: Path | None, as_data: bool, **match: Any,
) -> None:  # fmt: skip
    """Print the best pairings."""
    palette = palette_of(palettes)
    kept = mine is None and palette.mine
    palette = replace(palette, mine=palette.mine if mine is None else mine)
    if not palette.stones:
        raise Refusal("No stone is in the palettes read; a palette file needs at least one [[stone]]")
    # Ranking takes every stone in turn; the question needs one to begin with.
    asked = asked_for(palette, stone=next(iter(palette.stones)), coating=NONE, size=size, **match)
    question = asked.question
    if not question.swatch_told:
        raise Refusal(
            f"{asked.swatch.name} fluoresces, so no pairing can be ranked for it in {question.venue.name}; "
            "choose a venue in daylight, or hold stones on the cloth there"
        )
    if mine and not any(kind == "stone" for kind, _ in palette.own):
        raise Refusal("No stone of your own is in the palettes read; keep one first: planner stone --help")
    with progress("Looking through the palette") as told:
        found = rank(
            palette, question, coated=coated, material=material, unfoiled=unfoiled, finish=finish,
            grade=GRADES[asked.grade], told=told,
        )  # fmt: skip
    mixed = mixes(found) if mix else None
    offered = palette.offered
    bases = [
        *(("stones", one.basis) for one in offered.stones.values()),
        *(("coatings", one.basis) for one in offered.coatings.values()),
        ("swatch", question.swatch.basis), ("venue", question.venue.basis),
    ]  # fmt: skip
    tell(match_document(asked, places(found), top, bases, palettes, mixed, hidden=kept), as_data=as_data)
