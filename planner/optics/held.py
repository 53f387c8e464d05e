"""Results held in memory while there is room for them: by bytes, since one may be a hundred times another."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import fields, is_dataclass
from threading import Lock
from typing import Generic, ParamSpec, TypeVar, cast

import numpy as np

P = ParamSpec("P")
R = TypeVar("R")

MOST = 80e6
"""Bytes held in all (our choice): with 60 MB a full reading takes a twentieth longer, with more no less."""


class Room:
    """Room for results of several functions: up to so many bytes of arrays, of which the longest unused go.

    The latest result is held however large it is.
    """

    def __init__(self, most: float) -> None:
        self.most, self.bytes = most, 0
        self.found: OrderedDict[Hashable, tuple[object, int]] = OrderedDict()
        self.lock = Lock()

    def get(self, key: Hashable) -> tuple[object, int] | None:
        """Return what is held under a key, with its bytes."""
        with self.lock:
            if key in self.found:
                self.found.move_to_end(key)
            return self.found.get(key)

    def put(self, key: Hashable, value: object) -> None:
        """Hold a value, and let go of others until there is room."""
        size = array_bytes(value)
        with self.lock:
            if key not in self.found:
                self.found[key] = value, size
                self.bytes += size
            while self.bytes > self.most and len(self.found) > 1:
                self.bytes -= self.found.popitem(last=False)[1][1]

    def clear(self, whose: object) -> None:
        """Let go of one function's results."""
        with self.lock:
            for key in [key for key in self.found if cast("tuple[object, ...]", key)[0] is whose]:
                self.bytes -= self.found.pop(key)[1]


_ROOM = Room(MOST)


class Held(Generic[P, R]):
    """A function that remembers results, as `functools.lru_cache` does, while there is room for them.

    Arguments must be hashable; one given by name is another than the same by place.
    """

    def __init__(self, make: Callable[P, R], room: Room = _ROOM) -> None:
        self._make, self._room = make, room

    def __call__(self, *given: P.args, **named: P.kwargs) -> R:
        """Return the result for these arguments, made once while it is held."""
        key = (self, given, *sorted(named.items()))
        known = self._room.get(key)
        if known is not None:
            return cast("R", known[0])
        value = self._make(*given, **named)
        self._room.put(key, value)
        return value

    def cache_clear(self) -> None:
        """Forget all results."""
        self._room.clear(self)


def held(make: Callable[P, R]) -> Held[P, R]:
    """Let a function remember its results beside those of all others."""
    return Held(make)


def array_bytes(value: object) -> int:
    """Return the bytes of all arrays in a value: in tuples, lists and the fields of dataclasses too."""
    if isinstance(value, np.ndarray):
        return value.nbytes
    if isinstance(value, tuple | list):
        return sum(map(array_bytes, value))
    if is_dataclass(value):
        return sum(array_bytes(getattr(value, one.name)) for one in fields(value))
    return 0
