"""A copy of this process, for work that needs a processor of its own and all that was read so far.

It takes Linux and a process of one thread: of several, the others would be missing in the copy, with whatever
they had locked. It is nothing but a matter of speed, so where there can be none, work is done some other way.
"""

import ctypes
import io
import os
import signal
import sys
import threading
from collections.abc import Callable, Collection
from contextlib import suppress

_END_WITH_IT = 1
"""What prctl(2) calls PR_SET_PDEATHSIG: a signal for the copy when the process that it came from ends."""

_LATER = 5
"""By how much such a process gives way to whoever waits for an answer, see ``nice``."""

_may_copy = [os.getpid()]
"""Numbers of processes that may be copied: the one that read this, and copies that stand by themselves."""


def can_be_copied() -> bool:
    """Say whether a copy of this process is safe, and of any use."""
    one_thread = sys.platform == "linux" and threading.active_count() == 1
    return os.getpid() in _may_copy and one_thread and len(os.sched_getaffinity(0)) > 1


def copied(work: Callable[[], object], *, keep: Collection[int] = (), by_itself: bool = False) -> int:
    """Do `work` in a copy of this process, and return its number; see `ended`.

    The copy is quiet, and ends with the work or with the process that it came from, whichever is first.
    Ctrl-C is for that process alone.

    Parameters
    ----------
    work
        What to do there.
    keep
        Numbers of files that only the copy uses from now on; they are closed here.
    by_itself
        Whether the copy may have copies of its own.

    Raises
    ------
    OSError
        If the system has no room for another process.

    """
    first = os.getpid()
    # In a copy that had just begun, Ctrl-C would let this very function come back a second time.
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        copy = os.fork()
        if copy == 0:
            _do(work, first, by_itself=by_itself)
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
    for file in keep:
        os.close(file)
    return copy


def give_way() -> None:
    """Let this process compute when whoever waits for an answer does not, where the system can."""
    if hasattr(os, "nice"):
        os.nice(_LATER)


def ended(copy: int) -> None:
    """End a copy, whatever it is at."""
    with suppress(ProcessLookupError):
        os.kill(copy, signal.SIGKILL)
    with suppress(ChildProcessError):
        os.waitpid(copy, 0)


def _do(work: Callable[[], object], first: int, *, by_itself: bool) -> None:
    """Do it as the copy of process `first`, as long as there is that: quietly, and never to come back."""
    try:
        # Whoever reads what the planner prints does not wait for its copy.
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        sys.stdout = sys.stderr = io.TextIOWrapper(io.FileIO(nowhere, "w"))
        ctypes.CDLL(None).prctl(_END_WITH_IT, signal.SIGKILL)
        if by_itself:
            _may_copy.append(os.getpid())
        if os.getppid() == first:
            work()
    finally:
        os._exit(0)
