"""A thread that answers the newest question and drops those that became stale meanwhile."""

import threading
from collections.abc import Callable
from typing import Generic, TypeVar

Q = TypeVar("Q")


class NewestWorker(Generic[Q]):
    """One thread with room for one waiting question: a newer one takes the place of an older one.

    Parameters
    ----------
    work
        Answers a question. It may look at `stale` between its steps and leave early.
    rest
        Seconds during which no newer question may come before one is begun, if it is not begun at once.

    """

    def __init__(self, work: Callable[[Q], None], *, rest: float = 0.0) -> None:
        self._work, self._rest = work, rest
        self._changed = threading.Condition()
        self._next: Q | None = None
        self._busy = self._closed = self._at_once = False
        self._thread: threading.Thread | None = None

    def ask(self, question: Q, *, at_once: bool = False) -> None:
        """Let `question` be answered next."""
        with self._changed:
            if self._closed:
                return
            self._next, self._at_once = question, at_once
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, daemon=True)
                self._thread.start()
            self._changed.notify_all()

    @property
    def stale(self) -> bool:
        """Whether what is being answered is no longer wanted."""
        return self._closed or self._next is not None

    def wait(self, seconds: float, done: Callable[[], bool] = lambda: False) -> bool:
        """Wait that long, or until `done`, or what is being answered is stale; return whether it is.

        `done` is looked at when `nudge` is called.
        """
        with self._changed:
            self._changed.wait_for(lambda: self.stale or done(), seconds)
            return self.stale

    def nudge(self) -> None:
        """Let whoever waits look again."""
        with self._changed:
            self._changed.notify_all()

    @property
    def idle(self) -> bool:
        """Whether nothing is being answered and nothing waits."""
        with self._changed:
            return not self._busy and self._next is None

    def drop(self) -> None:
        """Forget the question that waits, if any."""
        with self._changed:
            self._next = None

    def close(self) -> None:
        """Begin nothing any more; what is being answered is not waited for."""
        with self._changed:
            self._closed, self._next = True, None
            self._changed.notify_all()

    def _run(self) -> None:
        while True:
            with self._changed:
                self._busy = False
                self._changed.wait_for(lambda: self._closed or self._next is not None)
                while self._rest and not (self._closed or self._at_once):
                    waiting = self._next
                    self._changed.wait(self._rest)
                    if self._next is waiting:
                        break
                if self._closed:
                    return
                question, self._next, self._busy = self._next, None, True
            if question is not None:
                self._work(question)
