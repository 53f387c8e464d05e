"""A second process that leaves in the store what an answer is about to ask for.

Python lets one thread at a time compute, so threads share a first answer badly. A copy of this process that
works through the same list from its other end shares it well, and needs to be told nothing and to tell
nothing: what it has worked out is found in the store, as it would be in a later run. Answers do not depend on
it. It is nothing but a matter of speed, so where a process cannot be copied safely there is none.
"""

import ctypes
import io
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress

from planner.optics.store import folder

_FIRST = os.getpid()
"""The process that read this module: its copies make none."""

_LATER = 5
"""By how much the copy gives way to whoever waits for an answer, see ``nice``."""

_END_WITH_IT = 1
"""What prctl(2) calls PR_SET_PDEATHSIG: a signal for the copy when the process that it is beside ends."""


@contextmanager
def beside(work: Callable[[], Iterable[object]], *, known: bool = False) -> Iterator[None]:
    """Take the steps of `work` in a copy of this process until the block ends; they leave it in the store.

    Where most of it is `known` to be there already, nothing is done.
    """
    if known or not _possible():
        yield
        return
    first = os.getpid()
    copy = os.fork()
    if copy == 0:
        _do(work, first)
    try:
        yield
    finally:
        with suppress(ProcessLookupError):
            os.kill(copy, signal.SIGKILL)
        with suppress(ChildProcessError):
            os.waitpid(copy, 0)


def _possible() -> bool:
    """Say whether a copy is safe, which takes a process of one thread on Linux, and of any use."""
    one_thread = sys.platform == "linux" and threading.active_count() == 1
    return os.getpid() == _FIRST and one_thread and len(os.sched_getaffinity(0)) > 1 and folder() is not None


def _do(work: Callable[[], Iterable[object]], first: int) -> None:
    """Do it as the copy of process `first`, as long as there is that: quietly, and never to come back."""
    try:
        # Whoever reads what the planner prints does not wait for its copy.
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        sys.stdout = sys.stderr = io.TextIOWrapper(io.FileIO(nowhere, "w"))
        os.nice(_LATER)
        ctypes.CDLL(None).prctl(_END_WITH_IT, signal.SIGKILL)
        if os.getppid() == first:
            for _ in work():
                pass
    finally:
        os._exit(0)
