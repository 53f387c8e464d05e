"""Text files of a person's own: read with bounds, written whole or not at all.

The file that was there is kept once as ``<name>.bak``, and one that changed since it was read is not written
over: `planner.atomic` looks and renames under one lock, so that no planner loses what another wrote.
"""

import csv
import hashlib
import os
import stat
from dataclasses import dataclass, replace
from io import StringIO
from pathlib import Path
from typing import Self

from planner import atomic
from planner.refusal import Refusal

MAX_BYTES = 5_000_000
"""Largest file that is read: some 500 measured spectra fit."""

_MARK = "\ufeff"


class NoFile(Refusal):
    """There is no such file."""


@dataclass(frozen=True)
class TextFile:
    """The text of a file as it was read or written."""

    path: Path
    """Where it is."""

    text: str
    """All of it, line ends as they are, without a byte order mark."""

    digest: str | None
    """SHA-256 of its bytes; None while it is not on the disk yet."""

    marked: bool = False
    """Whether it began with a byte order mark, which is then kept."""

    @property
    def data(self) -> bytes:
        """Its bytes."""
        return ((_MARK if self.marked else "") + self.text).encode("utf-8")


def _check_plain(path: Path, status: os.stat_result, most: int) -> None:
    """Refuse what is no plain file of a bearable size."""
    if stat.S_ISDIR(status.st_mode):
        raise Refusal(f"{path}: found a folder; a file is needed here")
    if not stat.S_ISREG(status.st_mode):
        raise Refusal(f"{path}: found a device or pipe; a plain file is needed here")
    if status.st_size > most:
        raise Refusal(f"{path}: found {status.st_size} bytes; a file may have at most {most}")


def read_text(path: Path) -> TextFile:
    """Return the text of the file at `path`.

    Raises
    ------
    Refusal
        If it is missing, a folder, unreadable, over `MAX_BYTES`, or not UTF-8.

    """
    data = read_bytes(path)
    text = _decode(path, data)
    marked = text.startswith(_MARK)
    return TextFile(path, text[marked:], digest(data), marked)


def read_bytes(path: Path, most: int = MAX_BYTES) -> bytes:
    """Return what is in the file at `path`.

    Raises
    ------
    Refusal
        If it is missing, a folder or device, unreadable, or over `most` bytes.

    """
    try:
        _check_plain(path, path.stat(), most)
        with path.open("rb") as file:
            data = file.read(most + 1)
    except Refusal:
        raise
    except FileNotFoundError:
        raise NoFile(f"{path}: there is no such file; check the spelling and the folder") from None
    except (OSError, ValueError) as problem:  # ValueError: a null character in the path
        raise Refusal(
            f"{path}: cannot be read ({atomic.reason(problem)}); a readable file is needed"
        ) from None
    if len(data) > most:
        raise Refusal(f"{path}: found more than {most} bytes; a file may have at most that")
    return data


def _decode(path: Path, data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        raise Refusal(
            f"{path} line {line}: found byte 0x{data[problem.start]:02x} at offset {problem.start}, "
            "which is not UTF-8; save the file as UTF-8 text"
        ) from None


def rows_of(file: TextFile) -> list[list[str]]:
    """Return the cells of a comma-separated table, row by row.

    Raises
    ------
    Refusal
        If a cell cannot be read.

    """
    reader = csv.reader(StringIO(file.text, newline=""))
    try:
        return list(reader)
    except csv.Error as problem:
        raise unread_cell(file.path, reader.line_num, problem) from None


def unread_cell(path: Path, line: int, problem: csv.Error) -> Refusal:
    """Return how a cell of a table is refused that cannot be read."""
    return Refusal(
        f"{path}, near line {line}: found a cell that cannot be read ({problem}); is a quotation mark never "
        "closed?"
    )


def digest(data: bytes) -> str:
    """Return what tells one version of a file from another."""
    return hashlib.sha256(data).hexdigest()


def write_text(file: TextFile) -> TextFile:
    """Write `file` in place of the version with its digest; return it as now on the disk.

    Raises
    ------
    Refusal
        If the file on the disk is no longer the version that was read, or it cannot be written.

    """
    data = file.data
    if len(data) > MAX_BYTES:
        raise Refusal(f"{file.path}: would have {len(data)} bytes; a file may have at most {MAX_BYTES}")

    def refuse(old: bytes | None) -> str:
        return "" if (None if old is None else digest(old)) == file.digest else _changed(old, file.digest)

    atomic.write(file.path, data, backup=True, refuse=refuse)
    return TextFile(file.path, file.text, digest(data), file.marked)


@dataclass(frozen=True)
class OwnFile:
    """What a person's file says; each kind of file adds that to the text it is kept in."""

    source: TextFile
    """Its text, and which version of it is on the disk."""

    @property
    def path(self) -> Path:
        """Where it is."""
        return self.source.path

    def save(self) -> Self:
        """Write the file whole, keep one backup, and return it as now on the disk.

        Raises
        ------
        Refusal
            If it changed on the disk since it was read, or cannot be written.

        """
        return replace(self, source=write_text(self.source))

    def save_over(self, later: Self) -> Self:
        """Write this version of the file again, in place of a `later` one, and return it as now on the disk.

        Raises
        ------
        Refusal
            If the file is no longer as `later` has it, or cannot be written.

        """
        return replace(self, source=replace(later.source, text=self.source.text)).save()


def _changed(old: bytes | None, expected: str | None) -> str:
    if expected is None:
        return "found a file of that name already"
    return (
        "the file is gone since it was read"
        if old is None
        else "the file was changed by someone else since it was read"
    )
