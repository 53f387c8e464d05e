"""Files are written whole or not at all, whatever ends the writing; checked on a real disk."""

import os
import subprocess
import sys
import time

import pytest

from planner import atomic
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
