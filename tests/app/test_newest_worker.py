"""The thread that answers the newest question."""

import threading

from planner.app.newest_worker import NewestWorker


def test_waiting_ends_when_the_thing_waited_for_is_told():
    begun, told, ended = threading.Event(), [], threading.Event()

    def work(_question):
        begun.set()
        assert latest.wait(20.0, lambda: bool(told)) is False
        ended.set()

    latest = NewestWorker(work)
    latest.ask("a question")
    assert begun.wait(5.0)
    told.append(True)
    latest.nudge()
    assert ended.wait(5.0)
    latest.close()
