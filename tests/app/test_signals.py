"""A planner in a real terminal that the system ends: its work is kept, and the terminal given back."""

import ctypes
import os
import select
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest
import tomlkit
from campaigns import WHOLE
from few import COATINGS, STONES, VENUES

from planner.data import demo
from planner.job import read_job_file

fcntl, pty, termios = (
    pytest.importorskip(one, reason="terminals as POSIX has them") for one in ("fcntl", "pty", "termios")
)

PATIENCE = 120.0
"""Seconds to wait for a screen, on a machine that may be busy."""


def _own_terminal():
    """Let the system tell the planner when its terminal is closed."""
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


class Terminal:
    """A planner in a terminal of its own, 80 × 24."""

    def __init__(self, folder, palettes, **changed):
        mine, theirs = pty.openpty()
        around = os.environ | {"TERM": "xterm-256color", "LINES": "24", "COLUMNS": "80"} | changed
        self.process = subprocess.Popen(
            [sys.executable, "-m", "planner", "open", "hoop.toml", "--palettes", str(palettes)],
            cwd=folder, env=around,
            stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
            preexec_fn=_own_terminal,  # noqa: PLW1509 - nothing else runs in the tests' process
        )  # fmt: skip
        os.close(theirs)
        self._handle, self.shown = mine, b""

    def close(self):
        """Close the window; the system tells who runs in it."""
        os.close(self._handle)

    def press(self, keys):
        os.write(self._handle, keys)

    def read(self, until):
        """Read what is shown until `until` is true of all of it, or it ends."""
        end = time.monotonic() + PATIENCE
        while (
            not until(self.shown)
            and select.select([self._handle], [], [], max(0.0, end - time.monotonic()))[0]
        ):
            try:
                part = os.read(self._handle, 65536)
            except OSError:  # Linux says so where the other end is closed
                part = b""
            if not part:
                return
            self.shown += part


@pytest.fixture(scope="module")
def palettes(tmp_path_factory):
    """Return a folder with few stones, coatings and venues: their number is no matter here."""
    folder = tmp_path_factory.mktemp("palettes")
    for path in demo().glob("*.toml"):
        file = tomlkit.parse(path.read_text(encoding="utf-8"))
        for table, few in (("stone", STONES), ("coating", COATINGS), ("venue", VENUES)):
            for entry in [one for one in file.get(table, ()) if one["id"] not in few]:
                file[table].remove(entry)
        (folder / path.name).write_text(tomlkit.dumps(file), encoding="utf-8")
    return folder


@pytest.mark.campaign
@pytest.mark.parametrize("name", ["SIGHUP", "SIGTERM", "SIGQUIT"][: 3 if WHOLE else 1])
def test_a_planner_that_is_ended_keeps_the_last_change_and_gives_the_terminal_back(
    name, saved, palettes, tmp_path
):
    terminal = Terminal(saved.path.parent, palettes)
    terminal.read(lambda shown: b"Hoop act" in shown)
    terminal.press(b"+")
    terminal.read(lambda shown: b"changed" in shown)
    os.kill(terminal.process.pid, getattr(signal, name))
    terminal.read(lambda _: False)
    assert terminal.process.wait(PATIENCE) == 128 + getattr(signal, name)
    assert b"\x1b[?1049l" in terminal.shown  # back from the other screen
    (draft,) = (tmp_path / "state").rglob("draft-*.toml")
    assert len(read_job_file(draft).job.lines) == len(saved.job.lines) + 1
    assert read_job_file(saved.path).job == saved.job


