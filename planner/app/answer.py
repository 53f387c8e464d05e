"""The answer: verdict, sentence, warnings, sparkle, and the colours side by side."""

import textwrap
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import Static

from planner.app.depth import Depth, hex_shown
from planner.app.look import Look
from planner.colour.names import family_swatch
from planner.colour.screen import lab_to_srgb, parse_hex, srgb_to_linear, to_hex
from planner.job.model import Acceptance
from planner.reading.phrase import percent
from planner.reading.read import Seen
from planner.reading.warn import Concern

TONES: Final = {"good": "$success", "bad": "$error", "unsure": "$warning"}
SEVERITY: Final = {
    "severe": ("▲", "Serious", "$error"),
    "caution": ("●", "Take care", "$warning"),
    "note": ("·", "Note", "$secondary"),
}
"""Sign, word and colour of each severity."""

_LEAST = 0.02
"""Share of the sparkle below which a hue is not drawn."""

_FILLS = "█▓▒░"
"""Fills by turns where there is no colour to tell hues apart."""


def concern_text(concern: Concern, by: Acceptance | None, *, full: bool) -> Content:
    """Return a warning as text; with `full`, what to do about it as well."""
    mark, word, style = SEVERITY[concern.severity]
    said = f"{concern.text} {concern.do}" if full else concern.text
    if by is None:
        return Content.assemble((f"{mark} {word}: ", f"bold {style}"), said)
    return Content.assemble(
        (f"✓ Accepted by {by.who}: {by.why}", "$success"), (f" ({word}: {said})", "$foreground 65%")
    )


class Words(Vertical):
    """Verdict, pairing, sentence and warnings."""

    def compose(self) -> ComposeResult:
        """Yield the parts."""
        yield Static(id="verdict")
        yield Static(id="pairing")
        yield Static(id="sentence")
        yield Static(id="warnings")

    def show(self, look: Look, room: int) -> None:
        """Show an answer with at most `room` warnings; where there is room for one, notes only begin.

        They stand in full with the figures.
        """
        verdict = look.verdict
        self._put(
            "verdict",
            Content.assemble((f" {verdict.mark} ", "reverse"), f" {verdict.text}").stylize(
                f"bold {TONES[verdict.tone]}"
            ),
        )
        question = look.reading.question
        self._put("pairing", Content.assemble((look.name, "bold"), (f", {question.size}", "$foreground 65%")))
        notes = look.notes if room > 1 else tuple(map(_begun, look.notes))
        self._put("sentence", Content("\n".join((look.sentence, *notes))))
        self._put("warnings", _warnings(look.concerns, room))

    def _put(self, name: str, content: Content) -> None:
        """Show a text; one that is there already costs no new layout."""
        part = self.query_one(f"#{name}", Static)
        if part.content != content:
            part.update(content)

    def refuse(self, sentence: str) -> None:
        """Show why there is no answer."""
        self._put("verdict", Content.styled(" ✗  Cannot be read", "bold $error"))
        self._put("pairing", Content(""))
        self._put("sentence", Content(sentence))
        self._put("warnings", Content(""))


def _begun(note: str) -> str:
    """Return the first sentence of a note."""
    first, more, _ = note.partition(". ")
    return f"{first}." if more else note


def _warnings(concerns: Sequence[tuple[Concern, Acceptance | None]], room: int) -> Content:
    if not concerns:
        return Content.styled("Nothing to be warned of.", "$foreground 65%")
    shown = [concern_text(one, by, full=room > 1) for one, by in concerns[:room]]
    hidden = [by is not None for _, by in concerns[room:]]
    counts = ((hidden.count(False), "more"), (hidden.count(True), "accepted"))
    left = " and ".join(f"{count} {what}" for count, what in counts if count)
    if left:
        shown.append(Content.styled(f"and {left}: press e", "$foreground 65%"))
    return Content("\n").join(shown)


