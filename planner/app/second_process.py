"""A second process for what takes longer than a key may wait: full readings, what to order instead, pictures.

In a thread it would hold up the first look at the next change, since Python lets one thread at a
time compute. The process is started when first needed and asked over its standard input and
output; it ends with them. Where it can, it begins as a copy of this one that is at its first answer already.
"""

import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from select import select
from typing import Any, BinaryIO, NoReturn, TypeAlias, cast

from planner.app.pauses import share_memory, started
from planner.catalogue.palette import Palette
from planner.copied import can_be_copied, copied, ended, give_way

PATIENCE = 20.0
"""Seconds for which what a copy began with is waited for, however busy the machine is (our choice)."""

_TRIES = 20
"""How often what is asked is packed again where it changes meanwhile: each time takes some milliseconds."""


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

    def begin_with(self, work: Callable[[], Any]) -> bool:
        """Start the process as a copy of this one that does `work` at once, and say whether there is one.

        Where none can be made, nothing is done. To be called before this process has other threads, and
        before it imports what the copy has no use for.
        """
        return self._shared.copy(work)

    def begun_with(self) -> Any:
        """Return what came of the work that the process was begun with; what it raised is raised here.

        Raises
        ------
        ProcessLostError
            If there is no such process, or no longer.

        """
        good, answer = self._shared.began()
        if not good:
            raise answer
        return answer

    @property
    def is_there(self) -> bool:
        """Whether `begun_with` need not wait."""
        return self._shared.is_there()

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
        self._process: _Process | None = None
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

    def copy(self, work: Callable[[], Any]) -> bool:
        with self._changed:
            if self._process is not None or not self._users or not _Copy.possible():
                return False
            try:
                self._process = _Copy(work)
            except OSError:  # the system has no room for another: it may have later
                return False
            return True

    def is_there(self) -> bool:
        with self._changed:
            return isinstance(self._process, _Copy) and self._process.is_there()

    def began(self) -> "_Reply":
        with self._changed:
            process = self._process
        if not isinstance(process, _Copy):
            raise ProcessLostError("begun with nothing")
        try:
            return process.began()
        except (OSError, EOFError, ValueError, pickle.UnpicklingError) as problem:
            _reap(process)
            raise ProcessLostError(str(problem)) from None

    def answer(self, user: SecondProcess, *asked: Any) -> Any:
        """Return whether what is asked could be done, and what came of it."""
        told = _packed(asked)
        while True:
            with self._turn(user) as process:
                try:
                    cast("BinaryIO", process.stdin).write(told)
                    cast("BinaryIO", process.stdin).flush()
                    return pickle.load(cast("BinaryIO", process.stdout))  # noqa: S301 - our own process
                except (OSError, EOFError, ValueError, pickle.UnpicklingError) as problem:
                    _reap(process)
                    with self._changed:
                        if self._process is process:  # it was not made to give way
                            raise ProcessLostError(str(problem)) from None

    @contextmanager
    def _turn(self, user: SecondProcess) -> "Iterator[_Process]":
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

    def _running(self) -> "_Process":
        if self._process is not None and self._process.poll() is not None:
            _reap(self._process)
            self._process = None
        if self._process is None:
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


class _Copy:
    """A copy of this process, used like one that was started.

    What came of its work lies in memory that both share, and is taken over in one piece: where the screen is
    being made, a thread would wait for its turn with each piece of a pipe.
    """

    @staticmethod
    def possible() -> bool:
        """Say whether there can be one: some builds of Python know nothing of such memory."""
        return can_be_copied() and hasattr(os, "memfd_create")

    def __init__(self, work: Callable[[], Any]) -> None:
        (asked, ask), (answer, answers), (ready, told) = os.pipe(), os.pipe(), os.pipe()
        memory = os.memfd_create("began")

        def serve() -> None:
            for file in (ask, answer, ready):
                os.close(file)
            with os.fdopen(memory, "wb") as began:
                pickle.dump(_done(work), began, pickle.HIGHEST_PROTOCOL)
            os.close(told)
            started()
            _serve(os.fdopen(asked, "rb"), os.fdopen(answers, "wb"))

        try:
            self._number: int | None = copied(serve, keep=(asked, answers, told), by_itself=True)
        except OSError:
            for file in (asked, ask, answer, answers, ready, told, memory):
                os.close(file)
            raise
        self._ready, self._memory = os.fdopen(ready, "rb"), os.fdopen(memory, "rb")
        self.stdin, self.stdout = os.fdopen(ask, "wb"), os.fdopen(answer, "rb")

    def is_there(self) -> bool:
        """Return whether its work is done, or never will be."""
        return bool(select([self._ready], [], [], 0.0)[0])

    def began(self) -> "_Reply":
        """Wait for what came of its work, and return it."""
        if not select([self._ready], [], [], PATIENCE)[0]:
            raise OSError(f"nothing after {PATIENCE:g} s")
        memory = self._memory.fileno()
        return cast("_Reply", pickle.loads(os.pread(memory, os.fstat(memory).st_size, 0)))  # noqa: S301 - ours

    def poll(self) -> int | None:
        """Return 0 if it has ended."""
        with suppress(ChildProcessError):
            if self._number is not None and os.waitpid(self._number, os.WNOHANG)[0] == 0:
                return None
        self._number = None
        return 0

    def kill(self) -> None:
        """End it, and wait for that: it takes no time."""
        number, self._number = self._number, None  # first: another thread may do this too
        if number is not None:
            ended(number)

    def wait(self) -> None:
        """Close what it said; it is waited for when it is killed."""
        self._ready.close()
        self._memory.close()


_Process: TypeAlias = subprocess.Popen[bytes] | _Copy


def _reap(process: _Process) -> None:
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

    is_there = False
    """Whether it was begun with anything."""

    def begun_with(self) -> NoReturn:
        """Raise `ProcessLostError`: it was begun with nothing."""
        raise ProcessLostError("begun with nothing")

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


_Reply: TypeAlias = tuple[bool, Any]
"""Whether something could be done, and what came of it."""


def _packed(asked: tuple[Any, ...]) -> bytes:
    """Return what is asked, ready to be sent whole.

    Other threads have it too, and one may work something out in it just then: it is packed once more.
    """
    for _ in range(_TRIES):
        with suppress(RuntimeError):  # a dictionary changed its size
            return pickle.dumps(asked, pickle.HIGHEST_PROTOCOL)
    return pickle.dumps(asked, pickle.HIGHEST_PROTOCOL)


def _done(work: Callable[..., Any], *given: Any) -> _Reply:
    try:
        return True, work(*given)
    except Exception as problem:  # noqa: BLE001 - it is raised where it was asked for
        return False, problem


def _serve(asked: BinaryIO, answers: BinaryIO) -> None:
    """Answer until there is nobody to ask any more."""
    give_way()
    while True:
        try:
            work, given = pickle.load(asked)  # noqa: S301 - from the process that started this one
        except EOFError:
            return
        pickle.dump(_done(work, *given), answers, pickle.HIGHEST_PROTOCOL)
        answers.flush()


def _serve_alone() -> None:
    """Answer as a process of its own."""
    share_memory()
    asked, answers = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr  # what a library prints must not get between the answers
    _serve(asked, answers)


if __name__ == "__main__":
    _serve_alone()
