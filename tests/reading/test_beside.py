"""A second process beside an answer: what it leaves is found, and it is gone with the block."""

import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from planner import atomic
from planner.reading import beside as room
from planner.reading.beside import beside

needs_copies = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be copied here")


@pytest.fixture
def copies(monkeypatch):
    """Copy this process whatever runs the tests: its threads want nothing of the copy."""
    monkeypatch.setattr(room, "_possible", lambda: True)


def wait_for(path):
    until = time.monotonic() + 30.0
    while not path.exists() and time.monotonic() < until:
        time.sleep(0.01)


@needs_copies
def test_a_copy_leaves_its_work_and_says_nothing(copies, tmp_path, capfd):
    def work():
        print("never read", flush=True)
        atomic.write(tmp_path / "left", str(os.getpid()).encode())
        yield
        raise ValueError("nobody hears of it")

    with beside(work):
        wait_for(tmp_path / "left")
    assert int((tmp_path / "left").read_text()) != os.getpid()
    assert capfd.readouterr() == ("", "")


@needs_copies
def test_a_copy_ends_with_the_block_however_it_is_left(copies, tmp_path):
    def work():
        atomic.write(tmp_path / "began", str(os.getpid()).encode())
        yield time.sleep(600.0)

    def left_by_a_fault():
        with beside(work):
            wait_for(tmp_path / "began")
            raise KeyError

    with pytest.raises(KeyError):
        left_by_a_fault()
    with pytest.raises(ProcessLookupError):
        os.kill(int((tmp_path / "began").read_text()), 0)


def test_a_process_of_several_threads_is_not_copied(monkeypatch):
    monkeypatch.setattr(os, "fork", lambda: pytest.fail("copied"), raising=False)
    done = threading.Event()
    thread = threading.Thread(target=done.wait)
    thread.start()
    try:
        with beside(lambda: ()):
            pass
    finally:
        done.set()
        thread.join()


@needs_copies
def test_a_copy_ends_in_the_middle_of_a_step_when_what_it_is_beside_is_killed(tmp_path):
    said = tmp_path / "said"
    program = f"""
import os, time
from pathlib import Path
from planner import atomic
from planner.reading import beside as room

room._possible = lambda: True

def work():
    atomic.write(Path({str(said)!r}), str(os.getpid()).encode())
    yield time.sleep(600.0)

with room.beside(work):
    time.sleep(600.0)
"""
    process = subprocess.Popen([sys.executable, "-c", program])
    wait_for(said)
    copy = int(said.read_text())
    process.kill()
    process.wait()
    until = time.monotonic() + 30.0
    while _runs(copy) and time.monotonic() < until:
        time.sleep(0.05)
    assert not _runs(copy)


def _runs(number):
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    # A process that has ended may wait for the system to take note of it.
    state = Path(f"/proc/{number}/stat")
    return not state.exists() or state.read_text().rsplit(")", 1)[1].split()[0] != "Z"
