"""A copy of this process: which of them may be copied again, and what of it is left."""

import os
import signal

import pytest

from planner import atomic
from planner import copied as room
from planner.copied import can_be_copied, copied, ended

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be copied here")


@pytest.mark.parametrize("by_itself", [False, True])
def test_only_a_copy_that_stands_by_itself_may_have_copies(by_itself, tmp_path, monkeypatch):
    monkeypatch.setattr(os, "sched_getaffinity", lambda _process: {0, 1})
    number = copied(
        lambda: atomic.write(tmp_path / "said", str(can_be_copied()).encode()), by_itself=by_itself
    )
    os.waitpid(number, 0)
    assert (tmp_path / "said").read_text() == str(by_itself)


def test_a_copy_that_is_ended_twice_or_has_ended_is_no_trouble():
    number = copied(lambda: None)
    ended(number)
    ended(number)
    with pytest.raises(ProcessLookupError):
        os.kill(number, 0)


def test_nothing_of_a_fault_in_a_copy_is_shown(capfd):
    def wrong():
        raise ValueError("nobody hears of it")

    os.waitpid(copied(wrong), 0)
    assert capfd.readouterr() == ("", "")


def test_ctrl_c_is_for_the_process_that_was_copied_and_not_for_the_copy(tmp_path):
    def interrupted():
        os.kill(os.getpid(), signal.SIGINT)
        atomic.write(tmp_path / "left", b"all")

    # What a shell begins behind it, these tests among it, hears no Ctrl-C.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        os.waitpid(copied(interrupted), 0)
        assert (tmp_path / "left").exists()
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    finally:
        signal.signal(signal.SIGINT, before)


def test_files_that_the_copy_alone_uses_are_closed_here():
    there, here = os.pipe()
    number = copied(lambda: os.write(here, b"said"), keep=(here,))
    assert os.read(there, 10) == b"said"
    assert os.read(there, 10) == b""
    os.close(there)
    os.waitpid(number, 0)
    with pytest.raises(OSError, match="Bad file"):
        os.fstat(here)
    assert os.getpid() in room._may_copy
