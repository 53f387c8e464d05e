"""A document as plain text: wrapped to the terminal by cells, and whole without its colours."""

import os
import re
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import singledispatch
from itertools import groupby
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.screen import ink_on
from planner.say.document import (
    Bar,
    Cell,
    Column,
    Command,
    Document,
    Drawn,
    Item,
    Literally,
    Part,
    Patch,
    Patches,
    Section,
    Sentence,
    Table,
    Warned,
    Way,
)
from planner.say.table import GAP, cut, folded, width, widths

if TYPE_CHECKING:
    from planner.reading.concern import Severity

_SEVERITY: Final[dict["Severity", dict[str, Any]]] = {
    "severe": {"fg": "red", "bold": True},
    "caution": {"fg": "yellow"},
    "note": {},
}
_WIDEST: Final = max(map(len, _SEVERITY)) + 2
_TONES: Final[dict[str, dict[str, Any]]] = {
    "plain": {},
    "quiet": {"dim": True},
    "strong": {"bold": True},
    "good": {"fg": "green", "bold": True},
    "bad": {"fg": "red", "bold": True},
    "unsure": {"fg": "yellow", "bold": True},
}
# A number and its unit stay on one line.
_BOUND = re.compile(r"(?<=[\d±×]) (?=[^\d\s])")
_HELD = "\N{NO-BREAK SPACE}"
_INSET = 2
"""Cells by which what is listed or can be copied stands in from the paragraphs about it."""
_PATCH = 3
"""Cells of a colour."""
_WAY = 36
"""Cells of the way from the swatch, at most."""
_WOULD_DO = " what would do"
"""Stands at its bracket."""
_EIGHTHS = " ▏▎▍▌▋▊▉"
_FULL_BAR = 30


@dataclass(frozen=True)
class Page:
    """What the text is for."""

    columns: int = 80
    true_colour: bool = False
    """Whether 24-bit colours are shown and wanted; patches are left out elsewhere."""


def text(of: Document, page: Page) -> str:
    """Return the whole document, its parts a blank line apart."""
    blocks = [_styled(wrap(of.title, page), bold=True)] if of.title else []
    blocks += ["\n".join(_lines(part, page)) for part in of.parts]
    return "\n\n".join(block for block in blocks if block)


def unstyled(of: Document) -> str:
    """Return the whole document as it stands in a file: without colours, and with a last line that ends."""
    from click import unstyle

    return unstyle(text(of, Page())) + "\n"


