"""Random keys, clicks, pastes and sizes for as long as it is let: no fault, no hang, every file whole.

Run as ``python tests/speed/random_use.py [KEYS] [SEED ...]``: so many at each of three sizes with each seed
(or with seed 1). The tests do the same for a moment. All is written in a folder of its own, where the planner
is begun anew whenever it was left. A fault is printed with what was pressed last, and counted; on it goes.

So that keys are many and not their waiting, stones are followed and drawn coarsely here, most sessions have
the few stones that the tests have (one in four has all of the demo), and the screen is drawn ten times a
second. The second process is not there; what it works out has tests of its own.
"""

import asyncio
import contextlib
import faulthandler
import os
import resource
import shutil
import sys
import tempfile
import threading
import time
import traceback
from collections import Counter, deque
from pathlib import Path

FOLDER = Path(tempfile.mkdtemp())
os.environ.update(
    XDG_DATA_HOME=str(FOLDER / "data"), XDG_STATE_HOME=str(FOLDER / "state"),
    XDG_CACHE_HOME=str(FOLDER / "cache"), TEXTUAL_FPS="10", TEXTUAL_ANIMATIONS="none",
)  # fmt: skip
sys.path.insert(0, str(Path(__file__).parents[1] / "app"))

from few import HOOP, NoSecond, few_of  # noqa: E402
from fumbling import SIZES as ALL_SIZES  # noqa: E402
from fumbling import Fumbler  # noqa: E402
from textual.pilot import WaitForScreenTimeout  # noqa: E402
from textual.worker import WorkerFailed  # noqa: E402

import planner  # noqa: E402, F401 - keeps the matrix library to one thread
from planner.app.drafts import Drafts  # noqa: E402
from planner.app.parts import stage  # noqa: E402
from planner.app.pauses import share_memory  # noqa: E402
from planner.app.planner_app import PlannerApp  # noqa: E402
from planner.app.second_process import SecondProcess  # noqa: E402
from planner.app.state import state_of  # noqa: E402
from planner.catalogue import load  # noqa: E402
from planner.data import demo  # noqa: E402
from planner.job import new_job_file, read_job_file  # noqa: E402
from planner.reading.matter import FINE, QUICK  # noqa: E402
from planner.refusal import Refusal  # noqa: E402

SIZES = ((20, 6), (100, 40), (300, 100))
SESSION = 1000
"""Keys until the planner is begun anew, if no way out was met before."""
PATIENCE = 10.0, 60.0, 600.0
"""Seconds in which the screen must do something: of its own thread's processor time (others use the machine,
and threads that work out answers go on beside it), of all threads', and by the clock."""
BEAT = 0.05
COARSE = {"views": 12, "rays": 60, "points": 1, "events": 500, "moments": 64}


class Watch:
    """Sees whether the screen goes on, and prints where the planner is when it does not."""

    def __init__(self):
        self.longest, self.hangs = 0.0, 0
        self.slowest = (0.0, "")
        """Seconds of its own thread from one thing to the next, and what it was on which screen."""
        self._clock = time.pthread_getcpuclockid(threading.main_thread().ident)
        self._beaten = self._now()
        self._told = False
        threading.Thread(target=self._look, daemon=True).start()

    def _now(self):
        return time.clock_gettime(self._clock), time.process_time(), time.monotonic()

    async def beat(self):
        """Tell from the screen's own loop that it goes on."""
        while True:
            self.alive()
            await asyncio.sleep(BEAT)

    def alive(self):
        """Take note that the screen does something."""
        now = self._now()
        self.longest = max(self.longest, now[0] - self._beaten[0])
        self._beaten, self._told = now, False

    def took(self, seconds, what):
        """Take note of how long one thing took."""
        self.slowest = max(self.slowest, (seconds, what))

    def _look(self):
        while True:
            time.sleep(0.5)
            passed = [now - then for now, then in zip(self._now(), self._beaten, strict=True)]
            if any(one > most for one, most in zip(passed, PATIENCE, strict=True)) and not self._told:
                self._told, self.hangs = True, self.hangs + 1
                print("HANG after", *(f"{one:.1f} s" for one in passed), flush=True)
                faulthandler.dump_traceback(all_threads=True, file=sys.__stdout__)


