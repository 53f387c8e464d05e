"""One palette file: read it into entries, add or change an entry, save it.

A palette file is TOML with any mix of ``[[stone]]``, ``[[coating]]``, ``[[cut]]``, ``[[venue]]`` and
``[[swatch]]`` entries, in any order. A swatch, or a stone's body, may name a ``file`` of an instrument in
the palette's folder instead of listing its spectrum.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.errors import build, suggest
from planner.catalogue.fields import Entry, file_name
from planner.catalogue.files import OwnFile, TextFile, read_text
from planner.catalogue.money import in_a_file
from planner.catalogue.spectra.file import read_spectrum
from planner.catalogue.stone import Stone
from planner.catalogue.swatch import Swatch
from planner.catalogue.toml_text import (
    Blocks,
    edit_entry,
    new_entry,
    newline_of,
    parse,
    split,
    split_for_edit,
)
from planner.catalogue.venue import Venue
from planner.refusal import InvalidValue, Refusal, show

KINDS: Mapping[str, type[Entry]] = {
    "stone": Stone,
    "coating": Coating,
    "cut": Cut,
    "venue": Venue,
    "swatch": Swatch,
}
"""The kinds of entry, by the word in their header."""

_FILED = ("swatch", "stone")
"""The kinds whose entries may name a file instead of listing a spectrum."""

MAX_ENTRIES = 5000
"""Most entries of one file."""


def kind_of(entry: Entry) -> str:
    """Return the word for the kind of `entry`."""
    return next(kind for kind, model in KINDS.items() if isinstance(entry, model))


@dataclass(frozen=True)
class PaletteFile(OwnFile):
    """A palette file as read, or as it will be saved."""

    entries: tuple[Entry, ...]
    """Its entries, kind by kind in file order."""

    lines: Mapping[tuple[str, str], int | None]
    """Line of each entry's header by (kind, id); None where entries have no headers of their own."""

    def with_entry(self, entry: Entry) -> "PaletteFile":
        """Return the file with `entry` added, or put in place of the one with its kind and id.

        Comments, order and every other line stay.

        Raises
        ------
        Refusal
            If the file's entries are written in a way that cannot be changed in place.

        """
        kind = kind_of(entry)
        old = next((one for one in self.entries if kind_of(one) == kind and one.id == entry.id), None)
        if old == entry:
            return self
        blocks = split_for_edit(self.path, self.source.text, KINDS)
        text = _appended(blocks.text, entry) if old is None else self._changed(blocks, old, entry)
        after = _read(replace(self.source, text=text))
        wanted = entry if old is None else old
        expected = {one for one in self.entries if one is not wanted} | {entry}
        if set(after.entries) != expected:
            raise Refusal(f"{self.path}: cannot be changed in place; please edit it by hand")
        return after

    def without_entry(self, kind: str, entry_id: str) -> "PaletteFile":
        """Return the file without an entry; every other line stays, and so do comments between entries.

        Raises
        ------
        KeyError
            If it has no such entry.
        Refusal
            If the file's entries are written in a way that cannot be changed in place.

        """
        old = self.entry(kind, entry_id)
        blocks = split_for_edit(self.path, self.source.text, KINDS)
        place = self._place(blocks, old)
        text = Blocks(blocks.head, (*blocks.blocks[:place], *blocks.blocks[place + 1 :])).text
        after = _read(replace(self.source, text=text))
        if set(after.entries) != {one for one in self.entries if one is not old}:
            raise Refusal(f"{self.path}: cannot be changed in place; please edit it by hand")
        return after

    def renamed(self, kind: str, entry_id: str, entry: Entry) -> "PaletteFile":
        """Return the file with `entry` in place of the one of an id, which may be another."""
        old = self.entry(kind, entry_id)
        blocks = split_for_edit(self.path, self.source.text, KINDS)
        after = _read(replace(self.source, text=self._changed(blocks, old, entry)))
        if set(after.entries) != {one for one in self.entries if one is not old} | {entry}:
            raise Refusal(f"{self.path}: cannot be changed in place; please edit it by hand")
        return after

    def entry(self, kind: str, entry_id: str) -> Entry:
        """Return an entry by its kind and id; KeyError if there is none."""
        for one in self.entries:
            if one.id == entry_id and kind_of(one) == kind:
                return one
        raise KeyError(f"{kind} {entry_id}")

    def _place(self, blocks: Blocks, entry: Entry) -> int:
        """Return which block an entry stands in."""
        kind = kind_of(entry)
        alike = [place for place, block in enumerate(blocks.blocks) if block.kind == kind]
        return alike[[one for one in self.entries if kind_of(one) == kind].index(entry)]

    def _changed(self, blocks: Blocks, old: Entry, entry: Entry) -> str:
        kind, place = kind_of(entry), self._place(blocks, old)
        block = blocks.blocks[place]
        block = replace(block, text=edit_entry(block.text, kind, entry_data(old), entry_data(entry)))
        changed = (*blocks.blocks[:place], block, *blocks.blocks[place + 1 :])
        return Blocks(blocks.head, changed).text


