"""Files are written whole or not at all, whatever ends the writing; checked on a real disk."""

import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from types import SimpleNamespace

import pytest

from planner import atomic
from planner.fitting.record import Line, append, read_log
from planner.order.heard import Guess, read_heard, remember
from planner.refusal import Refusal

KILLED = """
import os, sys
from pathlib import Path
from planner import atomic
path = Path(sys.argv[1])
print(flush=True)
for number in range(10_000):
    atomic.write(path, bytes([97 + number % 26]) * 300_000, backup=True)
"""
"""A planner that saves again and again, each time another letter."""


FLUSH = os.fsync


@pytest.fixture(autouse=True)
def _flushed(monkeypatch):
    monkeypatch.setattr(os, "fsync", FLUSH)


def names(folder):
    return sorted(one.name for one in folder.iterdir())


def test_killed_at_any_moment_a_file_is_whole_and_the_next_save_leaves_no_litter(tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(b"a" * 300_000)
    for pause in (0.0, 0.003, 0.007, 0.011):
        with subprocess.Popen([sys.executable, "-c", KILLED, path], stdout=subprocess.PIPE) as planner:
            planner.stdout.readline()
            time.sleep(pause)
            planner.kill()
        found = path.read_bytes()
        assert len(found) == 300_000
        assert len(set(found)) == 1
    atomic.write(path, b"done")
    assert set(names(tmp_path)) <= {"job.toml", "job.toml.bak"}


def test_what_a_killed_planner_left_is_cleared_and_nothing_else(tmp_path):
    for name in (".planner-left.part", ".planner.toml", "mine.part", ".hidden"):
        (tmp_path / name).touch()
    atomic.write(tmp_path / "new", b"1")
    assert names(tmp_path) == [".hidden", ".planner.toml", "mine.part", "new"]


@pytest.mark.parametrize("links", [True, False])
def test_a_new_file_takes_no_others_place_on_a_drive_without_links_too(tmp_path, monkeypatch, links):
    if not links:
        monkeypatch.setattr(atomic.Path, "hardlink_to", no_links)
    path = tmp_path / "brief.pdf"
    atomic.write(path, b"first", new=True)
    with pytest.raises(Refusal, match=r"found a file of that name; nothing was written"):
        atomic.write(path, b"second", new=True)
    assert path.read_bytes() == b"first"
    assert names(tmp_path) == ["brief.pdf"]


def no_links(*_):
    raise PermissionError(1, "Operation not permitted")


def test_a_full_disk_is_told_and_the_old_file_stays(tmp_path, monkeypatch):
    path = tmp_path / "job.toml"
    path.write_bytes(b"old")
    monkeypatch.setattr(atomic.os, "fsync", full)
    with pytest.raises(
        Refusal, match=r"cannot be written \(No space left on device\); the file there is whole"
    ):
        atomic.write(path, b"new")
    with pytest.raises(Refusal, match=r"No space left on device\); nothing was written"):
        atomic.write(tmp_path / "other", b"new")
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == ["job.toml"]


def full(*_):
    raise OSError(28, "No space left on device")


def test_a_line_that_the_disk_took_in_part_is_cut_off_again(tmp_path, monkeypatch):
    path = tmp_path / "log.csv"
    path.write_bytes(b"head\n")
    write = os.write

    def half(handle, data):
        if len(data) > 3:
            return write(handle, bytes(data)[:3])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic.os, "write", half)
    with pytest.raises(Refusal, match="No space left on device"):
        atomic.append(path, b"a line\n")
    assert path.read_bytes() == b"head\n"


@pytest.mark.parametrize("name", ["a\0b", "x" * 300, "nowhere/x"])
def test_a_path_that_cannot_be_is_refused_in_one_sentence(tmp_path, name):
    with pytest.raises(Refusal, match="cannot be written") as told:
        atomic.write(tmp_path / name, b"")
    assert "\n" not in str(told.value)


def test_two_planners_that_change_one_file_lose_no_entry(tmp_path, two_planners):
    path = tmp_path / "words.csv"

    def add(name):
        for number in range(30):
            atomic.change(path, lambda old, new=f"{name}{number}\n": (old or b"") + new.encode())

    two_planners(add)
    assert sorted(path.read_text().split()) == sorted(f"{one}{n}" for one in "ab" for n in range(30))
    assert names(tmp_path) == ["words.csv"]


def test_two_planners_that_log_and_remember_lose_no_entry(tmp_path, two_planners):
    log, words = tmp_path / "arrivals.csv", tmp_path / "sellers_words.csv"

    def add(name):
        for number in range(12):
            line = Line("2031-01-01", name, "y", "none", "SS20", "rink", number, *[1.0] * 5, "typed", 1, 2)
            append(log, line)
            remember(words, [Guess(name, "stone", f"w{number}", "pulley-blue")])

    two_planners(add)
    assert len(read_log(log)) == len(read_heard(words).of) == 24


@pytest.fixture(params=["here", "where no folder can be locked"])
def two_planners(request, monkeypatch, tmp_path_factory):
    """Return a function that runs another one twice at once, as "a" and "b"."""
    if request.param != "here":
        import fcntl

        # As Windows does it, by its documentation: one planner at a time, others are told at once.
        def locking(handle, _mode, _length):
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                raise PermissionError(13, "Permission denied") from None

        monkeypatch.setitem(sys.modules, "msvcrt", SimpleNamespace(locking=locking, LK_NBLCK=2))
        monkeypatch.setitem(sys.modules, "fcntl", None)
        monkeypatch.setattr(atomic.tempfile, "gettempdir", lambda: str(tmp_path_factory.getbasetemp()))

    def run(add):
        with ThreadPoolExecutor(2) as pool:
            for one in [pool.submit(add, name) for name in "ab"]:
                one.result()

    return run


@pytest.mark.skipif(os.name == "nt", reason="an open file cannot be replaced there")
def test_who_reads_meanwhile_reads_the_old_text_whole(tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(b"as it was")
    with path.open("rb") as reader:
        atomic.write(path, b"new")
        assert reader.read() == b"as it was"
    assert path.read_bytes() == b"new"
