"""A document on a screen: the parts of an answer as content of Textual, never as markup."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import singledispatch

from textual.content import Content

from planner.app.depth import Depth, hex_shown
from planner.app.parts.leeway_strip import ROWS, across
from planner.app.parts.tones import SIGNS, TONES
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
    document,
)
from planner.say.table import GAP, cut, widths

_BAR = 20
_WAY = 36


@dataclass(frozen=True)
class Surface:
    """What a document is shown on."""

    depth: Depth = "true"
    room: int | None = None
    """Cells across, by which tables fold; None where lines may be of any length."""


def content(of: Document, depth: Depth = "true", room: int | None = None) -> Content:
    """Return a document; its parts are a blank line apart, and commands are left to the keys."""
    on = Surface(depth, room)
    blocks = [Content.styled(of.title, "bold")] if of.title else []
    blocks += [Content("\n").join(lines) for part in of.parts if (lines := [*_lines(part, on)])]
    return Content("\n\n").join(blocks)


def parts_content(parts: Iterable[Part | None], depth: Depth = "true", room: int | None = None) -> Content:
    """Return parts of a document."""
    return content(document("", parts), depth, room)


def part_content(part: Part, depth: Depth = "true", room: int | None = None) -> Content:
    """Return one part of a document."""
    return Content("\n").join(_lines(part, Surface(depth, room)))


@singledispatch
def _lines(part: Part, on: Surface) -> Iterator[Content]:
    raise TypeError(f"{type(part).__name__} cannot be shown on {on}")


@_lines.register
def _(part: Section, on: Surface) -> Iterator[Content]:
    if part.title:
        yield Content.styled(part.title, "bold")
    for one in part.parts:
        yield from _lines(one, on)


@_lines.register
def _(part: Sentence, on: Surface) -> Iterator[Content]:
    yield _shown(part, on) + Content.styled(part.text, TONES[part.tone])


@_lines.register
def _(part: Item, on: Surface) -> Iterator[Content]:
    yield Content(f"{part.mark} " if part.mark else "") + _shown(part, on) + Content(part.text)
    for one in part.under:
        yield from (Content("  ") + line for line in _lines(one, on))


@_lines.register
def _(part: Warned, on: Surface) -> Iterator[Content]:  # noqa: ARG001 - every part takes a surface
    sign, style = SIGNS[part.severity]
    said = part.text if part.settled else f"{part.text} {part.do}"
    about = f" ({part.about})" if part.about else ""
    yield Content.assemble((f"{sign} {part.severity}{about}: ", f"bold {style}"), said)
    for one in part.accepted:
        yield Content.styled(f"  ✓ {one}", "$success")


@_lines.register
def _(part: Patches, on: Surface) -> Iterator[Content]:
    yield Content("").join(_patch(one, on.depth) for one in part.of)


@_lines.register
def _(part: Way, on: Surface) -> Iterator[Content]:
    yield from across(part.leeway, min(_WAY, on.room or _WAY), ROWS, on.depth)


@_lines.register
def _(part: Bar, on: Surface) -> Iterator[Content]:
    yield _bar(part, on.depth)


@_lines.register
def _(part: Table, on: Surface) -> Iterator[Content]:
    drawn = [
        [_cell(cell, column, on) for column, cell in zip(part.columns, row.cells, strict=True)]
        for row in part.rows
    ]
    wide = widths(part, ([cell.cell_length for cell in line] for line in drawn), on.room)

    def line(cells: list[Content]) -> Iterator[Content]:
        put = []
        for column, cell, room in zip(part.columns, cells, wide, strict=True):
            *before, last = cell.wrap(room) if column.folds and cell.cell_length > room else [cell]
            yield from before
            gap = Content(" " * (room - last.cell_length))
            put.append(gap + last if column.align == "right" else last + gap)
        yield Content(" " * GAP).join(put)

    if any(column.title for column in part.columns):
        yield from line([Content.styled(column.title, "bold") for column in part.columns])
    for row, cells in zip(part.rows, drawn, strict=True):
        yield from line(cells)
        for under in row.under:
            yield from (Content("    ") + told.stylize(TONES["quiet"]) for told in _lines(under, on))


@_lines.register
def _(part: Command, on: Surface) -> Iterator[Content]:  # noqa: ARG001 - as above
    yield from ()


@_lines.register
def _(part: Literally, on: Surface) -> Iterator[Content]:  # noqa: ARG001 - as above
    yield Content(f"  {part.text}")


@_lines.register
def _(part: Drawn, on: Surface) -> Iterator[Content]:  # noqa: ARG001 - as above
    yield from map(Content, part.lines)


def _cell(cell: Cell, column: Column, on: Surface) -> Content:
    match cell:
        case Patch():
            return _patch(cell, on.depth)
        case Bar():
            return _bar(cell, on.depth)
        case _:
            return Content(cut(cell, column.most))


def _shown(part: Sentence | Item, on: Surface) -> Content:
    """Return the colour that stands before a paragraph; its words tell it too."""
    if not part.hex or on.depth == "grey":
        return Content("")
    return Content.assemble(("   ", f"on {hex_shown(part.hex, on.depth)}"), " ")


def _patch(one: Patch, depth: Depth) -> Content:
    """Return a colour with its name on it; the name alone where there are no colours."""
    if depth == "grey":
        return Content(f"[{one.label}]")
    colour = hex_shown(one.hex, depth)
    return Content.styled(f" {one.label} ", f"{ink_on(colour)} on {colour}")


def _bar(one: Bar, depth: Depth) -> Content:
    cells = max(1, round(one.share * _BAR))
    colour = "" if one.hex is None or depth == "grey" else hex_shown(one.hex, depth)
    return Content.assemble(("█" * cells, colour), f" {one.label}" if one.label else "")
