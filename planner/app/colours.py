"""Colours side by side: swatch and stones as two patches that touch, and the hues of the sparkle."""

import textwrap
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from textual.content import Content
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from planner.app.answer import Answer
from planner.app.depth import Depth, hex_shown
from planner.app.parts.cells import flat
from planner.app.parts.leeway_strip import COLUMNS, ROWS, across, down
from planner.colour.names import family_swatch
from planner.colour.screen import ink_on, lab_to_srgb, to_hex
from planner.reading.phrase import percent
from planner.reading.read import Reading, Seen
from planner.say.way import HELP

_LEAST: Final = 0.02
"""Share of the sparkle below which a hue is not drawn."""

_FILLS: Final = "█▓▒░"
"""Fills by turns where there is no colour to tell hues apart."""

_BROAD: Final = 2.4
"""Columns to a row from which patches lie beside each other rather than one above the other."""

_TALL: Final = 9
"""Rows from which the way between the patches has two of them for its colours."""


def seen_there(reading: Reading) -> Seen:
    """Return the colour that the stones are seen as where the garment is worn."""
    return reading.seen


class _Flat(Widget):
    """Lines of plain colours about an answer, which are drawn without the library's way for any text."""

    depth: Depth = "true"
    answer: reactive[Answer | None] = reactive(None)
    _drawn: tuple[tuple[object, ...], list[Strip]] = ((), [])

    def rows(self) -> list[Content]:
        """Return the lines, each style in them a plain colour."""
        raise NotImplementedError

    def render(self) -> Content:
        """Return the lines as one text."""
        return Content("\n").join(self.rows())

    def render_line(self, y: int) -> Strip:
        """Return one line; what somebody selects is shown in the library's way."""
        if self.text_selection is not None:
            return super().render_line(y)
        base, width = self.visual_style.rich_style, self.size.width
        made_of = (self.answer, self.size, base)
        if made_of != self._drawn[0]:
            lines = [flat(line, base).apply_offsets(0, at) for at, line in enumerate(self.rows())]
            self._drawn = made_of, lines
        lines = self._drawn[1]
        return lines[y].adjust_cell_length(width, base) if y < len(lines) else Strip.blank(width, base)


class Patches(_Flat):
    """The swatch and what the stones read as: two patches that touch, each with its name on it."""

    def on_mount(self) -> None:
        """Say how it is read."""
        self.tooltip = f"{HELP[:1].upper()}{HELP[1:]}."

    def rows(self) -> list[Content]:
        """Return the patches, and the way between them where there is room for it."""
        if self.answer is None:
            return []
        reading, way, (width, height) = self.answer.reading, self.answer.leeway, self.size
        pair = (("Swatch", reading.swatch), ("Stones", seen_there(reading)))
        if width > _BROAD * height:
            strip = 0 if way is None or height <= 2 * ROWS else ROWS + (height > _TALL)
            half = width // 2
            left, right = (
                self._patch(title, seen, wide, height - strip)
                for (title, seen), wide in zip(pair, (half, width - half), strict=True)
            )
            lines = [one + other for one, other in zip(left, right, strict=True)]
            below = [] if way is None or not strip else across(way, width, strip, self.depth)
            return [*lines, *below]
        high, strip = height // 2, 0 if way is None or width <= 4 * COLUMNS else COLUMNS
        lines = [
            line
            for (title, seen), rows in zip(pair, (high, height - high), strict=True)
            for line in self._patch(title, seen, width - strip, rows)
        ]
        beside = [Content("")] * height if way is None or not strip else down(way, height, self.depth)
        return [one + other for one, other in zip(lines, beside, strict=True)]

    def _patch(self, title: str, seen: Seen, width: int, rows: int) -> list[Content]:
        """Return lines of a colour with its name written on it."""
        colour = hex_shown(seen.hex, self.depth)
        style = f"{ink_on(colour)} on {colour}"
        room = max(1, width - 2)
        text = [title, *textwrap.wrap(seen.name, room)]
        if len(text) > rows:
            text = textwrap.wrap(f"{title}: {seen.name}", room)
        lines = [f" {line}"[:width].ljust(width) for line in text[:rows]]
        return [Content.styled(line, style) for line in [*lines, *[" " * width] * (rows - len(lines))]]


class Sparkle(_Flat):
    """The hues of the flashes in one line, each as wide as its share of their light."""

    def render_line(self, y: int) -> Strip:
        """Return the line."""
        if self.answer is not None and self.answer.reading.flash is None:
            return Widget.render_line(self, y)  # its style is the theme's
        return super().render_line(y)

    def rows(self) -> list[Content]:
        """Return the line, if there is one."""
        width = self.size.width
        if self.answer is None or not width:
            return []
        flash = self.answer.reading.flash
        if flash is None:
            return [Content.styled("No sparkle here"[:width], "$foreground 65%")]
        parts = [(name, share) for name, share in flash.by_luminance.items() if share >= _LEAST]
        counts = _cells([share for _, share in parts], width)
        line = Content("").join(
            self._segment(name, share, count, number)
            for number, ((name, share), count) in enumerate(zip(parts, counts, strict=True))
        )
        return [line]

    def _segment(self, name: str, share: float, count: int, number: int) -> Content:
        labels = (f" ✦ {name} {percent(share)}", f" ✦ {name}", f" {name}")
        label = next((text for text in labels if len(text) <= count), "")
        if self.depth == "grey":
            return Content(label + _FILLS[number % len(_FILLS)] * (count - len(label)))
        colour = hex_shown(to_hex(lab_to_srgb(family_swatch(name))[0]), self.depth)
        return Content.styled(label.ljust(count), f"{ink_on(colour)} on {colour}")


def _cells(shares: Sequence[float], width: int) -> list[int]:
    """Return whole cells for shares, at least one each, that fill the width."""
    total = sum(shares) or 1.0
    edges = [0.0]
    for share in shares:
        edges.append(edges[-1] + width * share / total)
    cells = [max(1, round(b) - round(a)) for a, b in pairwise(edges)]
    cells[cells.index(max(cells))] -= sum(cells) - width
    return cells
