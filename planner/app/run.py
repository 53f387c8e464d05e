"""Opens the interface."""

import codecs
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import IO, TYPE_CHECKING, cast

from planner.app.pauses import starting
from planner.refusal import Refusal

if TYPE_CHECKING:
    from textual.drivers._writer_thread import WriterThread
    from textual.drivers.linux_driver import LinuxDriver

    from planner.app.planner_app import PlannerApp
    from planner.app.second_process import SecondProcess
    from planner.app.state import State
    from planner.catalogue.palette import Palette


def run(job: Path | None = None, palettes: Path | None = None) -> int:
    """Open the interface, on a job file or with the start screen, and return its exit status.

    Raises
    ------
    Refusal
        If the job or a palette cannot be used, or there is no terminal to open it in.

    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()) and not in_a_window():
        raise Refusal("the interface needs a terminal; planner --help shows what works without one")
    starting()
    from planner.app.state import state_of  # from here on nothing is searched for what is unreachable
    from planner.catalogue.palette import load, sources
    from planner.catalogue.settings import as_set
    from planner.job import read_job_file

    file = None if job is None else read_job_file(job)
    palette = as_set(load(*sources(job=job, palettes=palettes)))
    state = None if file is None else state_of(file.job, palette, file, file.path)
    app = opened(palette, state, palettes)
    app.run()
    return app.return_code or 0


def opened(palette: "Palette", state: "State | None", palettes: Path | None = None) -> "PlannerApp":
    """Return the planner on a palette and a job, if there is one; parameters as it has them.

    The first answer is begun in a copy of this process, while the screens are imported and made here.
    """
    from planner.app.second_process import SecondProcess

    painter, second = SecondProcess(), SecondProcess()
    begun = state is not None and _begun_with(painter, state)
    if begun:
        # There when it is first asked, with all that is imported so far.
        second.begin_with(lambda: None)
    try:
        from planner.app.parts.pixels import way_of
        from planner.app.planner_app import PlannerApp

        _bear_any_terminal()
        return PlannerApp(
            palette, state, second=second, palettes=palettes, way=way_of(), painter=painter, begun=begun
        )
    except BaseException:
        for one in (painter, second):
            one.close()
        raise


def _begun_with(painter: "SecondProcess", state: "State") -> bool:
    """Begin a process with the first answer to a job, where that can be; say whether it was."""
    from planner.app.answer import first_look

    try:
        question = state.question()
    except Refusal:  # the screen says so when it asks
        return False
    return painter.begin_with(partial(first_look, question, state.pairing.accept))


def in_a_window() -> bool:
    """Say whether it was started for a browser's window, which stands in for the terminal."""
    return "web_driver" in os.environ.get("TEXTUAL_DRIVER", "")


def _bear_any_terminal() -> None:
    """Let the library bear what a terminal does, where it would end the screen or go on for ever.

    Typed or pasted bytes that are no UTF-8 show as a mark. A terminal that is closed is written to all the
    same: the thread that writes would end, and who writes wait for it. And it is not taken over a second time
    by the signal to go on that comes with its end: two threads would read it, and one of them never stop.
    """
    from textual.drivers import linux_driver

    linux_driver.getincrementaldecoder = _lenient  # type: ignore[assignment, attr-defined]
    linux_driver.WriterThread = _writer  # type: ignore[assignment, attr-defined]
    setattr(linux_driver.LinuxDriver, "_sigcont_application", _gone_on_with)  # noqa: B010 - it is the library's


def _lenient(encoding: str) -> Callable[[], codecs.IncrementalDecoder]:
    return partial(codecs.getincrementaldecoder(encoding), errors="replace")


def _gone_on_with(driver: "LinuxDriver", *_: object) -> None:
    """Take the terminal again, if it was given back when the planner was stopped."""
    if driver._must_signal_resume:  # noqa: SLF001 - as above
        driver.resume_application_mode()


def _writer(terminal: IO[str]) -> "WriterThread":
    from textual.drivers._writer_thread import WriterThread

    return WriterThread(cast("IO[str]", _Closable(terminal)))


class _Closable:
    """A terminal to write to, which may be closed; what is written after that goes nowhere."""

    def __init__(self, terminal: IO[str]) -> None:
        self._terminal = terminal

    def write(self, text: str) -> None:
        with self._closable():
            self._terminal.write(text)

    def flush(self) -> None:
        with self._closable():
            self._terminal.flush()

    @contextmanager
    def _closable(self) -> Iterator[None]:
        try:
            yield
        except BlockingIOError:  # it takes no more just now
            pass
        except OSError:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self.fileno())
            os.close(nowhere)

    def fileno(self) -> int:
        return self._terminal.fileno()
