"""How fast the interface answers: from a key to the painted answer, and from start to a first reading.

Run as ``python tests/speed/app_speed.py``, or with ``start`` for the start alone. It passes or fails
nothing.
"""

import asyncio
import itertools
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import planner  # noqa: F401 - keeps the matrix library to one thread
from planner.app import planner_app
from planner.app.drafts import Drafts
from planner.app.pauses import starting
from planner.app.planner_app import PlannerApp
from planner.app.second_process import SecondProcess
from planner.app.state import new_state
from planner.catalogue import load
from planner.data import demo

planner_app.SameProcess = SecondProcess  # pictures are drawn in a process of their own, as they are in use

CHANGES = 200
STARTS = 7

COMPILED = Path(tempfile.mkdtemp())

EMPTY = """
from textual.app import App
class Empty(App[None]):
    def on_ready(self): print("painted", flush=True); self.exit()
Empty().run(headless=True)
"""
FULL = """
import planner
from planner.app.pauses import starting
from planner.app.run import opened
starting()  # as `planner.app.run.run` does
import sys, tempfile
from pathlib import Path
from planner.app.drafts import Drafts
from planner.app.state import new_state
from planner.catalogue import load
from planner.data import demo
palette = load(demo())
app = opened(palette, new_state(palette))
app.drafts = Drafts(Path(tempfile.mkdtemp()))
def watch():
    if app.main.painted and not app._batch_count:  # nothing is held back any more
        app.main.call_after_refresh(lambda: (print("painted", file=sys.__stdout__, flush=True), app.exit()))
    else:
        app.set_timer(0.005, watch)
app.call_later(watch)
app.run(headless=True)
"""


class NoSecond:
    """Leaves the refinement out, so that only what a key must wait for is measured."""

    def call(self, *_given):
        raise ValueError("left out")

    def close(self):
        pass


async def painted(app):
    """Wait until the last answer asked for is on the screen."""
    while app.main.painted != app.main.serial:  # noqa: ASYNC110 - no event of ours in what is measured
        await asyncio.sleep(0.0005)
    done = asyncio.Event()
    app.main.call_after_refresh(done.set)
    await done.wait()


async def key_to_paint(pause, jump):
    """Return seconds from each of `CHANGES` keys to its painted answer, none of them seen before.

    A step is the next coating; with `jump` each step also begins from another stone, as by a filter,
    so that nothing was looked at ahead.
    """
    palette = load(demo())
    alike = [
        one.id for one in palette.stones.values()
        if (one.cut, one.material, one.foil) == ("twelve", "glass", "silver") and not one.opaque
    ]  # fmt: skip
    app = PlannerApp(
        palette, new_state(palette), second=NoSecond(), drafts=Drafts(Path(tempfile.mkdtemp())), depth="true"
    )
    films = ["none", *palette.coatings]
    fresh = (
        itertools.product(films[:-1], alike[1:]) if jump else ((f, s) for s in alike[1:] for f in films[:-1])
    )
    taken = []
    async with app.run_test(size=(120, 40)) as pilot:
        await painted(app)
        for film in films:  # every film is met once, on another stone, before anything is measured
            app.main.apply(app.state.with_line(stone=alike[0], coating=film))
            await painted(app)
        await pilot.press("down")
        for film, stone in itertools.islice(fresh, CHANGES):
            if (stone, film) != (app.state.pairing.stone, app.state.pairing.coating):
                app.state = app.state.with_line(stone=stone, coating=film)
            before, serial = time.perf_counter(), app.main.serial
            app.simulate_key("right")
            while app.main.serial == serial:  # noqa: ASYNC110 - as above
                await asyncio.sleep(0.0005)
            await painted(app)
            taken.append(time.perf_counter() - before)
            await asyncio.sleep(pause)
    return sorted(taken)


def installed(cache):
    """Return an environment in which programs start as installed ones do: compiled once, cache of their own.

    Where the planner has followed no beams yet, `cache` is an empty folder.
    """
    own = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    size = {"COLUMNS": "80", "LINES": "24"}  # as a terminal says it; two sizes would be laid out one by one
    return own | size | {"PYTHONPYCACHEPREFIX": str(COMPILED), "XDG_CACHE_HOME": str(cache)}


def seconds_to_paint(program, cache):
    """Return seconds from starting a process to its first paint."""
    before = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-c", program], stdout=subprocess.PIPE, text=True, env=installed(cache)
    ) as process:
        for line in process.stdout:
            if "painted" in line:
                taken = time.perf_counter() - before
                break
        process.stdout.read()
    return taken


def starts():
    """Return medians of `STARTS`: an empty app, the planner's later starts, and its very first one.

    By turns, so that a busy machine slows all alike.
    """
    used = tempfile.mkdtemp()
    seconds_to_paint(EMPTY, used)
    seconds_to_paint(FULL, used)
    taken = [
        (
            seconds_to_paint(EMPTY, used),
            seconds_to_paint(FULL, used),
            seconds_to_paint(FULL, tempfile.mkdtemp()),
        )
        for _ in range(STARTS)
    ]
    return [statistics.median(column) for column in zip(*taken, strict=True)]


def keys():
    """Print seconds from keys to painted answers."""
    for said, pause, jump in (
        ("steps, three a second", 0.33, False),
        ("steps, a key held down", 0.06, False),
        ("jumps to pairings not met before", 0.33, True),
    ):
        taken = asyncio.run(key_to_paint(pause, jump))
        half, most = statistics.median(taken), taken[int(0.95 * len(taken)) - 1]
        print(
            f"key to painted answer, {len(taken)} {said}: median {1e3 * half:.0f} ms, p95 "
            f"{1e3 * most:.0f} ms (aim: 50)",
            flush=True,
        )


def main():
    if "start" not in sys.argv[1:]:
        starting()  # as `planner.app.run` does
        keys()
    empty, later, first = starts()
    print(
        f"start to first reading painted: {later:.2f} s, the very first time {first:.2f} s; an empty Textual "
        f"app: {empty:.2f} s; ratios {later / empty:.1f} and {first / empty:.1f} (aims: 2.2 and 3)"
    )


if __name__ == "__main__":
    main()
