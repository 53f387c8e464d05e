"""One second process for all screens: what is on top waits for nothing below, and nothing below is lost."""

import os
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

import pytest
from waiting import until

from planner.app import run, second_process
from planner.app.brief.screen import BriefScreen
from planner.app.order.screen import OrderScreen
from planner.app.second_process import ProcessLostError, SameProcess, SecondProcess
from planner.app.state import state_of

SOON = 20.0
"""Seconds in which an answer comes that waits for nothing, on a busy machine too."""


@pytest.fixture
def second():
    process = SecondProcess()
    yield process
    process.close()


@pytest.fixture
def asked(second):
    """Return a function that makes a call elsewhere; its future is returned."""
    with ThreadPoolExecutor(4) as threads:
        yield lambda who, work, *given: threads.submit(who.call, work, *given)
        second.close()


@pytest.fixture
def long_work(second, asked, tmp_path):
    """Return a call that is under way, the pipe that it reads from, and the end that keeps it waiting."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    under_way = asked(second, Path.read_text, pipe)
    with pipe.open("w") as end:  # opens once it is read from
        yield under_way, pipe, end


def test_a_screen_on_top_waits_for_nothing_below_which_is_answered_afterwards(second, asked, long_work):
    below, pipe, end = long_work
    top = second.reserved()
    there = asked(top, os.getpid).result(SOON)
    assert asked(top, os.getpid).result(SOON) == there, "what it has read is kept for its next question"
    assert not below.done()
    end.close()
    top.close()
    pipe.write_text("found")
    assert below.result(SOON) == "found"


def test_the_process_is_the_same_for_all_screens_and_begun_once(second, asked):
    below = asked(second, os.getpid).result(SOON)
    top = second.reserved()
    assert asked(top, os.getpid).result(SOON) == below
    top.close()
    assert asked(second, os.getpid).result(SOON) == below


def test_a_call_below_waits_until_the_screen_is_left(second, asked):
    top = second.reserved()
    below = asked(second, os.getpid)
    there = asked(top, os.getpid).result(SOON)
    assert not below.done()
    top.close()
    assert below.result(SOON) == there


def test_work_of_a_screen_that_is_left_is_dropped(second, asked, tmp_path):
    os.mkfifo(tmp_path / "pipe")
    top = second.reserved()
    dropped = asked(top, Path.read_text, tmp_path / "pipe")
    with (tmp_path / "pipe").open("w"):
        top.close()
        assert isinstance(dropped.exception(SOON), ProcessLostError)
    assert asked(second, abs, -3).result(SOON) == 3
    with pytest.raises(ProcessLostError):
        top.call(abs, -3)


def test_who_is_left_below_takes_nothing_from_the_screen_on_top(second, asked):
    middle = second.reserved()
    top = second.reserved()
    there = asked(top, os.getpid).result(SOON)
    middle.close()
    assert asked(top, os.getpid).result(SOON) == there
    top.close()
    assert asked(second, os.getpid).result(SOON) == there


def test_all_that_waits_ends_with_the_planner(second, asked, long_work):
    top = second.reserved()
    second.close()
    assert isinstance(long_work[0].exception(SOON), ProcessLostError)
    with pytest.raises(ProcessLostError):
        top.call(abs, -3)


def test_a_process_that_ends_by_itself_is_told_of_and_begun_anew(second):
    with pytest.raises(ProcessLostError):
        second.call(os._exit, 1)
    with pytest.raises(ValueError, match="seventeen"):
        second.call(int, "seventeen")
    assert second.call(abs, -3) == 3


needs_copies = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be copied here")


@pytest.fixture
def copies(monkeypatch):
    """Copy this process whatever runs the tests: its threads want nothing of the copy."""
    monkeypatch.setattr(second_process, "can_be_copied", lambda: True)


@needs_copies
class Growing:
    """Something in which another thread works something out while it is packed, so many times."""

    def __init__(self, times):
        self.times = times

    def __reduce__(self):
        if self.times:
            self.times -= 1
            raise RuntimeError("dictionary changed size during iteration")
        return int, (7,)


def test_what_another_thread_changes_while_it_is_packed_is_packed_again_and_sent_whole(second):
    assert second.call(abs, Growing(3)) == 7
    with pytest.raises(RuntimeError):
        second.call(abs, Growing(1000))
    assert second.call(abs, -2) == 2, "nothing of it was sent, and the process serves"


def test_a_copy_does_what_it_was_begun_with_and_then_what_it_is_asked(copies, second):
    assert second.begin_with(os.getpid)
    there = second.begun_with()
    assert second.is_there
    assert there != os.getpid()
    assert second.call(os.getpid) == there
    assert second.call(abs, -3) == 3
    second.close()
    with pytest.raises(ProcessLookupError):
        os.kill(there, 0)


@needs_copies
def test_a_planner_that_is_opened_on_a_job_begins_with_two_copies(copies, job, few):
    app = run.opened(few, state_of(job, few, None, Path()))
    try:
        assert app.painter.begun_with().reading.question.stone.id == job.lines[0].stone
        assert app.second.begun_with() is None
        assert len({os.getpid(), app.painter.call(os.getpid), app.second.call(os.getpid)}) == 3
    finally:
        app.painter.close()
        app.second.close()


@needs_copies
def test_what_goes_wrong_in_a_copy_is_raised_here_and_it_serves_all_the_same(copies, second):
    assert second.begin_with(partial(int, "seventeen"))
    with pytest.raises(ValueError, match="seventeen"):
        second.begun_with()
    assert second.call(abs, -3) == 3


@needs_copies
def test_of_a_copy_that_has_ended_nothing_is_waited_for_and_another_process_is_begun(copies, second):
    assert second.begin_with(partial(os._exit, 1))
    with pytest.raises(ProcessLostError):
        second.begun_with()
    there = second.call(os.getpid)
    with pytest.raises(ProcessLostError):
        second.begun_with()
    assert second.call(os.getpid) == there


@needs_copies
def test_a_copy_says_when_it_is_done_and_however_much_it_found_holds_it_up_for_nothing(
    copies, second, tmp_path
):
    os.mkfifo(tmp_path / "pipe")
    assert second.begin_with(partial(Path.read_text, tmp_path / "pipe"))
    assert not second.is_there
    (tmp_path / "pipe").write_text("much" * 100_000)
    assert second.call(abs, -3) == 3, "what it began with is not fetched yet"
    assert second.is_there
    assert second.begun_with() == "much" * 100_000


@needs_copies
def test_a_copy_that_says_nothing_is_not_waited_for_for_ever(copies, second, monkeypatch, tmp_path):
    monkeypatch.setattr(second_process, "PATIENCE", 0.05)
    os.mkfifo(tmp_path / "pipe")
    assert second.begin_with(partial(Path.read_text, tmp_path / "pipe"))
    with pytest.raises(ProcessLostError):
        second.begun_with()
    assert second.call(abs, -3) == 3


@needs_copies
def test_a_copy_that_cannot_be_made_is_no_trouble(copies, second, monkeypatch):
    def full():
        raise BlockingIOError("too many processes")

    monkeypatch.setattr(os, "fork", full)
    before = sorted(Path("/dev/fd").iterdir())
    assert not second.begin_with(os.getpid)
    assert sorted(Path("/dev/fd").iterdir()) == before, "nothing is left open"
    with pytest.raises(ProcessLostError):
        second.begun_with()


@needs_copies
def test_a_python_without_shared_memory_begins_with_no_copy(copies, second, monkeypatch):
    monkeypatch.delattr(os, "memfd_create", raising=False)
    assert not second.begin_with(os.getpid)
    assert second.call(abs, -3) == 3


@needs_copies
def test_a_copy_that_two_threads_end_is_ended_once(copies, second, monkeypatch):
    def met(number):
        numbers.append(number)
        if len(numbers) == 1:
            copy.kill()  # as the other thread does meanwhile

    assert second.begin_with(os.getpid)
    copy, numbers, there = second._shared._process, [], second.begun_with()
    with monkeypatch.context() as patched:
        patched.setattr(second_process, "ended", met)
        copy.kill()
    second_process.ended(there)
    assert numbers == [there]


@pytest.mark.parametrize(("key", "screen"), [("f", OrderScreen), ("B", BriefScreen)])
def test_order_and_page_take_the_process_that_there_is_and_give_it_back(key, screen, make_app, play):
    done = []

    class Told(SameProcess):
        def call(self, *_given):
            raise ProcessLostError("not in this test")

        def reserved(self):
            done.append("reserved")
            return Top()

    class Top(Told):
        def close(self):
            done.append("closed")

    app = make_app(second=Told())

    async def story(pilot, _settle):
        await pilot.press(key)
        await until(pilot, lambda: isinstance(app.screen, screen))
        assert done == ["reserved"]
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is app.main)
        assert done == ["reserved", "closed"]

    play(app, story)
