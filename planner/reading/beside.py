"""A second process that leaves in the store what an answer is about to ask for.

Python lets one thread at a time compute, so threads share a first answer badly. A copy of this process that
works through the same list from its other end shares it well, and needs to be told nothing and to tell
nothing: what it has worked out is found in the store, as it would be in a later run. Answers do not depend on
it. It is nothing but a matter of speed, so where a process cannot be copied safely there is none.
"""

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

from planner.copied import can_be_copied, copied, ended
from planner.optics.store import folder

_LATER = 5
"""By how much the copy gives way to whoever waits for an answer, see ``nice``."""


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


def _possible() -> bool:
    """Say whether a copy is safe and of any use."""
    return can_be_copied() and folder() is not None
