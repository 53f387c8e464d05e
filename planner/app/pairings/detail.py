"""Words above and below the table: what is asked, and the pairing under the cursor."""

from typing import Final

from rich.text import Text

from planner.app.depth import Depth
from planner.app.pairings.entry import UNCOATED, Entry
from planner.app.pairings.looks import Look
from planner.app.parts.patch import patch
from planner.app.parts.told import SIGNS
from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.phrase import share, than
from planner.reading.question import Question
from planner.reading.verdict import in_brief

_WISHES: Final = {"blend": "to blend in", "tone": "tone on tone", "contrast": "to stand out"}
_ALLOWED: Final = {
    "arm": "at arm's length",
    "seats": "as an audience forgives",
    "family": "in its hue family",
}


def heading(question: Question, depth: Depth) -> Text:
    """Return what all pairings are held against."""
    allowed = question.tolerance
    near = _ALLOWED.get(allowed, allowed) if isinstance(allowed, str) else f"within ΔE00 {allowed:g}"
    rgb, _ = lab_to_srgb(question.swatch.lab)
    return Text.assemble(
        ("All pairings for your swatch ", "bold"), patch(to_hex(rgb), depth, 3),
        (f" {name_of(question.swatch.lab)}", "bold"),
        (f"\n{_WISHES[question.wish]}, {near} · {question.distance:g} m · {question.venue.name}", "dim"),
    )  # fmt: skip


def detail(entry: Entry, *, full: bool) -> Text:
    """Return the pairing in words: the sentence once it has been looked at, and the worst warning.

    With `full` there is room for what to do about it.
    """
    if entry.look is None:
        answer = in_brief(entry.ranked.question.wish, entry.ranked.outcome)
        coating = UNCOATED if entry.coating == UNCOATED else f"with {entry.coating}"
        return Text(
            f"{entry.stone} {coating}: {entry.seen.name}, {than(entry.drift.words, 'your swatch')}; "
            f"{answer}, and {share(entry.ranked.lots)} of its batches would do. Looking at its sparkle …"
        )
    worst = _worst(entry.look, full=full)
    parts = [Text(entry.look.sentence), worst]
    if entry.look.concerns and entry.look.concerns[0].severity != "note":
        # Where room is short the end is not seen, and that must not be the warning.
        parts.reverse()
    return Text("\n").join(part for part in parts if part)


def _worst(look: Look, *, full: bool) -> Text:
    """Return the worst warning, and with `full` what to do about it; empty without one."""
    if not look.concerns:
        return Text()
    concern = look.concerns[0]
    mark, _ = SIGNS[concern.severity]
    said = f"{concern.text} {concern.do}" if full else concern.text
    return Text.assemble((f"{mark} {concern.severity}: ", "bold"), said)
