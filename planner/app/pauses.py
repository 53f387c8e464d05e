"""Keeps Python's search for unreachable objects from holding keys up.

A full search through all that a started interface consists of takes a tenth of a second. So there is
none while it starts, and what is there once the first answer is painted is never searched again.
"""

import gc
from functools import cache

_OFTEN = (5_000, 10, 10)
"""New objects before a search, and searches before a wider one: fewer than Python's 700, 10, 10."""


def starting() -> None:
    """Search nothing until `started`."""
    gc.disable()


@cache
def started() -> None:
    """Leave out of every later search what is there now; does so once in a process."""
    gc.freeze()
    gc.set_threshold(*_OFTEN)
    gc.enable()
