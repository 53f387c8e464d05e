"""A document on a screen: the parts of an answer as content of Textual, never as markup."""

from collections.abc import Iterator
from functools import singledispatch
from typing import Final

from textual.content import Content

from planner.app.depth import Depth, hex_shown
from planner.app.parts.patch import ink_on
from planner.reading.concern import Severity
from planner.say.document import (
    Bar,
    Cell,
    Command,
    Document,
    Item,
    Literally,
    Part,
    Patch,
    Patches,
    Section,
    Sentence,
    Table,
    Tone,
    Warned,
)

SIGNS: Final[dict[Severity, tuple[str, str]]] = {
    "severe": ("▲", "$error"),
    "caution": ("●", "$warning"),
    "note": ("·", "$secondary"),
}
"""Sign and colour of each severity; its word is its name."""

TONES: Final[dict[Tone, str]] = {
    "plain": "", "quiet": "$foreground 65%", "strong": "bold", "good": "bold $success", "bad": "bold $error",
    "unsure": "bold $warning",
}  # fmt: skip

_BAR = 20


def content(of: Document, depth: Depth = "true") -> Content:
    """Return a document; its parts are a blank line apart, and commands are left to the keys."""
    blocks = [Content.styled(of.title, "bold")] if of.title else []
    blocks += [Content("\n").join(lines) for part in of.parts if (lines := [*_lines(part, depth)])]
    return Content("\n\n").join(blocks)


def part_content(part: Part, depth: Depth = "true") -> Content:
    """Return one part of a document."""
    return Content("\n").join(_lines(part, depth))


@singledispatch
def _lines(part: Part, depth: Depth) -> Iterator[Content]:
    raise TypeError(f"{type(part).__name__} cannot be shown at {depth}")


@_lines.register
def _(part: Section, depth: Depth) -> Iterator[Content]:
    if part.title:
        yield Content.styled(part.title, "bold")
    for one in part.parts:
        yield from _lines(one, depth)


@_lines.register
def _(part: Sentence, depth: Depth) -> Iterator[Content]:  # noqa: ARG001 - every part takes a depth
    yield Content.styled(part.text, TONES[part.tone])


@_lines.register
def _(part: Item, depth: Depth) -> Iterator[Content]:
    yield Content(f"{part.mark} {part.text}" if part.mark else part.text)
    for one in part.under:
        yield from (Content("  ") + line for line in _lines(one, depth))


@_lines.register
def _(part: Warned, depth: Depth) -> Iterator[Content]:  # noqa: ARG001 - as above
    sign, style = SIGNS[part.severity]
    said = part.text if part.settled else f"{part.text} {part.do}"
    about = f" ({part.about})" if part.about else ""
    yield Content.assemble((f"{sign} {part.severity}{about}: ", f"bold {style}"), said)
    for one in part.accepted:
        yield Content.styled(f"  ✓ {one}", "$success")


@_lines.register
def _(part: Patches, depth: Depth) -> Iterator[Content]:
    yield Content("").join(_patch(one, depth) for one in part.of)


@_lines.register
def _(part: Bar, depth: Depth) -> Iterator[Content]:
    yield _bar(part, depth)


@_lines.register
def _(part: Table, depth: Depth) -> Iterator[Content]:
    drawn = [[_cell(cell, depth) for cell in row.cells] for row in part.rows]
    heads = [Content.styled(column.title, "bold") for column in part.columns]
    wide = [max(line[at].cell_length for line in [heads, *drawn]) for at in range(len(heads))]

    def line(cells: list[Content]) -> Content:
        put = []
        for column, cell, room in zip(part.columns, cells, wide, strict=True):
            gap = Content(" " * (room - cell.cell_length))
            put.append(gap + cell if column.align == "right" else cell + gap)
        return Content("  ").join(put)

    yield line(heads)
    for row, cells in zip(part.rows, drawn, strict=True):
        yield line(cells)
        for under in row.under:
            yield from (Content("    ") + told.stylize(TONES["quiet"]) for told in _lines(under, depth))


@_lines.register
def _(part: Command, depth: Depth) -> Iterator[Content]:  # noqa: ARG001 - as above
    yield from ()


@_lines.register
def _(part: Literally, depth: Depth) -> Iterator[Content]:  # noqa: ARG001 - as above
    yield Content(f"  {part.text}")


def _cell(cell: Cell, depth: Depth) -> Content:
    match cell:
        case Patch():
            return _patch(cell, depth)
        case Bar():
            return _bar(cell, depth)
        case _:
            return Content(cell)


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
