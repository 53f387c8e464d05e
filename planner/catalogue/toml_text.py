"""TOML as text that belongs to a person: read it, and change one entry without touching the rest.

Palettes and jobs are lists of entries, each under its own header such as ``[[stone]]``. A file is
cut at those headers, one entry is edited, and the pieces are joined again, so every other byte is
the same by construction. `tomlkit` sees single entries only: it keeps the comments within one, and
whole files with entries of mixed kinds need not be understood by it. After an edit the new text is
parsed again and must say what was meant, or the edit is refused.
"""

import re
import tomllib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from planner.refusal import Refusal

MAX_DOTS = 32
"""Most dots in one key: a parser needs memory for the square of their number."""

_PIECES = re.compile(r"[=,{}\[\]]")
_POSITION = re.compile(
    r"^(?P<what>.*?) \(at (?:line (?P<line>\d+), column \d+|end of document)\)$", re.DOTALL
)


_DECIMAL_COMMA = re.compile(r"=\s*(-?\d+,\d+)\s*(?:#.*)?$")


def parse(path: Path, text: str) -> dict[str, Any]:
    """Return the data of a TOML file.

    Raises
    ------
    Refusal
        If it is not TOML, or nested too deep to be meant.

    """
    _refuse_long_keys(path, text)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise Refusal(f"{path}: found lists or tables nested too deep; an entry needs at most four") from None
    except ValueError as problem:
        match = _POSITION.match(str(problem))
        line = (match["line"] if match else None) or str(text.count("\n") + 1)
        where = f" line {line}" if match else ""
        what = match["what"] if match else str(problem).split(";")[0]
        comma = _DECIMAL_COMMA.search(text.split("\n")[int(line) - 1]) if match else None
        if comma is not None:
            point = comma[1].replace(",", ".")
            raise Refusal(f"{path}{where}: found {comma[1]}; write {point}, with a point") from None
        raise Refusal(f"{path}{where}: is not valid TOML: {what[:1].lower() + what[1:]}") from None


def _refuse_long_keys(path: Path, text: str) -> None:
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") <= MAX_DOTS:
            continue
        before, _, _ = line.partition("#")
        line = line if '"' in before or "'" in before else before  # noqa: PLW2901  # a comment may hold dots
        most = max(piece.count(".") for piece in _PIECES.split(line))
        if most > MAX_DOTS:
            raise Refusal(f"{path} line {number}: found {most} dots in one name; allowed are {MAX_DOTS}")


@dataclass(frozen=True)
class Block:
    """One entry as text."""

    kind: str
    """What its header says: ``stone`` for ``[[stone]]``."""

    line: int
    """Line number of its header, from 1."""

    text: str
    """From the comment lines right above its header to the next block; all blocks end with a line end."""


@dataclass(frozen=True)
class Blocks:
    """A file cut into entries."""

    head: str
    """What stands before the first entry."""

    blocks: tuple[Block, ...]

    @property
    def text(self) -> str:
        """The whole file again."""
        return self.head + "".join(block.text for block in self.blocks)


def split(text: str, kinds: Collection[str]) -> Blocks:
    """Return `text` cut at its ``[[kind]]`` headers."""
    names = "|".join(map(re.escape, kinds))
    header = re.compile(rf"^[ \t]*\[\[[ \t]*({names})[ \t]*\]\][ \t]*(?:#[^\n]*)?\r?$", re.MULTILINE)
    starts: list[int] = []
    found: list[tuple[str, int]] = []
    line, at = 1, 0
    for match in header.finditer(text):
        line, at = line + text.count("\n", at, match.start()), match.start()
        starts.append(_above(text, match.start(), starts[-1] if starts else 0))
        found.append((match[1], line))
    pieces = [text[start:end] for start, end in pairwise([*starts, len(text)])]
    blocks = tuple(Block(kind, line, piece) for (kind, line), piece in zip(found, pieces, strict=True))
    return Blocks(text[: starts[0]] if starts else text, blocks)


def _above(text: str, start: int, least: int) -> int:
    """Return where the comment lines right above `start` begin, not before `least`."""
    while start > least:
        before = text.rfind("\n", least, start - 1) + 1 or least
        if not text[before:start].lstrip(" \t").startswith("#"):
            break
        start = before
    return start


