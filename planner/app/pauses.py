"""Keeps Python's search for unreachable objects from holding keys up, and threads from hoarding memory.

A full search through all that a started interface consists of takes a tenth of a second. So there is
none while it starts, and what is there once the first answer is painted is never searched again.

The GNU C library gives each of many threads memory of its own, which it keeps once it was used: a dozen
screens came to 295 MB that way, and to 180 MB where all threads share two such places.
"""

import ctypes
import gc
from contextlib import suppress
from functools import cache

_OFTEN = (5_000, 10, 10)
"""New objects before a search, and searches before a wider one: fewer than Python's 700, 10, 10."""


_ARENAS, _FEW = -8, 2
"""What mallopt(3) calls M_ARENA_MAX, and how many there may be."""

_BY_ITSELF, _LARGE = -3, 4_000_000
"""What it calls M_MMAP_THRESHOLD, and from how many bytes an array goes back to the system with its last use:
what is smaller leaves room for others, and returning it costs more time than it is worth."""

_TRIM, _SPARE = -1, 4 * _LARGE
"""What it calls M_TRIM_THRESHOLD, and how much of the rest may lie idle at its end."""


def starting() -> None:
    """Search nothing until `started`, and let threads share memory."""
    gc.disable()
    share_memory()


def share_memory() -> None:
    """Let all threads take memory from the same places, and large arrays from places of their own.

    Before any thread is begun, and where the system can.
    """
    with suppress(AttributeError, OSError, TypeError):
        system = ctypes.CDLL(None)
        system.mallopt(_ARENAS, _FEW)
        system.mallopt(_BY_ITSELF, _LARGE)
        system.mallopt(_TRIM, _SPARE)


@cache
def started() -> None:
    """Leave out of every later search what is there now; does so once in a process."""
    gc.freeze()
    gc.set_threshold(*_OFTEN)
    gc.enable()
