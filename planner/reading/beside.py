"""A second process that leaves in the store what an answer is about to ask for.

Python lets one thread at a time compute, so threads share a first answer badly. A copy of this process that
works through the same list from its other end shares it well, and needs to be told nothing and to tell
nothing: what it has worked out is found in the store, as it would be in a later run. Answers do not depend on
it. It is nothing but a matter of speed, so where a process cannot be copied safely there is none.
"""

import mmap
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeVar

from planner.copied import can_be_copied, copied, ended, give_way
from planner.optics.store import folder

T = TypeVar("T")

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
        give_way()
        for _ in work():
            pass

    try:
        copy = copied(steps)
    except OSError:  # the system has no room for another
        copy = None
    try:
        yield
    finally:
        if copy is not None:
            ended(copy)


@dataclass(frozen=True)
class Ahead:
    """What will be asked for soon, as steps that leave it in the store."""

    between: Sequence[Callable[[], object]] = ()
    """Taken where the two processes meet: the shorter they are, the less is done twice or waited for."""
    last: Sequence[Callable[[], object]] = ()
    """Taken by the copy, before all others."""


def in_turns(
    steps: Sequence[Callable[[], T]], ahead: Callable[[], Ahead] = Ahead, *, known: bool = False
) -> list[T]:
    """Return what `steps` return, which leave in the store whatever takes long.

    This process takes them from the first on, a copy from the last, and both what is `ahead`. Neither begins
    what the other is at, and what the copy did is found in the store. Where most is `known` to be there
    already there is no copy, and nothing done ahead.
    """
    if known or not _possible():
        return [step() for step in steps]
    more, half = ahead(), (len(steps) + 1) // 2
    order: list[Callable[[], object]] = [*steps[:half], *more.between, *steps[half:], *more.last]
    places = [at if at < half else at + len(more.between) for at in range(len(steps))]
    found: dict[int, T] = {}
    asked = dict(zip(places, steps, strict=True))
    with mmap.mmap(-1, max(1, len(order))) as whose:

        def from_the_end() -> Iterator[int]:
            for at in reversed(range(len(order))):
                if whose[at] == _FREE:
                    whose[at] = _THEIRS
                    order[at]()
                    whose[at] = _LEFT
                    yield at

        with beside(from_the_end, known=len(order) < 2):
            for at, step in enumerate(order):
                if whose[at] == _FREE:
                    whose[at] = _MINE
                    if at in asked:
                        found[at] = asked[at]()
                    else:
                        step()
            for at in places:
                if at not in found:
                    _wait(whose, at)
                    found[at] = asked[at]()
    return [found[at] for at in places]


def _wait(whose: mmap.mmap, at: int) -> None:
    """Wait until the copy has done a step, but not for ever."""
    until = time.monotonic() + PATIENCE
    while whose[at] == _THEIRS and time.monotonic() < until:
        time.sleep(_GLANCE)


def _possible() -> bool:
    """Say whether a copy is safe and of any use."""
    return can_be_copied() and folder() is not None
