"""A second process for what takes longer than a key may wait: full readings, what to order instead, pictures.

In a thread it would hold up the first look at the next change, since Python lets one thread at a
time compute. The process is started when first needed and asked over its standard input and
output; it ends with them.
"""

import pickle
import subprocess
import sys
import threading
from collections.abc import Callable
from typing import Any, BinaryIO, cast

from planner.app.pauses import share_memory
from planner.catalogue.palette import Palette


class ProcessLostError(Exception):
    """The second process ended before it answered."""


class SecondProcess:
    """The process, as the interface has it; calls from several threads are answered one after the other."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._lock, self._turn = threading.Lock(), threading.Lock()
        self._closed = False

    def call(self, work: Callable[..., Any], *given: Any) -> Any:
        """Return ``work(*given)``, computed there; what it raises is raised here.

        `work` is a function of a module; what is given and returned is copied.

        Raises
        ------
        ProcessLostError
            If the process ended meanwhile, or the second is closed.

        """
        with self._turn:
            process = self._running()
            try:
                pickle.dump((work, given), cast("BinaryIO", process.stdin), pickle.HIGHEST_PROTOCOL)
                cast("BinaryIO", process.stdin).flush()
                good, answer = pickle.load(cast("BinaryIO", process.stdout))  # noqa: S301 - our own process
            except (OSError, EOFError, ValueError, pickle.UnpicklingError) as problem:
                self._end()
                raise ProcessLostError(str(problem)) from None
        if not good:
            raise answer
        return answer

    def begin(self) -> None:
        """Start the process, so that the first call need not wait for that."""
        self._running()

    def close(self) -> None:
        """End the process, whatever it is at."""
        self._closed = True
        self._end()

    def _running(self) -> subprocess.Popen[bytes]:
        with self._lock:
            if self._closed:
                raise ProcessLostError("closed")
            if self._process is None or self._process.poll() is not None:
                self._process = subprocess.Popen(  # noqa: S603 - this very program
                    [sys.executable, "-m", __name__],
                    stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                )  # fmt: skip
            return self._process

    def _end(self) -> None:
        with self._lock:
            process, self._process = self._process, None
        if process is not None:
            process.kill()
            process.wait()
            for pipe in (process.stdin, process.stdout):
                if pipe is not None:
                    pipe.close()


class SameProcess:
    """Does at once, in the calling thread, what `SecondProcess` has done elsewhere."""

    def call(self, work: Callable[..., Any], *given: Any) -> Any:
        """Return ``work(*given)``."""
        return work(*given)

    def begin(self) -> None:
        """Nothing is to be started."""

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
