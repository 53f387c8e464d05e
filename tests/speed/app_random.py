"""Ten thousand random keys and clicks: the planner stays alive, its job file and its draft whole.

Run as ``python tests/speed/app_random.py [ROUNDS] [SEED]``; the tests do a few of them.
"""

import asyncio
import random
import sys
import tempfile
import time
from pathlib import Path

import planner  # noqa: F401 - keeps the matrix library to one thread
from planner.app.drafts import Drafts
from planner.app.planner_app import PlannerApp
from planner.app.state import state_of
from planner.catalogue import load
from planner.data import demo
from planner.job import new_job_file, read_job_file

KEYS = (
    *"sczmlvodwakienthubp", "U", "up", "down", "left", "right", "enter", "escape", "escape", "tab", "plus",
    "minus", "comma", "full_stop", "question_mark", "ctrl+s", "ctrl+z", "1", "7", "backspace", "space",
)  # fmt: skip


class NoSecond:
    """Leaves the refinement out: it is no part of what is tried here."""

    def call(self, *_given):
        raise ValueError("left out")

    def close(self):
        pass


async def fumble(app, rounds, chance, seen):
    """Press and click at random; return how many rounds were done before it was left."""
    async with app.run_test(size=(80, 24)) as pilot:
        for done in range(rounds):
            if chance.random() < 0.25:
                await pilot.click(offset=(chance.randrange(80), chance.randrange(24)))
            else:
                await pilot.press(chance.choice(KEYS))
            seen.add(type(app.screen).__name__)
            if app._exit:
                return done + 1
        app.keep()
    return rounds


def main(rounds=10_000, seed=1):
    folder = Path(tempfile.mkdtemp())
    palette = load(demo())
    job = read_job_file(demo() / "jobs" / "hoop-second-half.toml").job
    path = new_job_file(folder / "job.toml", job).save().path
    chance, begun, seen, done, times = random.Random(seed), time.perf_counter(), set(), 0, 0  # noqa: S311
    while done < rounds:
        file = read_job_file(path)
        state = state_of(file.job, palette, file, path)
        drafts = Drafts(folder / "drafts")
        app = PlannerApp(palette, state, second=NoSecond(), drafts=drafts)
        done += asyncio.run(fumble(app, rounds - done, chance, seen))
        times += 1
        read_job_file(path)
        for draft in (folder / "drafts").glob("*.toml"):
            read_job_file(draft)
        print(f"{done} after {time.perf_counter() - begun:.0f} s, left {times} times", flush=True)
    print(f"alive and whole; screens met: {', '.join(sorted(seen))}")


if __name__ == "__main__":
    main(*(int(one) for one in sys.argv[1:]))
