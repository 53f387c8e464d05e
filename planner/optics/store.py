"""Beams kept in the user's cache folder, since following them takes most of a first answer.

Nothing depends on it: what is missing, damaged, unreadable or too much is computed anew, without a
word. What is kept is named after everything that it depends on, the text of this room among it, so
that a changed planner never finds what another one left.
"""

import contextlib
import hashlib
import os
from collections.abc import Callable
from dataclasses import fields
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from planner import atomic
from planner.refusal import Refusal

T = TypeVar("T")

LIMIT = 256_000_000
"""Bytes kept in all; beyond it the longest unused goes first (our choice)."""

_LARGEST = LIMIT // 4
"""Bytes of one file, kept or read."""


def folder() -> Path | None:
    """Return where beams are kept; None for nowhere."""
    import platformdirs

    return Path(platformdirs.user_cache_dir("coated-stone-planner", appauthor=False)) / "beams"


def kept(kind: type[T], key: object, make: Callable[[], T]) -> T:
    """Return what `make` returns, from the folder if it is there, and leave it there.

    Parameters
    ----------
    kind
        A dataclass whose fields are all arrays: what `make` returns.
    key
        What it depends on besides the code: plain values, whose `repr` tells all of them.
    make
        Computes it.

    """
    place = folder()
    name = None if place is None else _name(kind, key)
    if place is None or name is None:
        return make()
    path = place / name
    found = _read(kind, path)
    if found is None:
        found = make()
        _write(found, path)
    return found


def _name(kind: type[Any], key: object) -> str | None:
    """Return the name of a file; None where the code cannot be told."""
    code = _code()
    if code is None:
        return None
    return hashlib.sha256(f"{code} {kind.__name__} {key!r}".encode()).hexdigest()[:40] + ".npz"


@cache
def _code() -> str | None:
    """Return a number for the text of this room and the libraries that its results depend on."""
    texts = sorted(Path(__file__).parent.glob("*.py"))
    seen = hashlib.sha256(np.__version__.encode())
    try:
        for path in texts:
            seen.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    except OSError:
        return None
    return seen.hexdigest() if texts else None


def _read(kind: type[T], path: Path) -> T | None:
    try:
        if path.stat().st_size > _LARGEST:
            return None
        with path.open("rb") as file, np.load(file, allow_pickle=False) as parts:
            found = kind(**{one.name: parts[one.name] for one in fields(kind)})  # type: ignore[arg-type]
        os.utime(path)  # used just now
    except Exception:  # noqa: BLE001 - however a file came to be damaged, its content is computed anew
        return None
    return found


def _write(what: object, path: Path) -> None:
    parts = {one.name: np.asarray(getattr(what, one.name)) for one in fields(what)}  # type: ignore[arg-type]
    size = sum(part.nbytes for part in parts.values())
    if size > _LARGEST:
        return
    with contextlib.suppress(OSError, Refusal):
        path.parent.mkdir(parents=True, exist_ok=True)
        _make_room(path.parent, size)
        data = BytesIO()
        np.savez(data, **parts)  # type: ignore[arg-type]
        atomic.write(path, data.getvalue(), lasting=False)


def _make_room(place: Path, size: int) -> None:
    """Drop what was not used for longest, until `size` bytes more fit; leftovers go the same way."""
    found = []
    for path in place.iterdir():
        with contextlib.suppress(OSError):
            known = path.stat()
            found.append((known.st_mtime, known.st_size, path))
    total = size + sum(one[1] for one in found)
    for _, own, path in sorted(found, key=lambda one: one[0]):
        if total <= LIMIT:
            return
        path.unlink(missing_ok=True)
        total -= own
