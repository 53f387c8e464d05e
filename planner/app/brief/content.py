"""The words of a brief as a page in the terminal: its headings, patches and warnings, one below the other."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from textual.content import Content

from planner.app.depth import Depth, hex_shown

_MARKS: Final = {"severe": "▲", "caution": "△", "note": "○"}
"""A shape for each grade of warning, as on the page."""

_QUIET: Final = "$foreground 65%"
_PATCH: Final = 17
"""Cells across each of two large patches."""


def said(data: Mapping[str, Any], depth: Depth) -> Content:
    """Return the page; `data` as `planner.brief.content.content` returns it."""
    paragraphs = [*_head(data)]
    for block in data["blocks"]:
        paragraphs += _block(block, depth)
    paragraphs.append(_warned(data["warnings_both"]))
    if data["table"]:
        paragraphs += _table(data, depth)
    paragraphs += _practical(data)
    paragraphs += _end(data)
    return Content("\n\n").join([one for one in paragraphs if one.plain])


def _head(data: Mapping[str, Any]) -> Iterator[Content]:
    mark = data["invented"]
    yield Content.assemble(
        (f"{data['label']}\n", _QUIET), (data["title"], "bold"),
        (f"   {mark['mark']}" if mark else "", "bold $warning"),
    )  # fmt: skip
    yield _lines(Content.assemble((f"{key}  ", _QUIET), value) for key, value in data["facts"])
    yield Content(data["intro_plain"]).stylize(_QUIET)


def _block(block: Mapping[str, Any], depth: Depth) -> Iterator[Content]:
    role = f"{block['role']}: " if block["role"] else ""
    yield Content.assemble(
        (role, _QUIET), (block["heading"], "bold $primary"), (f"   {block['size']}", _QUIET)
    )
    patches = block["patches"]
    items = patches["items"]
    large = Content.assemble(*(("█" * _PATCH, hex_shown(one["hex"], depth)) for one in items))
    yield _lines([large, large, large, *(_named(one) for one in items)])
    yield Content(f"{block['verdict']}.").stylize("bold")
    yield Content(" ".join(block["says"]))
    yield Content(block["sure"])
    yield _strip(block["strip"], depth)
    yield _warned(block["warnings"])
    for part in ("elsewhere", "instead"):
        items = [
            one if isinstance(one, dict) else {"text": one, "swatch": ""} for one in block[part]["items"]
        ]
        yield _titled(block[part]["title"], [_item(one, depth) for one in items])


def _named(one: Mapping[str, str]) -> Content:
    return Content.assemble((f"{one['label']}: ", _QUIET), (one["name"], "bold"))


def _strip(strip: Mapping[str, Any], depth: Depth) -> Content:
    colours = strip["colours"]
    wide = 2 * len(colours)
    ends = [one for one in (strip["left"], strip["right"]) if one]
    return _lines([
        Content(strip["title"]).stylize(_QUIET),
        Content("▄" * wide).stylize(hex_shown(strip["swatch"], depth)),
        Content.assemble(*(("██", hex_shown(one, depth)) for one in colours)),
        Content(strip["same"] or "; ".join(ends)),
    ])  # fmt: skip


def _item(one: Mapping[str, str], depth: Depth) -> Content:
    if not one["swatch"]:
        return Content(f"· {one['text']}")
    return Content.assemble(
        ("██", hex_shown(one["swatch"], depth)), ("██", hex_shown(one["glow"], depth)), f" {one['text']}"
    )


def _table(data: Mapping[str, Any], depth: Depth) -> Iterator[Content]:
    table = data["table"]
    yield Content(table["title"]).stylize("bold $primary")
    for row in table["rows"]:
        pair = [("███", hex_shown(row[key], depth)) for key in ("swatch", "glow")]
        first = Content.assemble(
            *pair, (f" {row['number']}. {row['pairing']}", "bold"), (f"  {row['size']}", _QUIET),
            f"\n{row['reads']}. {row['says']}.",
        )  # fmt: skip
        yield _lines([first, _warned(row["warnings"])])
    yield Content(table["more"])
    yield _warned(data["warnings_rest"])


def _practical(data: Mapping[str, Any]) -> Iterator[Content]:
    sizes = data["sizes"]
    yield _titled(sizes["title"], [Content(" · ".join(one["label"] for one in sizes["items"]))])
    if data["need"]:
        yield _titled(data["need"]["title"], [Content(one) for one in data["need"]["items"]])
    if told := data["quote"]:
        rows = [f"{what}: {money}" for what, money in [*told["rows"], told["total"]]]
        yield _titled(told["title"], [Content(one) for one in [*rows, *told["says"]]])
    worn = data["cautions"]
    if worn["items"]:
        yield _titled(worn["title"], [_warned(worn["items"]), Content(worn["defer"]).stylize(_QUIET)])
    if data["note"]:
        yield _titled(data["note"]["title"], [Content(data["note"]["text"])])


def _end(data: Mapping[str, Any]) -> Iterator[Content]:
    sign = data["sign"]
    yield Content(data["experts"]).stylize(_QUIET)
    yield Content("\n".join(data["limits"])).stylize("bold")
    if data["invented"]:
        yield Content(data["invented"]["why"]).stylize("bold")
    yield Content.assemble((f"{sign['title']}. ", "bold"), sign["text"])
    yield Content(f"{'_' * 28}  {'_' * 14}\n{sign['name']:<28}  {sign['date']}").stylize(_QUIET)


def _warned(items: Sequence[Mapping[str, Any]]) -> Content:
    return _lines(
        Content.assemble((f"{_MARKS[one['severity']]} {one['word']}. ", "bold"),
                         f"{one['text']} {one['accepted']}".rstrip())
        for one in items
    )  # fmt: skip


def _titled(title: str, items: Sequence[Content]) -> Content:
    return _lines([Content(title).stylize(_QUIET), *items]) if items else Content()


def _lines(items: "Sequence[Content] | Iterator[Content]") -> Content:
    return Content("\n").join([one for one in items if one.plain])