def split_for_edit(path: Path, text: str, kinds: Collection[str]) -> Blocks:
    """Return `text` cut at its headers, sure that each piece is the entry it seems to be.

    A last line without an end gets one.

    Raises
    ------
    Refusal
        If an entry is written in another way, such as ``stone = [{…}]``.

    """
    if text and not text.endswith("\n"):
        text += newline_of(text)
    blocks = split(text, kinds)
    if not _agree(blocks, parse(path, text)):
        raise Refusal(
            f"{path}: cannot be changed in place, because not every entry stands under a header such as "
            f"[[{next(iter(kinds))}]]; edit it by hand, or save under another name"
        )
    return blocks


def _agree(blocks: Blocks, data: Mapping[str, Any]) -> bool:
    """Return whether each block, read alone, is the entry of the whole file that it seems to be.

    Compared as text, because a nan differs from itself. False also where a header stands in a text.
    """
    seen: dict[str, list[Any]] = {}
    for block in blocks.blocks:
        try:
            alone = tomllib.loads(block.text)
        except ValueError:
            return False
        if list(alone) != [block.kind] or len(alone[block.kind]) != 1:
            return False
        seen.setdefault(block.kind, []).extend(alone[block.kind])
    return all(repr(data.get(kind, [])) == repr(seen.get(kind, [])) for kind in {*seen, *_tables(data)})


def _tables(data: Mapping[str, Any]) -> set[str]:
    return {
        key for key, value in data.items() if isinstance(value, list) and value and isinstance(value[0], dict)
    }


def newline_of(text: str) -> str:
    """Return the line end that `text` uses."""
    return "\r\n" if "\r\n" in text else "\n"


def new_entry(kind: str, data: Mapping[str, Any], newline: str = "\n") -> str:
    """Return a fresh entry as text, its header first and a blank line before it."""
    import tomlkit

    table = tomlkit.table()
    for key, value in data.items():
        table.add(key, _item(value))
    text = f"\n[[{kind}]]\n" + tomlkit.dumps(table)
    return text.replace("\n", newline)


def edit_entry(text: str, kind: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    """Return the text of one entry with the fields that differ between `old` and `new` changed."""
    import tomlkit

    body, tail = _part_tail(text)
    document = tomlkit.parse(body)
    entries: Any = document[kind]
    _update(entries[0], old, new)
    return _with_newlines(tomlkit.dumps(document), text) + tail


def edit_head(text: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    """Return the text before the first entry with the fields that differ changed."""
    import tomlkit

    body, tail = _part_tail(text)
    document = tomlkit.parse(body)
    _update(document, old, new)
    return _with_newlines(tomlkit.dumps(document), text) + tail


def _part_tail(text: str) -> tuple[str, str]:
    """Return `text` without, and only, the blank and comment lines at its end; a new field goes between."""
    lines = [line for line in re.split(r"(?<=\n)", text) if line]  # not at the other line ends of Unicode
    keep = len(lines)
    while keep and (not lines[keep - 1].strip() or lines[keep - 1].lstrip().startswith("#")):
        keep -= 1
    return "".join(lines[:keep]), "".join(lines[keep:])


def _with_newlines(text: str, like: str) -> str:
    """Return `text` with the line ends of `like`; an edit adds plain ones."""
    return re.sub(r"\r?\n", newline_of(like), text)


def _update(table: Any, old: Mapping[str, Any], new: Mapping[str, Any]) -> None:
    """Change in `table` what differs between `old` and `new`, as deep as both are tables."""
    for key in old.keys() - new.keys():
        table.pop(key, None)
    for key, value in new.items():
        before = old.get(key)
        if key in table and before == value:
            continue
        if key in table and isinstance(before, Mapping) and isinstance(value, Mapping):
            _update(table[key], before, value)
        elif key in table and _same_tables(before, value):
            for place, (one, other) in enumerate(zip(before or (), value, strict=True)):
                _update(table[key][place], one, other)
        else:
            table[key] = _item(value)


def _same_tables(before: Any, after: Any) -> bool:
    """Return whether both are lists of equally many tables."""
    both = isinstance(before, list) and isinstance(after, list) and len(before) == len(after) > 0
    return both and all(isinstance(one, Mapping) for one in [*before, *after])


def _item(value: Any) -> Any:
    """Return `value` for tomlkit: tables inline, a list of tables one to a line."""
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for key, one in value.items():
            table.add(key, _item(one))
        return table
    if isinstance(value, Sequence) and not isinstance(value, str):
        array = tomlkit.array()
        for one in value:
            array.append(_item(one))
        return array.multiline(any(isinstance(one, Mapping) for one in value) or len(value) > 8)
    return tomlkit.item(value)
