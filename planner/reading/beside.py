"""A second process that leaves in the store what an answer is about to ask for.

Python lets one thread at a time compute, so threads share a first answer badly. A copy of this process that
works through the same list from its other end shares it well, and needs to be told nothing and to tell
nothing: what it has worked out is found in the store, as it would be in a later run. Answers do not depend on
it. It is nothing but a matter of speed, so where a process cannot be copied safely there is none.
"""

import mmap
import os
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

from planner.copied import can_be_copied, copied, ended
from planner.optics.store import folder

T = TypeVar("T")

_LATER = 5
"""By how much the copy gives way to whoever waits for an answer, see ``nice``."""

PATIENCE = 1.0
"""Seconds to wait for a step that the copy is at before taking it too (our choice)."""

_GLANCE = 0.005
"""Seconds between two looks."""

_FREE, _MINE, _THEIRS, _LEFT = range(4)
"""Whose a step is: nobody's yet, this process's, the copy's, or done by the copy."""


@contextmanager
def beside(work: Callable[[], Iterable[object]], *, known: bool = False) -> Iterator[None]:
    """Take the steps of `work` in a copy of this process until the block ends; they leave it in the store.

    Where most of it is `known` to be there already, nothing is done.
    """
    if known or not _possible():
        yield
        return

    def steps() -> None:
        os.nice(_LATER)
        for _ in work():
            pass

    copy = copied(steps)
    try:
        yield
    finally:
        ended(copy)


def in_turns(
    steps: Sequence[Callable[[], T]], ahead: Callable[[], Iterable[object]] | None = None, *,
    known: bool = False,
) -> list[T]:  # fmt: skip
    """Return what `steps` return, which leave in the store whatever takes long.

    A copy of this process takes the steps of `ahead`, and then the others from the last on. Neither begins
    what the other is at, and at the end this process finds in the store what the copy left. Where most is
    `known` to be there already, or there is next to nothing to share, there is no copy.
    """
    known = known or (ahead is None and len(steps) < 2)
    found: dict[int, T] = {}
    with mmap.mmap(-1, max(1, len(steps))) as whose:

        def from_the_end() -> Iterator[object]:
            yield from () if ahead is None else ahead()
            for at in reversed(range(len(steps))):
                if whose[at] == _FREE:
                    whose[at] = _THEIRS
                    steps[at]()
                    whose[at] = _LEFT
                    yield at

        with beside(from_the_end, known=known):
            for at, step in enumerate(steps):
                if whose[at] == _FREE:
                    whose[at] = _MINE
                    found[at] = step()
            for at, step in enumerate(steps):
                if at not in found:
                    until = time.monotonic() + PATIENCE
                    while whose[at] == _THEIRS and time.monotonic() < until:
                        time.sleep(_GLANCE)
                    found[at] = step()
    return [found[at] for at in range(len(steps))]


def _possible() -> bool:
    """Say whether a copy is safe and of any use."""
    return can_be_copied() and folder() is not None
