"""Beams and colours kept in the user's cache folder: working them out takes most of an answer.

Nothing depends on it: what is missing, damaged, unreadable or too much is computed anew, without a
word. What is kept is named after everything that it depends on, the text of this room among it, so
that a changed planner never finds what another one left.
"""

import contextlib
import hashlib
import os
import stat
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from planner import atomic
from planner.refusal import Refusal

T = TypeVar("T")

LIMIT = 256_000_000
"""Bytes kept in all; beyond it the longest unused goes first (our choice)."""

_LARGEST = LIMIT // 4
"""Bytes of one file, kept or read."""

_SEAL = "seal"
"""Name beside the arrays of the number that tells whether they are as they were written."""


def folder() -> Path | None:
    """Return where beams are kept; None for nowhere."""
    import platformdirs

    return Path(platformdirs.user_cache_dir("coated-stone-planner", appauthor=False)) / "beams"


def kept(kind: type[T], key: object, make: Callable[[], T], *rooms: Path) -> T:
    """Return what `make` returns, from the folder if it is there, and leave it there.

    Parameters
    ----------
    kind
        A dataclass whose fields are all arrays: what `make` returns.
    key
        What it depends on besides the code: plain values, whose `repr` tells all of them.
    make
        Computes it.
    rooms
        Folders besides this one whose code it depends on.

    """
    place = folder()
    name = None if place is None else _name(kind, key, *rooms)
    if place is None or name is None:
        return make()
    path = place / name
    found = _read(kind, path)
    if found is None:
        found = make()
        _write(found, path)
    return found


def is_kept(kind: type[Any], key: object, *rooms: Path) -> bool:
    """Say whether there is a file of what `kept` returns, whatever it holds."""
    place, name = folder(), _name(kind, key, *rooms)
    return place is not None and name is not None and (place / name).is_file()


def fingerprint(*parts: NDArray[Any] | None) -> str:
    """Return a number for arrays, for a key: types, shapes and values."""
    seen = hashlib.sha256()
    for part in parts:
        one = np.ascontiguousarray(() if part is None else part)
        seen.update(f"{part is None} {one.dtype.str} {one.shape}".encode())
        seen.update(one.tobytes())
    return seen.hexdigest()


def _name(kind: type[Any], key: object, *rooms: Path) -> str | None:
    """Return the name of a file; None where the code cannot be told."""
    code = _code(*rooms)
    if code is None:
        return None
    return hashlib.sha256(f"{code} {kind.__name__} {key!r}".encode()).hexdigest()[:40] + ".npz"


@cache
def _code(*rooms: Path) -> str | None:
    """Return a number for the text of this room and others, and the libraries that results depend on."""
    texts = [path for room in (Path(__file__).parent, *rooms) for path in sorted(room.glob("*.py"))]
    seen = hashlib.sha256(np.__version__.encode())
    try:
        for path in texts:
            seen.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    except OSError:
        return None
    return seen.hexdigest() if texts else None


def _read(kind: type[T], path: Path) -> T | None:
    """Return what a file of ours keeps; None where anything is amiss with it."""
    try:
        data = _own_bytes(path)
        with zipfile.ZipFile(BytesIO(data)) as parts:
            if sum(one.file_size for one in parts.infolist()) > _LARGEST:
                return None
        with np.load(BytesIO(data), allow_pickle=False) as parts:
            found = {name: parts[name] for name in parts.files}
        if found.pop(_SEAL).tobytes() != _sealed(path.name, found) or not _finite(found):
            return None
        kept_ = kind(**found)
        os.utime(path)  # used just now
    except Exception:  # noqa: BLE001 - however a file came to be damaged, its content is computed anew
        return None
    return kept_


def _own_bytes(path: Path) -> bytes:
    """Return what a plain file of this user's holds; OSError if it is no such file, or too large.

    No link is followed, no pipe waited for, and nothing taken that somebody else may write.
    """
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "rb") as file:
        known = os.fstat(handle)
        own = not hasattr(os, "getuid") or (known.st_uid == os.getuid() and not known.st_mode & 0o022)
        if not (stat.S_ISREG(known.st_mode) and own and known.st_size <= _LARGEST):
            raise OSError(0, "no file of ours")
        return file.read(known.st_size)


def _sealed(name: str, parts: Mapping[str, NDArray[Any]]) -> bytes:
    """Return a number for everything in a file: names, types, shapes and values."""
    seal = hashlib.sha256(name.encode())
    for key in sorted(parts):
        one = np.ascontiguousarray(parts[key])
        seal.update(f"{key} {one.dtype.str} {one.shape}".encode())
        seal.update(one.tobytes())
    return seal.digest()


def _finite(parts: Mapping[str, NDArray[Any]]) -> bool:
    return all(np.isfinite(one).all() for one in parts.values() if one.dtype.kind in "fc")


def _write(what: object, path: Path) -> None:
    parts = {one.name: np.asarray(getattr(what, one.name)) for one in fields(what)}  # type: ignore[arg-type]
    size = sum(part.nbytes for part in parts.values())
    if size > _LARGEST or not _finite(parts):
        return
    seal = np.frombuffer(_sealed(path.name, parts), np.uint8)
    with contextlib.suppress(OSError, Refusal):
        path.parent.mkdir(parents=True, exist_ok=True)
        if _filled.get(path.parent, LIMIT) + size > LIMIT:
            _filled[path.parent] = _make_room(path.parent, size)
        data = BytesIO()
        np.savez(data, **parts, **{_SEAL: seal})  # type: ignore[arg-type]
        atomic.write(path, data.getvalue(), lasting=False)
        _filled[path.parent] += size


_filled: dict[Path, int] = {}
"""Bytes in a folder as this process knows it: thousands of small files are not counted for each new one."""


def _make_room(place: Path, size: int) -> int:
    """Drop what a killed planner left and what was not used for longest, until `size` bytes more fit.

    Return how many bytes are there now.
    """
    atomic.clear(place)
    found = []
    for path in place.iterdir():
        with contextlib.suppress(OSError):
            known = path.stat()
            found.append((known.st_mtime, known.st_size, path))
    total = size + sum(one[1] for one in found)
    for _, own, path in sorted(found, key=lambda one: one[0]):
        if total <= LIMIT:
            break
        path.unlink(missing_ok=True)
        total -= own
    return total - size
