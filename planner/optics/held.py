"""Results held in memory while there is room for them: by bytes, since one may be a hundred times another."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import fields, is_dataclass
from threading import Lock
from typing import Generic, ParamSpec, TypeVar

import numpy as np

P = ParamSpec("P")
R = TypeVar("R")


class Held(Generic[P, R]):
    """A function that remembers results, as `functools.lru_cache` does, up to so many bytes of arrays.

    The latest result is held however large it is; beyond that the longest unused go first. Arguments must be
    hashable; one given by name is another than the same by place.
    """

    def __init__(self, make: Callable[P, R], megabytes: float) -> None:
        self._make, self._most = make, megabytes * 1e6
        self._found: OrderedDict[Hashable, tuple[R, int]] = OrderedDict()
        self._lock, self._bytes = Lock(), 0

    def __call__(self, *given: P.args, **named: P.kwargs) -> R:
        """Return the result for these arguments, made once while it is held."""
        key = (given, *sorted(named.items()))
        with self._lock:
            if key in self._found:
                self._found.move_to_end(key)
                return self._found[key][0]
        value = self._make(*given, **named)
        with self._lock:
            if key not in self._found:
                self._found[key] = value, array_bytes(value)
                self._bytes += self._found[key][1]
            while self._bytes > self._most and len(self._found) > 1:
                self._bytes -= self._found.popitem(last=False)[1][1]
        return value

    def cache_clear(self) -> None:
        """Forget all results."""
        with self._lock:
            self._found.clear()
            self._bytes = 0


def held(megabytes: float) -> Callable[[Callable[P, R]], Held[P, R]]:
    """Return a decorator that holds so many megabytes of a function's results."""
    return lambda make: Held(make, megabytes)


def array_bytes(value: object) -> int:
    """Return the bytes of all arrays in a value: in tuples, lists and the fields of dataclasses too."""
    if isinstance(value, np.ndarray):
        return value.nbytes
    if isinstance(value, tuple | list):
        return sum(map(array_bytes, value))
    if is_dataclass(value):
        return sum(array_bytes(getattr(value, one.name)) for one in fields(value))
    return 0
