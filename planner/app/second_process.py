"""A second process for what takes longer than a key may wait: full readings, what to order instead, pictures.

In a thread it would hold up the first look at the next change, since Python lets one thread at a
time compute. The process is started when first needed and asked over its standard input and
output; it ends with them.
"""

import pickle
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any, BinaryIO, cast

from planner.app.pauses import share_memory
from planner.catalogue.palette import Palette


class ProcessLostError(Exception):
    """The second process ended before it answered."""


class SecondProcess:
    """The process, as one screen has it; calls from several threads are answered one after the other.

    Screens share it, since one for each would take too much memory: see `reserved`.
    """

    def __init__(self, shared: "_Shared | None" = None) -> None:
        self._shared = shared or _Shared()
        self._shared.join(self)

    def call(self, work: Callable[..., Any], *given: Any) -> Any:
        """Return ``work(*given)``, computed there; what it raises is raised here.

        `work` is a function of a module; what is given and returned is copied.

        Raises
        ------
        ProcessLostError
            If the process ended meanwhile, or the second is closed.

        """
        good, answer = self._shared.answer(self, work, given)
        if not good:
            raise answer
        return answer

    def begin(self) -> None:
        """Start the process, so that the first call need not wait for that."""
        self._shared.begin()

    def reserved(self) -> "SecondProcess":
        """Return the same process for a screen that opens, until it is closed there.

        Until then other calls wait, so that what is on top waits for nothing below. A call under way gives
        way and is made anew afterwards, when the store has most of what it had worked out.
        """
        return SecondProcess(self._shared)

    def close(self) -> None:
        """Give the process back, or end it where nobody had it before; a call under way is dropped."""
        self._shared.leave(self)


class _Shared:
    """A process and those who have it, whose calls are answered while they are the last to have come."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._changed = threading.Condition()
        self._users: list[SecondProcess] = []
        self._busy: SecondProcess | None = None

    def join(self, user: SecondProcess) -> None:
        with self._changed:
            self._users.append(user)
            if self._busy:
                self._give_up()

    def leave(self, user: SecondProcess) -> None:
        """Let a user go; with the first, all."""
        with self._changed:
            self._users = [one for one in self._users if user not in (one, self._users[0])]
            if self._busy is user or not self._users:
                self._give_up()
            self._changed.notify_all()

    def begin(self) -> None:
        with self._changed:
            if self._users:
                self._running()

    def answer(self, user: SecondProcess, *asked: Any) -> Any:
        """Return whether what is asked could be done, and what came of it."""
        while True:
            with self._turn(user) as process:
                try:
                    pickle.dump(asked, cast("BinaryIO", process.stdin), pickle.HIGHEST_PROTOCOL)
                    cast("BinaryIO", process.stdin).flush()
                    return pickle.load(cast("BinaryIO", process.stdout))  # noqa: S301 - our own process
                except (OSError, EOFError, ValueError, pickle.UnpicklingError) as problem:
                    _reap(process)
                    with self._changed:
                        if self._process is process:  # it was not made to give way
                            raise ProcessLostError(str(problem)) from None

    @contextmanager
    def _turn(self, user: SecondProcess) -> Iterator[subprocess.Popen[bytes]]:
        """Wait for a user's turn, and have the process until the block ends."""
        with self._changed:
            self._changed.wait_for(lambda: user not in self._users or self._is_next(user))
            if user not in self._users:
                raise ProcessLostError("closed")
            process, self._busy = self._running(), user
        try:
            yield process
        finally:
            with self._changed:
                self._busy = None
                self._changed.notify_all()

    def _is_next(self, user: SecondProcess) -> bool:
        return self._busy is None and self._users[-1] is user

    def _running(self) -> subprocess.Popen[bytes]:
        if self._process is None or self._process.poll() is not None:
            self._process = subprocess.Popen(  # noqa: S603 - this very program
                [sys.executable, "-m", __name__],
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
            )  # fmt: skip
        return self._process

    def _give_up(self) -> None:
        """End the process; who waits for its answer sees to what is left of it."""
        process, self._process = self._process, None
        if process is not None and self._busy:
            process.kill()
        elif process is not None:
            _reap(process)


def _reap(process: subprocess.Popen[bytes]) -> None:
    process.kill()
    process.wait()
    for pipe in (process.stdin, process.stdout):
        if pipe is not None:
            with suppress(OSError):  # what was not sent yet
                pipe.close()


class SameProcess:
    """Does at once, in the calling thread, what `SecondProcess` has done elsewhere."""

    def call(self, work: Callable[..., Any], *given: Any) -> Any:
        """Return ``work(*given)``."""
        return work(*given)

    def begin(self) -> None:
        """Nothing is to be started."""

    def reserved(self) -> "SameProcess":
        """Nobody waits for anybody."""
        return SameProcess()

    def close(self) -> None:
        """Nothing is to be ended."""


def parcel(palette: Palette) -> dict[str, Any]:
    """Return a palette as plain tables, which can be copied to another process."""
    kinds = ("stones", "coatings", "cuts", "venues", "swatches")
    tables = {kind: dict(getattr(palette, kind)) for kind in kinds}
    return {**tables, "own": palette.own, "mine": palette.mine}


def unpacked(parts: dict[str, Any]) -> Palette:
    """Return the palette of a `parcel`; it no longer knows its files."""
    return Palette(**parts, files=())


def _serve() -> None:
    """Answer until there is nobody to ask any more."""
    import os

    if hasattr(os, "nice"):
        os.nice(5)
    share_memory()
    asked, answers = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr  # what a library prints must not get between the answers
    while True:
        try:
            work, given = pickle.load(asked)  # noqa: S301 - from the process that started this one
        except EOFError:
            return
        try:
            reply = (True, work(*given))
        except Exception as problem:  # noqa: BLE001 - it is raised where it was asked for
            reply = (False, problem)
        pickle.dump(reply, answers, pickle.HIGHEST_PROTOCOL)
        answers.flush()


if __name__ == "__main__":
    _serve()