class Sparkle(Widget):
    """The flash as a bar of hue families with names and shares."""

    shares: reactive[Mapping[str, float] | None] = reactive(None)
    numbers: reactive[Mapping[str, float] | None] = reactive(None)
    known: reactive[bool] = reactive(False)
    depth: Depth = "true"

    def show(self, look: Look) -> None:
        """Show the flash of an answer."""
        flash = look.reading.flash
        self.shares = None if flash is None else flash.by_luminance
        self.numbers = None if flash is None else flash.by_number
        self.known = True

    def render(self) -> Content:
        """Return the bar, and below it every hue by name."""
        if not self.known:
            return Content("")
        width = max(10, self.size.width - self.styles.padding.width)
        if self.shares is None or self.numbers is None:
            return Content.styled("No sparkle here: no small lamp makes one.", "$foreground 65%")
        parts = {name: share for name, share in self.shares.items() if share >= _LEAST}
        cells = _cells(list(parts.values()), width)
        bar = [
            self._segment(name, share, count, number)
            for number, ((name, share), count) in enumerate(zip(parts.items(), cells, strict=True))
        ]
        return Content("\n").join([Content("").join(bar), *self._legend(parts, width)])

    def _segment(self, name: str, share: float, count: int, number: int) -> Content:
        if self.depth == "grey":
            return Content(_FILLS[number % len(_FILLS)] * count)
        colour = _family_hex(name, self.depth)
        label = f" {name} {percent(share)}"
        text = label if len(label) <= count else ""
        return Content.styled(text.ljust(count), f"{ink(parse_hex(colour))} on {colour}")

    def _legend(self, parts: Mapping[str, float], width: int) -> list[Content]:
        """Return lines that name every hue with its shares; none is broken in the middle."""
        title = "Sparkle by light (number): "
        line, used, lines = Content.styled(title, "$foreground 65%"), len(title), []
        numbers = self.numbers or {}
        for number, (name, share) in enumerate(parts.items()):
            text = f"{name} {percent(share)} ({percent(numbers.get(name, 0.0))})  "
            if used + len(text) > width:
                lines.append(line)
                line, used = Content(""), 0
            fill = "■" if self.depth != "grey" else _FILLS[number % len(_FILLS)]
            style = "" if self.depth == "grey" else _family_hex(name, self.depth)
            line, used = line + Content.assemble((fill, style), " ", text), used + len(text) + 2
        return [*lines, line]


def _cells(shares: Sequence[float], width: int) -> list[int]:
    """Return whole cells for shares, at least one each, that fill the width."""
    total = sum(shares) or 1.0
    edges = [0.0]
    for share in shares:
        edges.append(edges[-1] + width * share / total)
    cells = [max(1, round(b) - round(a)) for a, b in pairwise(edges)]
    cells[cells.index(max(cells))] -= sum(cells) - width
    return cells


def _family_hex(name: str, depth: Depth) -> str:
    return hex_shown(to_hex(lab_to_srgb(family_swatch(name))[0]), depth)


class Patches(Widget):
    """Swatch and result edge to edge, then the bare stone and the cloth, each with its name on it."""

    depth: Depth = "true"

    look: reactive[Look | None] = reactive(None)

    def render(self) -> Content:
        """Return the patches."""
        if self.look is None:
            return Content("")
        reading, (width, height) = self.look.reading, self.size
        main = [("Swatch", reading.swatch), ("Result", reading.glow)]
        less = [("Bare stone", reading.uncoated), ("Cloth", reading.cloth)] if height >= _ROOM else []
        rows = min(height - 2 * len(less), _MOST)
        lines = [
            line
            for number, (title, seen) in enumerate(main)
            for line in _patch(title, seen, self.depth, width, (rows + number) // 2)
        ]
        return Content("\n").join(
            [*lines, *(line for title, seen in less for line in _patch(title, seen, self.depth, width, 2))]
        )


_MOST = 20
"""Lines that swatch and result take together at most."""

_ROOM = 12
"""Lines from which bare stone and cloth are shown as well."""


def _patch(title: str, seen: Seen, depth: Depth, width: int, rows: int) -> list[Content]:
    """Return lines of a colour with its name written on it."""
    colour = hex_shown(seen.hex, depth)
    style = f"{ink(parse_hex(colour))} on {colour}"
    text = [title, *textwrap.wrap(seen.name, max(8, width - 2))]
    if len(text) > rows:
        text = textwrap.wrap(f"{title}: {seen.name}", max(8, width - 2))
    lines = [f" {line}"[:width].ljust(width) for line in text[:rows]]
    return [Content.styled(line, style) for line in [*lines, *[" " * width] * (rows - len(lines))]]


def ink(rgb: NDArray[np.uint8]) -> str:
    """Return black or white, whichever is read better on a colour."""
    luminance = float(srgb_to_linear(rgb / 255.0) @ [0.2126, 0.7152, 0.0722])
    # Where the contrast ratios of WCAG 2.1 with black and with white are equal.
    return "#000000" if luminance > 0.179 else "#ffffff"