def _appended(text: str, entry: Entry) -> str:
    newline = newline_of(text)
    added = new_entry(kind_of(entry), entry_data(entry), newline)
    return text + (added if text else added.removeprefix(newline))


def entry_data(model: BaseModel) -> dict[str, Any]:
    """Return the fields of `model` that were given, as a TOML file holds them."""
    data: dict[str, Any] = _plain(model.model_dump(exclude_unset=True, exclude_none=True))
    if isinstance(model, Swatch | Stone) and model.file is not None:
        # The spectrum stands in that file, and stays there.
        data.pop("spectrum", None)
    return data


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return in_a_file(value) if isinstance(value, Decimal) else value


def new_palette_file(path: Path, comment: str = "") -> PaletteFile:
    """Return an empty palette file that is not on the disk yet; `comment` becomes its first lines."""
    text = "".join(f"# {line}".rstrip() + "\n" for line in comment.splitlines())
    return PaletteFile(TextFile(path, text, None), (), {})


def read_palette_file(path: Path) -> PaletteFile:
    """Return the palette file at `path`.

    Raises
    ------
    Refusal
        If it cannot be read, is not TOML, or an entry is wrong: one sentence for the first fault.

    """
    return _read(read_text(path))


def _read(source: TextFile) -> PaletteFile:
    path = source.path
    data = parse(path, source.text)
    for key, rows in data.items():
        if key not in KINDS:
            raise Refusal(f"{path}: found {show(key)}, which is no kind of entry; {suggest(key, KINDS)}")
        if not isinstance(rows, list):
            raise Refusal(f"{path}: found [{key}]; an entry needs a header in double brackets, [[{key}]]")
    count = sum(map(len, data.values()))
    if count > MAX_ENTRIES:
        raise Refusal(f"{path}: found {count} entries; a file may have at most {MAX_ENTRIES}")
    headers = _header_lines(source.text, data)
    entries: list[Entry] = []
    lines: dict[tuple[str, str], int | None] = {}
    for kind, rows in data.items():
        for number, row in enumerate(rows):
            line = headers[kind][number] if headers else None
            where = place(path, line, kind, row, number)
            entry = build(KINDS[kind], _with_spectrum(path, row, kind, where), where)
            if (kind, entry.id) in lines:
                raise Refusal(f"{where}: found this id a second time in the file; an id must be unique")
            entries.append(entry)
            lines[kind, entry.id] = line
    return PaletteFile(source, tuple(entries), lines)


def _with_spectrum(path: Path, row: Any, kind: str, where: str) -> Any:
    """Return an entry's fields, with the spectrum of the file that it names beside the palette file."""
    if kind not in _FILED or not isinstance(row, Mapping) or "file" not in row:
        return row
    if "spectrum" in row:
        raise Refusal(f"{where}: found file and spectrum; give one of them")
    try:
        name = file_name(row["file"])
    except InvalidValue as problem:
        raise Refusal(f"{where}, field file: {problem}") from None
    folder = path.parent.resolve()
    place = (folder / name.replace("\\", "/")).resolve()
    # A link may lead elsewhere.
    if not place.is_relative_to(folder):
        raise Refusal(
            f"{where}, field file: found {show(name)}, which leads out of the palette's folder; copy the "
            "file into it"
        )
    try:
        return {**row, "spectrum": read_spectrum(path.parent / name.replace("\\", "/"))}
    except Refusal as problem:
        raise Refusal(f"{where}, field file: {problem}") from None


def _header_lines(text: str, data: Mapping[str, Sequence[Any]]) -> dict[str, list[int]]:
    """Return the lines of the headers of each kind, or nothing where they do not match the entries."""
    lines: dict[str, list[int]] = {kind: [] for kind in data}
    for block in split(text, KINDS).blocks:
        lines.setdefault(block.kind, []).append(block.line)
    return lines if all(len(lines[kind]) == len(data.get(kind, ())) for kind in lines) else {}


def place(path: Path, line: int | None, kind: str, row: Any, number: int) -> str:
    """Return where an entry is, for a person: file, line, kind and id (or number, when it has none)."""
    at = f"{path} line {line}" if line else f"{path}"
    given = row.get("id") if isinstance(row, dict) else None
    return f"{at}, {kind} {show(given) if isinstance(given, str) else number + 1}"


def places(source: TextFile, kind: str, kinds: Collection[str], count: int, what: str) -> tuple[str, ...]:
    """Return where each of `count` entries of a kind is; without lines where not all have their own headers.

    Parameters
    ----------
    source
        The file.
    kind, kinds
        The word in their headers, and those in all headers of the file.
    count
        How many such entries its data have.
    what
        What a person calls one.

    """
    lines = [block.line for block in split(source.text, kinds).blocks if block.kind == kind]
    known = lines if len(lines) == count else [None] * count
    return tuple(place(source.path, line, what, None, number) for number, line in enumerate(known))
