"""What is said of a pairing in one venue after another."""

from collections.abc import Sequence
from typing import Final

from rich.text import Text

from planner.app.depth import Depth
from planner.app.parts.patch import patch
from planner.assess.venues import Judged
from planner.catalogue.venue import Venue
from planner.reading.fit import Outcome
from planner.reading.phrase import listed, share, than
from planner.reading.question import Question
from planner.reading.read import Reading
from planner.reading.sentence import pairing
from planner.reading.verdict import MARKS

_PATCH: Final = 8
"""Cells of each of the two patches."""


def short(venue: Venue) -> str:
    """Return the short name of a venue: what stands before its comma."""
    return venue.name.partition(",")[0]


def in_words(found: Judged, width: int, depth: Depth) -> Text:
    """Return what a card says of a pairing, in lines of `width` cells."""
    reading = found.reading
    swatch, glow = reading.swatch.hex, reading.seen.hex
    legend = " swatch, result"
    # Of a fluorescent swatch there is no colour to compare with but in daylight.
    compared = reading.question.swatch_told
    apart = than(reading.drift.words, "the swatch") if compared else "the swatch fluoresces"
    hold = f"{round(10 * found.fit.lots)} of 10 batches do" if compared else "batches: can't tell"
    lines = [
        Text.assemble(
            patch(swatch, depth, _PATCH),
            patch(glow, depth, _PATCH),
            legend * (2 * _PATCH + len(legend) <= width),
        ),
        Text(f"swatch: {reading.swatch.name if compared else 'unknown here'}"),
        Text(f"result: {reading.seen.name}"),
        Text(f"{found.mark} {found.outcome}", "bold"),
        Text(apart),
        Text(hold),
        Text(_sparkle(reading)),
    ]
    return Text("\n").join(lines)


def _sparkle(reading: Reading) -> str:
    if reading.flash is None:
        return "no sparkle"
    main = reading.flash.main
    return f"sparkle: {share(reading.flash.by_luminance[main]).removeprefix('about ')} {main}"


def heading(question: Question, swatch: str) -> Text:
    """Return which pairing is looked at."""
    coating = "uncoated" if question.coating is None else f"with {question.coating.name}"
    return Text.assemble((f"{question.stone.name} {coating}, {question.size}", "bold"), f"  beside {swatch}")


def lines_in_words(
    rows: Sequence[Sequence[Judged | None]], names: Sequence[str], venues: Sequence[Venue]
) -> Text:
    """Return which lines of a job hold in all the venues shown.

    Parameters
    ----------
    rows
        For each line, what it does in each venue; None where that is not known yet.
    names
        Of the lines, where no reading says them.
    venues
        Those shown.

    """
    where = "this venue" if len(venues) == 1 else f"all {len(venues)} venues shown"
    known = [[one for one in row if one is not None] for row in rows]
    if any(len(one) < len(venues) for one in known):
        head = Text(f"Which pairings of the costume work in {where}? Working it out …", "bold")
    else:
        count = sum(all(one.holds for one in row) for row in known)
        head = Text(f"{count} of {len(rows)} pairings of the costume work in {where}:", "bold")
    return Text("\n").join([head, *(_line(*one, venues) for one in zip(rows, names, strict=True))])


def _line(row: Sequence[Judged | None], name: str, venues: Sequence[Venue]) -> Text:
    first = next((one for one in row if one is not None), None)
    called = name if first is None else f"{pairing(first.reading)}, {first.reading.question.size}"
    places: dict[Outcome, list[str]] = {outcome: [] for outcome in MARKS}
    for venue, one in zip(venues, row, strict=True):
        if one is not None:
            places[one.outcome].append(short(venue))
    broken, untold, just = places["fails"], places["can't tell"], places["just about"]
    outcome: Outcome = "passes"
    if broken:
        outcome = "fails"
        said = "in none of them" if len(broken) == len(venues) > 1 else f"not in {listed(broken)}"
        said += f"; can't tell in {listed(untold)}" if untold else ""
    elif untold:
        outcome, said = "can't tell", f"can't tell in {listed(untold)}"
    elif None in row:
        return Text(f"… {called}")
    elif just:
        outcome, said = "just about", f"works, just about in {listed(just)}"
    else:
        said = "works"
    return Text(f"{MARKS[outcome]} {called}: {said}")
