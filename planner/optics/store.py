"""Beams and colours kept in the user's cache folder: working them out takes most of an answer.

Nothing depends on it: what is missing, damaged, unreadable or too much is computed anew, without a
word. What is kept is named after everything that it depends on, the text of this room among it, so
that a changed planner never finds what another one left.
"""

import contextlib
import hashlib
import json
import math
import os
import stat
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from planner import atomic

T = TypeVar("T")

LIMIT = 256_000_000
"""Bytes kept in all; beyond it the longest unused goes first (our choice)."""

_LARGEST = LIMIT // 4
"""Bytes of one file, kept or read."""

_SEAL, _LENGTH = 4, 4
"""Bytes of a file's seal, and of the length of its table of contents."""

_STEP = 64
"""Bytes at multiples of which arrays begin, as processors like them."""


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
    return hashlib.sha256(f"{code} {kind.__name__} {key!r}".encode()).hexdigest()[:40] + ".arrays"


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
    """Return what a file of ours keeps, read-only; None where anything is amiss with it."""
    try:
        data = memoryview(_own_bytes(path))
        if data[:_SEAL] != _seal(path.name, [data[_SEAL:]]):
            return None
        kept_ = kind(**dict(_arrays(data)))
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


def _seal(name: str, pieces: Iterable[memoryview | bytes]) -> bytes:
    """Return a number (CRC-32) that tells whether the file of that name is as it was written."""
    seal = zlib.crc32(name.encode())
    for piece in pieces:
        seal = zlib.crc32(piece, seal)
    return seal.to_bytes(_SEAL, "little")


def _arrays(data: memoryview) -> Iterator[tuple[str, NDArray[Any]]]:
    """Yield a file's arrays with their names: views of its bytes, since a copy takes as long as reading."""
    first = _SEAL + _LENGTH
    start = first + int.from_bytes(data[_SEAL:first], "little")
    for name, kind, shape in json.loads(bytes(data[first:start])):
        start = _aligned(start)
        one = np.frombuffer(data, np.dtype(kind), math.prod(shape), start).reshape(shape)
        start += one.nbytes
        yield name, one


def _written(name: str, parts: Mapping[str, NDArray[Any]]) -> bytes:
    """Return a file's bytes: its seal, the length of its table of contents, that table, array after array."""
    known = json.dumps([(key, one.dtype.str, one.shape) for key, one in parts.items()]).encode()
    pieces: list[bytes | memoryview] = [len(known).to_bytes(_LENGTH, "little"), known]
    end = _SEAL + _LENGTH + len(known)
    for one in parts.values():
        pieces += [bytes(_aligned(end) - end), one.ravel().view(np.uint8).data]
        end = _aligned(end) + one.nbytes
    return b"".join([_seal(name, pieces), *pieces])


def _aligned(place: int) -> int:
    return -(-place // _STEP) * _STEP


def _finite(parts: Mapping[str, NDArray[Any]]) -> bool:
    return all(np.isfinite(one).all() for one in parts.values() if one.dtype.kind in "fc")


def _write(what: object, path: Path) -> None:
    parts = {one.name: np.asarray(getattr(what, one.name), order="C") for one in fields(what)}  # type: ignore[arg-type]
    small = sum(part.nbytes for part in parts.values()) <= _LARGEST
    plain = all(part.dtype.kind in "biufc" for part in parts.values())
    if not (small and plain and _finite(parts)):
        return
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        data = _written(path.name, parts)
        if _filled.get(path.parent, LIMIT) + len(data) > LIMIT:
            _filled[path.parent] = _make_room(path.parent, len(data))
        atomic.cache(path, data)
        _filled[path.parent] += len(data)


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
