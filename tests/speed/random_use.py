"""Ten thousand random keys and clicks: the planner stays alive, its job file and its drafts whole.

Run as ``python tests/speed/random_use.py [ROUNDS] [SEED]``; the tests do a few of them. All is written in
a folder of its own. Where the planner dies, what was pressed last is printed.
"""

import asyncio
import os
import random
import sys
import tempfile
import time
from collections import deque
from pathlib import Path

FOLDER = Path(tempfile.mkdtemp())
os.environ.update(XDG_DATA_HOME=str(FOLDER / "data"), XDG_STATE_HOME=str(FOLDER / "state"))

import planner  # noqa: E402, F401 - keeps the matrix library to one thread
from planner.app.drafts import Drafts  # noqa: E402
from planner.app.planner_app import PlannerApp  # noqa: E402
from planner.app.state import state_of  # noqa: E402
from planner.catalogue import load  # noqa: E402
from planner.data import demo  # noqa: E402
from planner.job import new_job_file, read_job_file  # noqa: E402

KEYS = (
    *"sczmlvodwakienthubprjygx", "U", "up", "down", "left", "right", "enter", "enter", "escape", "escape",
    "escape", "tab", "home", "end", "plus", "minus", "comma", "full_stop", "question_mark", "ctrl+s",
    "ctrl+z", "ctrl+y", "ctrl+n", "ctrl+p", "1", "7", "backspace", "space", "f2", "f3", "ctrl+t",
)  # fmt: skip
SIZES = ((80, 24), (120, 40), (40, 12))


class NoSecond:
    """Leaves the refinement out: it is no part of what is tried here."""

    def call(self, *_given):
        raise ValueError("left out")

    def close(self):
        pass


async def fumble(app, rounds, chance, seen, last):
    """Press and click at random; return how many rounds were done before it was left."""
    size = chance.choice(SIZES)
    async with app.run_test(size=size, notifications=True) as pilot:
        for done in range(rounds):
            if chance.random() < 0.25:
                at = chance.randrange(app.size.width), chance.randrange(app.size.height)
                last.append(at)
                await pilot.click(offset=at)
            else:
                key = chance.choice(KEYS)
                last.append(key)
                await pilot.press(key)
            seen.add(type(app.screen).__name__)
            if app._exit:
                return done + 1
        app.keep()
    return rounds


def whole(folder):
    """Read every job that was written; a broken one raises."""
    return [read_job_file(path).job for path in folder.rglob("*.toml") if "data" not in path.parts]


def main(rounds=10_000, seed=1):
    """Do so many rounds, opening the planner anew whenever it was left."""
    os.chdir(FOLDER)
    palette = load(demo())
    job = read_job_file(demo() / "jobs" / "hoop-second-half.toml").job
    path = new_job_file(FOLDER / "job.toml", job).save().path
    chance, begun, seen, last = random.Random(seed), time.perf_counter(), set(), deque(maxlen=40)  # noqa: S311
    done = times = 0
    while done < rounds:
        file = read_job_file(path)
        state = state_of(file.job, palette, file, path)
        app = PlannerApp(palette, state, second=NoSecond(), drafts=Drafts(FOLDER / "drafts"))
        try:
            done += asyncio.run(fumble(app, min(rounds - done, 500), chance, seen, last))
        except BaseException:
            print(f"died after {done} rounds and {len(last)} more of seed {seed}: {[*last]}", flush=True)
            raise
        times += 1
        spent, jobs = time.perf_counter() - begun, len(whole(FOLDER))
        print(f"{done} after {spent:.0f} s, begun {times} times, {jobs} jobs whole", flush=True)
    print(f"alive, and every job file whole; screens met: {', '.join(sorted(seen))}")


if __name__ == "__main__":
    main(*(int(one) for one in sys.argv[1:]))
