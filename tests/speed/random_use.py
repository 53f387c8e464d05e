"""Random keys, clicks, pastes and sizes for as long as it is let: no fault, no hang, every file whole.

Run as ``python tests/speed/random_use.py [KEYS] [SEED ...]``: so many at each of three sizes with each seed
(or with seed 1). The tests do the same for a moment. All is written in a folder of its own, where the planner
is begun anew whenever it was left. A fault is printed with what was pressed last, and counted; on it goes.
"""

import asyncio
import faulthandler
import os
import resource
import sys
import tempfile
import threading
import time
import traceback
from collections import Counter, deque
from pathlib import Path

FOLDER = Path(tempfile.mkdtemp())
os.environ.update(XDG_DATA_HOME=str(FOLDER / "data"), XDG_STATE_HOME=str(FOLDER / "state"))
sys.path.insert(0, str(Path(__file__).parents[1] / "app"))

from few import NoSecond  # noqa: E402
from fumbling import Fumbler  # noqa: E402
from textual.pilot import WaitForScreenTimeout  # noqa: E402

import planner  # noqa: E402, F401 - keeps the matrix library to one thread
from planner.app.drafts import Drafts  # noqa: E402
from planner.app.pauses import share_memory  # noqa: E402
from planner.app.planner_app import PlannerApp  # noqa: E402
from planner.app.state import state_of  # noqa: E402
from planner.catalogue import load  # noqa: E402
from planner.data import demo  # noqa: E402
from planner.job import new_job_file, read_job_file  # noqa: E402

SIZES = ((20, 6), (100, 40), (300, 100))
SESSION = 1000
"""Keys until the planner is begun anew, if no way out was met before."""
HANGS, STALLS = 10.0, 600.0
"""Seconds that one thing may take: of processor time, since others may use the machine, and by the clock."""


class Watch:
    """Sees how long each thing takes, and prints where the planner is when one takes too long."""

    def __init__(self):
        self.slowest, self.hangs = 0.0, 0
        self._begun = self._now()
        self._told = False
        threading.Thread(target=self._look, daemon=True).start()

    @staticmethod
    def _now():
        return time.process_time(), time.monotonic()

    def step(self):
        """Begin another thing."""
        now = self._now()
        self.slowest = max(self.slowest, now[0] - self._begun[0])
        self._begun, self._told = now, False

    def _look(self):
        while True:
            time.sleep(0.5)
            worked, passed = (now - then for now, then in zip(self._now(), self._begun, strict=True))
            if (worked > HANGS or passed > STALLS) and not self._told:
                self._told, self.hangs = True, self.hangs + 1
                faulthandler.dump_traceback(all_threads=True, file=sys.__stdout__)


async def use(app, size, keys, seed, last, watch, seen):
    """Use an app until it is left or `keys` were pressed; return how many were."""
    fumbler = Fumbler(seed, leave=True, sizes=(*SIZES, size))
    async with app.run_test(size=size, notifications=True) as pilot:
        while fumbler.done < keys and not app._exit and app._exception is None:
            watch.step()
            try:
                last.append(await fumbler.once(app, pilot))
            except WaitForScreenTimeout:  # on a busy machine; if it worked all that time, `watch` tells
                last.append("waited")
            seen[type(app.screen).__name__ if app.screen_stack else "none"] += 1
        watch.step()
        if app._exception is None:
            app.keep()
    return fumbler.done


def jobs_whole():
    """Read every job that was written; a broken one raises."""
    return len([read_job_file(path).job for path in FOLDER.rglob("*.toml") if "data" not in path.parts])


def memory():
    """Return the megabytes in use now."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") // 2**20


def main(keys=10_000, *seeds):
    """Press so many keys for each seed at each size, print what came of it, and return what was amiss."""
    os.chdir(FOLDER)
    share_memory()
    palette = load(demo())
    job = read_job_file(demo() / "jobs" / "hoop-second-half.toml").job
    path = new_job_file(FOLDER / "job.toml", job).save().path
    begun, watch, seen = time.perf_counter(), Watch(), Counter()
    done = times = faults = 0
    for number, (seed, size) in enumerate((seed, size) for seed in seeds or (1,) for size in SIZES):
        goal = keys * (number + 1)
        while done < goal:
            file, last = read_job_file(path), deque(maxlen=40)
            state, drafts = state_of(file.job, palette, file, path), Drafts(FOLDER / "drafts")
            app = PlannerApp(palette, state, second=NoSecond(), drafts=drafts)
            times += 1
            own = 10_000 * seed + times
            try:
                done += asyncio.run(use(app, size, min(SESSION, goal - done), own, last, watch, seen))
            except Exception:  # noqa: BLE001 - that is what is counted
                faults, done = faults + 1, done + len(last)
                print(f"FAULT at {size}, seed {own}, after {[*last]}")
                traceback.print_exc(file=sys.stdout)
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
            spent = time.perf_counter() - begun
            print(
                f"{done:,} keys in {spent:.0f} s ({size[0]}×{size[1]}, seed {own}); begun {times} times, "
                f"{jobs_whole()} jobs whole, {faults} faults, {watch.hangs} hangs, slowest "
                f"{watch.slowest:.1f} s, now {memory()} MB, most {most} MB", flush=True,
            )  # fmt: skip
    print("things done on: " + ", ".join(f"{name} {count:,}" for name, count in seen.most_common()))
    return faults + watch.hangs


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:])) > 0)