def test_a_terminal_closed_while_much_is_drawn_leaves_no_planner_behind(saved, palettes, tmp_path):
    terminal = Terminal(saved.path.parent, palettes)
    terminal.read(lambda shown: b"Hoop act" in shown)
    terminal.press(b"+")
    terminal.read(lambda shown: b"changed" in shown)
    for _ in range(150):  # nothing of what is drawn is read, as by a window that hangs
        terminal.press(b"?\x1b[A\x1b[B\x1b")
        time.sleep(0.02)
    terminal.close()
    try:
        assert terminal.process.wait(PATIENCE) == 128 + signal.SIGHUP
    finally:
        terminal.process.kill()
    (draft,) = (tmp_path / "state").rglob("draft-*.toml")
    assert len(read_job_file(draft).job.lines) == len(saved.job.lines) + 1


TGKILL = {"x86_64": 234, "aarch64": 131}.get(os.uname().machine)
"""What Linux calls the call that sends a signal to one thread, by processor (its syscall tables)."""


@pytest.mark.skipif(sys.platform != "linux" or not TGKILL, reason="threads as Linux tells them apart")
def test_a_signal_that_does_not_wake_who_waits_is_heard_all_the_same(saved, palettes):
    terminal = Terminal(saved.path.parent, palettes)
    terminal.read(lambda shown: b"warnings" in shown.lower())
    time.sleep(2.0)  # all is worked out, and nothing wakes the loop any more
    number = terminal.process.pid
    threads = [int(one.name) for one in Path(f"/proc/{number}/task").iterdir()]
    other = next(one for one in threads if one != number)
    assert ctypes.CDLL(None).syscall(TGKILL, number, other, int(signal.SIGTERM)) == 0
    terminal.read(lambda _shown: terminal.process.poll() is not None)
    assert terminal.process.wait(PATIENCE) == 128 + signal.SIGTERM


def test_a_plain_terminal_can_be_left(saved, palettes):
    terminal = Terminal(saved.path.parent, palettes, TERM="dumb")
    terminal.read(lambda shown: b"Hoop act" in shown)
    terminal.press(b"q")
    terminal.read(lambda _: False)
    assert terminal.process.wait(PATIENCE) == 0


def test_a_key_pressed_while_the_planner_starts_is_not_lost(saved, palettes):
    # Who asks the terminal for pixels throws away what was typed before.
    terminal = Terminal(saved.path.parent, palettes, PLANNER_PICTURES="blocks")
    terminal.press(b"q")
    terminal.read(lambda _: False)
    assert terminal.process.wait(PATIENCE) == 0
    assert _left_of(terminal.process) == []


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="processes as Linux shows them")
@pytest.mark.parametrize("seconds", [0.2, 0.4, None])
def test_nothing_is_left_running_of_a_planner_that_is_killed(seconds, saved, palettes):
    terminal = Terminal(saved.path.parent, palettes)
    if seconds is None:
        terminal.read(lambda shown: b"Hoop act" in shown)
    else:
        time.sleep(seconds)
    terminal.process.kill()
    terminal.process.wait()
    until = time.monotonic() + PATIENCE
    while _left_of(terminal.process) and time.monotonic() < until:
        time.sleep(0.05)
    assert _left_of(terminal.process) == []


def test_a_planner_whose_second_process_is_killed_goes_on(saved, palettes):
    terminal = Terminal(saved.path.parent, palettes)
    until = time.monotonic() + PATIENCE
    while not (found := _left_of(terminal.process)) and time.monotonic() < until:
        time.sleep(0.002)
    for one in found:  # long before it has answered
        os.kill(one, signal.SIGKILL)
    terminal.read(lambda shown: b"Too far off" in shown)
    assert b"Too far off" in terminal.shown
    terminal.press(b"q")
    terminal.read(lambda _: False)
    assert terminal.process.wait(PATIENCE) == 0
    assert b"Traceback" not in terminal.shown
    assert b"wrong in the planner" not in terminal.shown


def _left_of(process):
    """Return the numbers of the processes that a planner started, which run still."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            state, _, _, session = path.read_text().rsplit(")", 1)[1].split()[:4]
            if int(session) == process.pid and state != "Z" and int(path.parent.name) != process.pid:
                found.append(int(path.parent.name))
    return found
