"""Words above and below the table: what is asked, and the pairing under the cursor."""

from typing import Final

from rich.text import Text

from planner.app.answer import SEVERITY
from planner.app.pairings.columns import UNCOATED, Entry
from planner.app.parts.patch import patch
from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.phrase import share, than
from planner.reading.question import Question

_WISHES: Final = {"blend": "to blend in", "tone": "tone on tone", "contrast": "to stand out"}
_ALLOWED: Final = {
    "arm": "at arm's length",
    "seats": "as an audience forgives",
    "family": "in its hue family",
}


def heading(question: Question) -> Text:
    """Return what all pairings are held against."""
    allowed = question.tolerance
    near = _ALLOWED.get(allowed, allowed) if isinstance(allowed, str) else f"within ΔE00 {allowed:g}"
    rgb, _ = lab_to_srgb(question.swatch.lab)
    return Text.assemble(
        ("All pairings for your swatch ", "bold"), patch(to_hex(rgb), 3),
        (f" {name_of(question.swatch.lab)}", "bold"),
        (f"\n{_WISHES[question.wish]}, {near} · {question.distance:g} m · {question.venue.name}", "dim"),
    )  # fmt: skip


def detail(entry: Entry) -> Text:
    """Return the pairing in words: the sentence once it has been looked at, and the worst warning."""
    if entry.look is None:
        verdict = "does what you wish" if entry.ranked.holds else "does not do what you wish"
        coating = UNCOATED if entry.coating == UNCOATED else f"with {entry.coating}"
        return Text(
            f"{entry.stone} {coating}: {entry.glow.name}, {than(entry.drift.words, 'your swatch')}; "
            f"it {verdict}, and {share(entry.ranked.lots)} of its batches would. Looking at its sparkle …"
        )
    said = Text(entry.look.sentence)
    for concern in entry.look.concerns[:1]:
        mark, word, _ = SEVERITY[concern.severity]
        said.append(f"\n{mark} {word}: ", "bold")
        said.append(f"{concern.text} {concern.do}")
    return said
