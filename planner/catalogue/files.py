"""Text files of a person's own: read with bounds, written whole or not at all.

A write goes to a temporary file in the same folder, is flushed to the disk and renamed over the
old one, which is kept once as ``<name>.bak``. A file that changed since it was read is not
overwritten. Planners that save into one folder at the same moment wait for each other from that check to
the rename, so that none loses what another wrote; editors heed no such lock, and for them a moment is left.
"""

import hashlib
import os
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Self

from planner.catalogue.errors import PaletteError

MAX_BYTES = 5_000_000
"""Largest file that is read: some 500 measured spectra fit."""

BACKUP = ".bak"
"""What is added to a file's name for its backup."""

_MARK = "\ufeff"


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
        raise PaletteError(f"{path}: found a folder; a file is needed here")
    if not stat.S_ISREG(status.st_mode):
        raise PaletteError(f"{path}: found a device or pipe; a plain file is needed here")
    if status.st_size > most:
        raise PaletteError(f"{path}: found {status.st_size} bytes; a file may have at most {most}")


def read_text(path: Path) -> TextFile:
    """Return the text of the file at `path`.

    Raises
    ------
    PaletteError
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
    PaletteError
        If it is missing, a folder or device, unreadable, or over `most` bytes.

    """
    try:
        _check_plain(path, path.stat(), most)
        with path.open("rb") as file:
            data = file.read(most + 1)
    except PaletteError:
        raise
    except FileNotFoundError:
        raise PaletteError(f"{path}: there is no such file; check the spelling and the folder") from None
    except (OSError, ValueError) as problem:  # ValueError: a null character in the path
        raise PaletteError(
            f"{path}: cannot be read ({_reason(problem)}); a readable file is needed"
        ) from None
    if len(data) > most:
        raise PaletteError(f"{path}: found more than {most} bytes; a file may have at most that")
    return data


def _decode(path: Path, data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        raise PaletteError(
            f"{path} line {line}: found byte 0x{data[problem.start]:02x} at offset {problem.start}, "
            "which is not UTF-8; save the file as UTF-8 text"
        ) from None


def digest(data: bytes) -> str:
    """Return what tells one version of a file from another."""
    return hashlib.sha256(data).hexdigest()


def write_text(file: TextFile) -> TextFile:
    """Write `file` in place of the version with its digest; return it as now on the disk.

    Raises
    ------
    PaletteError
        If the file on the disk is no longer the version that was read, or it cannot be written.

    """
    path, data = file.path.resolve(), file.data  # a link stays a link
    if len(data) > MAX_BYTES:
        raise PaletteError(f"{file.path}: would have {len(data)} bytes; a file may have at most {MAX_BYTES}")
    try:
        with _alone_in(path.parent):
            old = path.read_bytes() if path.exists() else None
            if (None if old is None else digest(old)) != file.digest:
                raise PaletteError(f"{file.path}: {_changed(old, file.digest)}; nothing was written")
            if old == data:
                return file
            if old is not None:
                _replace(path.with_name(path.name + BACKUP), old, path)
            _replace(path, data, path)
    except OSError as problem:
        raise PaletteError(
            f"{file.path}: cannot be written ({_reason(problem)}); nothing was changed"
        ) from None
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
        PaletteError
            If it changed on the disk since it was read, or cannot be written.

        """
        return replace(self, source=write_text(self.source))


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Keep other planners from saving into `folder` meanwhile, where the system can lock a folder."""
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        # Some network drives lock nothing: there the check alone must do.
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _changed(old: bytes | None, expected: str | None) -> str:
    if expected is None:
        return "found a file of that name already"
    return (
        "the file is gone since it was read"
        if old is None
        else "the file was changed by someone else since it was read"
    )


def _replace(path: Path, data: bytes, model: Path) -> None:
    """Put `data` at `path` in one step, with the permissions of `model` when that exists."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(stat.S_IMODE(model.stat().st_mode) if model.exists() else 0o666 & ~_umask())
        Path(name).replace(path)
    except BaseException:
        with suppress(OSError):
            Path(name).unlink()
        raise
    _flush_folder(path.parent)


def _umask() -> int:
    """Return the process's mask for new files, which can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _flush_folder(folder: Path) -> None:
    """Make the renaming itself durable, where the system allows a folder to be opened."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _reason(problem: Exception) -> str:
    return getattr(problem, "strerror", None) or str(problem)
