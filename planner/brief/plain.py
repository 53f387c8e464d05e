"""A brief as plain text, for e-mail and for a screen reader: the same words, one below the other."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from wcwidth import width, wrap

WIDTH: Final = 76
"""Cells in a line."""


def plain(data: Mapping[str, Any]) -> str:
    """Return the text of a brief; `data` as `planner.brief.content.content` returns it."""
    parts = [*_head(data)]
    for block in data["blocks"]:
        parts += _block(block)
    parts.append("\n".join(_warnings(data["warnings_both"])))
    if data["table"]:
        parts += _table(data)
    parts += _practical(data)
    sign = data["sign"]
    parts += [_wrap(one) for one in data["limits"]]
    if data["invented"]:
        parts.append(_wrap(f"{data['invented']['mark']}. {data['invented']['why']}"))
    parts.append(_wrap(f"{sign['title']}. {sign['text']}"))
    parts.append(f"{sign['name']}: {'_' * 30}\n\n{sign['date']}: {'_' * 16}")
    parts.append(_wrap(data["experts"]))
    return "\n\n".join(part for part in parts if part) + "\n"


def _head(data: Mapping[str, Any]) -> Iterator[str]:
    if data["invented"]:
        yield data["invented"]["mark"]
    yield f"{data['label']}\n{_ruled(data['title'], '=')}"
    yield "\n".join(_wrap(f"{key}: {value}") for key, value in data["facts"])
    yield _wrap(data["intro_plain"])


def _block(block: Mapping[str, Any]) -> Iterator[str]:
    named = f"{block['role']}: {block['heading']}" if block["role"] else block["heading"]
    yield f"{_ruled(named, '-')}\n{block['size']}"
    yield _wrap(f"{block['verdict']}.")
    patches = block["patches"]
    yield "\n".join(_wrap(f"{one['label']}: {one['name']}") for one in patches["items"])
    yield _wrap(" ".join(block["says"]))
    yield _wrap(block["sure"])
    strip = block["strip"]
    ends = [one for one in (strip["left"], strip["right"]) if one]
    yield _wrap(f"{strip['title']}: {strip['same'] or '; '.join(ends)}")
    yield "\n".join(_warnings(block["warnings"]))
    for part in ("elsewhere", "instead"):
        items = [one["text"] if isinstance(one, dict) else one for one in block[part]["items"]]
        yield _list(block[part]["title"], items)


def _table(data: Mapping[str, Any]) -> Iterator[str]:
    table = data["table"]
    yield _ruled(table["title"], "-")
    for row in table["rows"]:
        first = _wrap(f"{row['number']}. {row['pairing']}, {row['size']}: {row['reads']}. {row['says']}.")
        yield "\n".join([first, *_warnings(row["warnings"])])
    yield _wrap(table["more"]) if table["more"] else ""
    yield "\n".join(_warnings(data["warnings_rest"]))


def _practical(data: Mapping[str, Any]) -> Iterator[str]:
    sizes = data["sizes"]
    yield _list(sizes["title"], [one["label"] for one in sizes["items"]])
    if data["need"]:
        yield _list(data["need"]["title"], data["need"]["items"])
    if told := data["quote"]:
        rows = [f"{what}: {money}" for what, money in [*told["rows"], told["total"]]]
        yield _list(told["title"], [*rows, *told["says"]])
    worn = data["cautions"]
    if worn["items"]:
        yield "\n".join([worn["title"], *_warnings(worn["items"]), _wrap(worn["defer"])])
    if data["note"]:
        yield _wrap(f"{data['note']['title']}: {data['note']['text']}")


def _warnings(items: list[dict[str, Any]]) -> list[str]:
    return [_wrap(f"{one['word']}. {one['text']} {one['accepted']}".rstrip(), "  ") for one in items]


def _list(title: str, items: list[str]) -> str:
    return "\n".join([title, *(_wrap(f"- {one}", "  ") for one in items)]) if items else ""


def _ruled(title: str, rule: str) -> str:
    text = _wrap(title)
    return f"{text}\n{rule * min(WIDTH, max(map(width, text.splitlines())))}"


def _wrap(text: str, hang: str = "") -> str:
    """Return a paragraph in lines; what a person typed cannot begin a line of its own."""
    return "\n".join(wrap(" ".join(text.split("\n")), WIDTH, subsequent_indent=hang, break_on_hyphens=False))