async def use(app, size, keys, seed, last, watch, seen):
    """Use an app until it is left or `keys` were pressed; return how many were."""
    fumbler = Fumbler(seed, leave=True, sizes=(*ALL_SIZES, *[size] * 6))
    async with app.run_test(size=size, notifications=True) as pilot:
        beating = asyncio.create_task(watch.beat())
        while fumbler.done < keys and not app._exit and app._exception is None:
            if not app.is_running:
                raise RuntimeError("the planner ended, and nobody left it")
            on, begun = _name(app), time.thread_time()
            try:
                last.append(await fumbler.once(app, pilot))
            except WaitForScreenTimeout:  # on a busy machine; where nothing goes on, `watch` tells
                last.append("waited")
            watch.took(time.thread_time() - begun, f"{str(last[-1])[:60]} on {on}")
            seen[_name(app)] += 1
        with contextlib.suppress(WaitForScreenTimeout):
            await pilot.pause(0.05)
        if app._exception is None:
            app.keep()
            app.exit()  # what is pressed and not yet heard is no more: nobody takes screens away under keys
        beating.cancel()
    return fumbler.done


def _name(app):
    return type(app.screen).__name__ if app.screen_stack else "none"


def jobs_whole():
    """Read every job that was written; a broken one raises."""
    return len([read_job_file(path).job for path in FOLDER.rglob("*.toml") if "data" not in path.parts])


def memory():
    """Return the megabytes in use now."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") // 2**20


class Above(NoSecond):
    """A second process for screens on top alone."""

    def reserved(self):
        return SecondProcess()


def begin(number, few, whole):
    """Return a planner to use: every fourth has the whole demo, every fifth begins with its start screen."""
    path, drafts = FOLDER / "job.toml", Drafts(FOLDER / "drafts")
    file = read_job_file(path) if path.exists() else new_job_file(path, HOOP).save()
    palette = few if number % 4 else whole
    try:
        state = state_of(file.job, palette, file, file.path)
    except Refusal:  # it was saved with more than the few
        palette = whole
        state = state_of(file.job, palette, file, file.path)
    return PlannerApp(palette, state if number % 5 else None, second=Above(), drafts=drafts)


def main(keys=10_000, *seeds):
    """Press so many keys for each seed at each size, print what came of it, and return what was amiss."""
    os.chdir(FOLDER)
    share_memory()
    for grade in (QUICK, FINE):
        for name, value in COARSE.items():
            object.__setattr__(grade, name, value)
    stage.FINER = stage._QUICK = 1
    whole = load(demo())
    few = few_of(whole)
    watch, seen = Watch(), Counter()
    done = times = faults = 0
    begun = time.process_time()
    for number, (seed, size) in enumerate((seed, size) for seed in seeds or (1,) for size in SIZES):
        goal = keys * (number + 1)
        for each in [one for one in FOLDER.iterdir() if one.name != "cache"]:
            shutil.rmtree(each) if each.is_dir() else each.unlink()
        while done < goal:
            times += 1
            own, last = 10_000 * seed + times, deque(maxlen=40)
            watch.alive()
            try:
                app = begin(times, few, whole)
                done += asyncio.run(use(app, size, min(SESSION, goal - done), own, last, watch, seen))
            except Exception as problem:  # noqa: BLE001 - that is what is counted
                faults, done = faults + 1, done + len(last)
                print(f"FAULT at {size}, seed {own}, after {[*last]}")
                # Of what failed in a worker, only the worker's own error says where.
                own_error = problem.error if isinstance(problem, WorkerFailed) else problem
                traceback.print_exception(own_error, file=sys.stdout)
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
            spent = time.process_time() - begun
            print(
                f"{done:,} keys in {spent:.0f} s of work ({size[0]}×{size[1]}, seed {own}); "
                f"begun {times} times, {jobs_whole()} jobs whole, {faults} faults, {watch.hangs} hangs, "
                f"still for {watch.longest:.1f} s at most, slowest {watch.slowest[0]:.1f} s "
                f"({watch.slowest[1]}), now {memory()} MB, most {most} MB", flush=True,
            )  # fmt: skip
    print(f"things done on {len(seen)} screens: " + ", ".join(f"{on} {n:,}" for on, n in seen.most_common()))
    return faults + watch.hangs


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:])) > 0)