def wrap(said: str, page: Page, indent: int = 0, first: str | None = None) -> str:
    """Return `said` wrapped, each line after `indent` spaces, and the first one after `first` instead."""
    from wcwidth import wrap as wrapped

    lead = " " * indent if first is None else first
    lines = wrapped(
        _BOUND.sub(_HELD, plain(said)), page.columns, initial_indent=lead, subsequent_indent=" " * indent,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return "\n".join(lines).replace(_HELD, " ")


def plain(said: object) -> str:
    """Return text in which nothing can steer the terminal; a name of a file or an entry may hold anything."""
    return "".join(
        one if one.isprintable() or one == _HELD else one.encode("unicode_escape").decode("ascii")
        for one in str(said)
    )


def _styled(said: str, **style: Any) -> str:
    from click import style as coloured

    return coloured(said, **style) if style else said


@singledispatch
def _lines(part: Part, page: Page, indent: int = 0) -> Iterator[str]:
    """Yield the lines of a part, `indent` cells in."""
    raise TypeError(f"{type(part).__name__} cannot be told on {page} at {indent}")


@_lines.register
def _(part: Section, page: Page, indent: int = 0) -> Iterator[str]:
    if part.title:
        yield _styled(wrap(part.title, page, indent), bold=True)
        indent += 2
    for one in part.parts:
        yield from _lines(one, page, indent)


@_lines.register
def _(part: Sentence, page: Page, indent: int = 0) -> Iterator[str]:
    yield _paragraph(part, page, indent, " " * indent, **_TONES[part.tone])


@_lines.register
def _(part: Item, page: Page, indent: int = 0) -> Iterator[str]:
    indent = indent or _INSET
    lead = " " * indent + (f"{part.mark} " if part.mark else "")
    yield _paragraph(part, page, indent + 2, lead)
    for one in part.under:
        yield from _lines(one, page, indent + 2)


def _paragraph(part: Sentence | Item, page: Page, indent: int, lead: str, **style: Any) -> str:
    """Return a paragraph that begins with `lead`, and with its colour where colours are shown."""
    shown = f"{_patch(part.hex)} " if part.hex and page.true_colour else ""
    room = lead + " " * (_PATCH + 1) if shown else lead
    return lead + shown + _styled(wrap(part.text, page, indent, room)[len(room) :], **style)


@_lines.register
def _(part: Patches, page: Page, indent: int = 0) -> Iterator[str]:
    if page.true_colour and part.of:
        drawn = "".join(_patch(one.hex) for one in part.of)
        yield " " * indent + f"{drawn} {' and '.join(one.label for one in part.of)}"


@_lines.register
def _(part: Way, page: Page, indent: int = 0) -> Iterator[str]:
    if page.true_colour:
        from planner.say.way import ACROSS, bracket, colours, pointer

        found, count = part.leeway, min(_WAY, page.columns - indent - len(_WOULD_DO))
        signs = zip(pointer(found, count, ACROSS), colours(found, count), strict=True)
        drawn = (_styled(sign, fg=_rgb(ink_on(one)), bg=_rgb(one)) for sign, one in signs)
        yield " " * indent + "".join(drawn)
        yield " " * indent + "".join(bracket(found, count, ACROSS)) + _WOULD_DO


@_lines.register
def _(part: Bar, page: Page, indent: int = 0) -> Iterator[str]:  # noqa: ARG001 - every part takes a page
    yield " " * indent + _bar(part)


@_lines.register
def _(part: Command, page: Page, indent: int = 0) -> Iterator[str]:
    yield command(part, page, indent or _INSET)


@_lines.register
def _(part: Literally, page: Page, indent: int = 0) -> Iterator[str]:  # noqa: ARG001 - as above
    yield " " * (indent or _INSET) + plain(part.text)


@_lines.register
def _(part: Drawn, page: Page, indent: int = 0) -> Iterator[str]:  # noqa: ARG001 - as above
    if part.pixels is None or not page.true_colour:
        yield from map(plain, part.lines)
    else:
        pairs = part.pixels.reshape(-1, 2, *part.pixels.shape[1:])
        yield from (_half_blocks(upper, lower) for upper, lower in pairs)


def _half_blocks(upper: NDArray[np.uint8], lower: NDArray[np.uint8]) -> str:
    """Return two rows of pixels as one line of cells; cells alike in a row are styled together."""
    cells = zip(upper.tolist(), lower.tolist(), strict=True)
    return "".join(
        _styled("▀" * len(list(run)), fg=above, bg=below) for (above, below), run in groupby(cells)
    )


@_lines.register
def _(one: Warned, page: Page, indent: int = 0) -> Iterator[str]:
    indent = indent or _INSET
    wide = indent + _WIDEST
    lead = " " * indent + one.severity
    code = f"{one.code}{f' ({one.about})' if one.about else ''}: " if one.code else ""
    first, *rest = wrap(code + one.text, page, wide, lead.ljust(wide)).split("\n")
    yield _styled(lead, **_SEVERITY[one.severity]) + first[len(lead) :]
    yield from rest
    if not one.settled:
        yield wrap(f"What to do: {one.do}", page, wide)
    for said in one.accepted:
        yield wrap(said, page, wide)


def _patch(colour: str) -> str:
    return _styled(" " * _PATCH, bg=_rgb(colour))


def _rgb(colour: str) -> tuple[int, int, int]:
    red, green, blue = bytes.fromhex(colour.removeprefix("#"))
    return red, green, blue


def _bar(one: Bar) -> str:
    eighths = max(1, int(one.share * _FULL_BAR * 8))
    drawn = "█" * (eighths // 8) + _EIGHTHS[eighths % 8].strip()
    return f"{drawn} {plain(one.label)}" if one.label else drawn


@_lines.register
def _(one: Table, page: Page, indent: int = 0) -> Iterator[str]:
    from wcwidth import ljust, rjust

    drawn = [
        [_cell(cell, column, page) for column, cell in zip(one.columns, row.cells, strict=True)]
        for row in one.rows
    ]
    wide = widths(one, ([width(cell) for cell in line] for line in drawn), page.columns - indent)

    def line(cells: Sequence[str]) -> str:
        """Return a line; a text that goes on over lines stands beside the other cells with its last one.

        Where several do, all begin together.
        """
        sides = [folded(*side) for side in zip(cells, one.columns, wide, strict=True)]
        high = max(map(len, sides))
        several = sum(column.folds for column in one.columns) > 1
        put = []
        for side, column, room in zip(sides, one.columns, wide, strict=True):
            blank = [""] * (high - len(side))
            align = rjust if column.align == "right" else ljust
            put.append([align(said, room) for said in (side + blank if several else blank + side)])
        told = zip(*put, strict=True)
        return "\n".join(" " * indent + (" " * GAP).join(line).rstrip() for line in told)

    if any(column.title for column in one.columns):
        yield _styled(line([column.title for column in one.columns]), bold=True)
    for row, cells in zip(one.rows, drawn, strict=True):
        yield line(cells)
        for under in row.under:
            yield from _lines(under, page, indent + 2 * _INSET)


def _cell(cell: Cell, column: Column, page: Page) -> str:
    match cell:
        case Patch():
            drawn = _patch(cell.hex) if page.true_colour else ""
            return f"{drawn} {plain(cell.label)}".strip()
        case Bar():
            return _bar(cell)
        case _:
            return cut(plain(cell), column.most)


def command(one: Command, page: Page, indent: int = 2) -> str:
    """Return a command with its options, continued over lines as a shell reads them."""
    words = ["planner " + one.verb]
    for name, value in one.options.items():
        if value is not None:
            words.append(name if value is True else f"{name} {shlex.quote(str(value))}")
    # Only the shells of Unix read a backslash at the end of a line as "to be continued".
    room = page.columns - indent if os.name != "nt" else 10_000
    lines = [words[0]]
    for word in words[1:]:
        if len(lines[-1]) + 1 + len(word) > room - 2:
            lines.append(f"    {word}")
        else:
            lines[-1] += f" {word}"
    lead = " " * indent
    return lead + f" \\\n{lead}".join(plain(line) for line in lines)
