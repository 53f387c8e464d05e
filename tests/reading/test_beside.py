"""A second process beside an answer: what it leaves is found, and it is gone with the block."""

import os
import subprocess
import sys
import threading
import time
from functools import partial
from itertools import pairwise
from pathlib import Path

import pytest

from planner import atomic
from planner.reading import beside as room
from planner.reading.beside import Ahead, beside, in_turns

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


@needs_copies
def test_where_there_is_no_room_for_a_copy_all_is_done_without(copies, tmp_path, monkeypatch):
    def full():
        raise BlockingIOError("too many processes")

    monkeypatch.setattr(os, "fork", full)
    here = [(number, os.getpid()) for number in range(3)]
    assert in_turns(kept_steps(tmp_path, 3)) == here


def kept_steps(folder, count):
    """Return steps each of which tells who took it, and finds what was left by whoever took it before."""

    def step(number):
        left = folder / str(number)
        if not left.exists():
            time.sleep(0.05)
            with (folder / "taken").open("a") as file:
                file.write(f"{number}\n")
            atomic.write(left, str(os.getpid()).encode())
        return number, int(left.read_text())

    return [partial(step, number) for number in range(count)]


@needs_copies
def test_two_processes_share_steps_from_both_ends_and_none_is_taken_twice(copies, tmp_path):
    steps = kept_steps(tmp_path, 18)
    found = in_turns([*steps[:3], *steps[12:15]], lambda: Ahead(steps[3:12], steps[15:]))
    assert [number for number, _ in found] == [0, 1, 2, 12, 13, 14]
    # What the copy is at in the middle when all that was asked for is there is nobody's.
    left = [tmp_path / str(number) for number in range(18)]
    whose = [int(one.read_text()) for one in left if one.exists()]
    assert len(whose) >= 17
    assert [process for _, process in found] == [*whose[:3], *whose[-6:-3]]
    assert whose[0] == os.getpid()
    assert whose[-1] != os.getpid()
    # They meet once, wherever that is.
    assert sum(one != other for one, other in pairwise(whose)) == 1
    taken = (tmp_path / "taken").read_text().split()
    assert len(taken) == len(set(taken))


@needs_copies
def test_nothing_is_done_ahead_where_all_is_known(copies):
    ahead = lambda: pytest.fail("asked for")  # noqa: E731 - a function to be given
    assert in_turns([lambda: 1, lambda: 2], ahead, known=True) == [1, 2]


@needs_copies
def test_what_a_copy_does_not_finish_is_done_without_it(copies, tmp_path, monkeypatch):
    first = os.getpid()
    monkeypatch.setattr(room, "PATIENCE", 0.1)

    def stuck():
        if os.getpid() != first:
            atomic.write(tmp_path / "began", b"")
            time.sleep(600.0)
        return "done"

    def one():
        wait_for(tmp_path / "began")
        return "one"

    assert in_turns([one, stuck]) == ["one", "done"]


@needs_copies
def test_a_fault_in_a_copys_step_is_met_here(copies, tmp_path):
    def wrong():
        atomic.write(tmp_path / "began", b"")
        raise KeyError

    with pytest.raises(KeyError):
        in_turns([lambda: wait_for(tmp_path / "began"), wrong])


def test_a_single_step_is_not_worth_a_copy(copies, monkeypatch):
    monkeypatch.setattr(os, "fork", lambda: pytest.fail("copied"), raising=False)
    assert in_turns([lambda: 1]) == [1]


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
