"""Planners where little is as usual: no home, plain letters, a plain terminal, nobody who reads, no room."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(os.name != "posix", reason="surroundings as POSIX has them")

AROUND = {
    "plain letters": {"LC_ALL": "C", "LANG": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "no home": dict.fromkeys(
        ("HOME", "USER", "LOGNAME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME")
    ),
    "a home that is not there": {"HOME": "/nowhere/at/all", "XDG_DATA_HOME": None},
    "a plain terminal": {"TERM": "dumb"},
    "a terminal of no name or width": {"TERM": None, "COLUMNS": "0"},
}

LIST = '"$0" -m planner list stones'
FULL, LARGE = (
    f"the answer cannot be written ({one})" for one in ("No space left on device", "File too large")
)
UNWRITTEN = {
    "nobody reads": (f"{LIST} | true; exit ${{PIPESTATUS[0]}}", 141, ""),
    "a full disk": (f"{LIST} > /dev/full", 2, FULL),
    "a file too large": (f"ulimit -f 1; {LIST} > list.txt", 2, LARGE),
    "a file too large, unbuffered": (f"ulimit -f 1; {LIST.replace('-m', '-u -m')} > list.txt", 2, LARGE),
    "a demo too large": ('ulimit -f 1; "$0" -m planner demo show', 2, "File too large"),
    "a folder that takes nothing": ('"$0" -m planner demo /proc/nowhere', 2, "/proc/nowhere"),
}
"""A shell's line in which "$0" is Python, its status, and what is said."""


def run(line, folder, **changed):
    """Run a shell's line in changed surroundings; where files are kept small, Python keeps none."""
    changed["PYTHONDONTWRITEBYTECODE"] = "1"
    around = {name: text for name, text in (os.environ | changed).items() if text is not None}
    return subprocess.run(
        ["bash", "-c", line, sys.executable], cwd=folder, env=around, capture_output=True, check=False
    )


@pytest.mark.parametrize("around", AROUND)
def test_a_list_comes_in_any_surroundings(around, tmp_path):
    done = run(LIST, tmp_path, **AROUND[around])
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"pulley-blue" in done.stdout
    assert b"\x1b" not in done.stdout


def test_letters_that_a_console_lacks_are_marks(tmp_path):
    done = run('"$0" -m planner sizes SS20', tmp_path, PYTHONIOENCODING="latin-1")
    assert done.returncode == 0, done.stderr
    assert b"?" in done.stdout
    assert "▄".encode() not in done.stdout


@pytest.mark.parametrize("how", UNWRITTEN)
def test_what_cannot_be_written_is_one_sentence(how, tmp_path):
    line, status, said = UNWRITTEN[how]
    for device in ("/dev/full", "/proc"):
        if device in line and not Path(device).exists():
            pytest.skip(f"no {device} here")
    done = run(line, tmp_path)
    told = done.stderr.decode()
    assert done.returncode == status, told
    assert said in told
    assert told.count("\n") == bool(said)
    assert "wrong in the planner itself" not in told
    assert not (tmp_path / "show").exists()
