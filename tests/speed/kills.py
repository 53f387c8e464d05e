"""A thousand planners killed while they write: what was there is old or new, never half, and no litter stays.

Run as ``python tests/speed/kills.py [KILLS] [SEED]``, on POSIX. Each writes one kind of file again
and again until SIGKILL ends it at a random moment; then the file is read, and written once more.
"""

import os
import random
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

import planner  # noqa: F401 - keeps the matrix library to one thread
from planner.app.drafts import Drafts, _read
from planner.app.state import state_of
from planner.atomic import BACKUP
from planner.brief.save import save
from planner.catalogue import load, read_palette_file
from planner.catalogue.keep import keep
from planner.cli.demo import write as write_demo
from planner.data import demo
from planner.fitting.record import Line as Logged
from planner.fitting.record import append, read_log
from planner.job import new_job_file, read_job_file
from planner.optics import store
from planner.order.export import write_csv
from planner.order.heard import Guess, read_heard, remember
from planner.order.stock import Taken, read_stock

LONGEST = 0.03
"""Seconds that a planner writes until it is killed, at most."""
LOGGED = Logged("2031-01-01", "x", "y", "none", "SS20", "rink", 1, 2, 3, 4, 5, 6, "typed", 1, 2)
PALETTE = load(demo())
JOB = read_job_file(demo() / "jobs" / "hoop-second-half.toml").job


@dataclass(frozen=True)
class Beams:
    """Something to be kept."""

    numbers: np.ndarray


class Kind:
    """Files of one kind in a folder: how they are begun, written for ever, and found whole."""

    def __init__(self, folder):
        self.folder, self.most = folder, 0

    def begin(self):
        """Put there what a planner finds."""

    def write(self, number):
        """Write it; each number is another content."""
        raise NotImplementedError

    def whole(self):
        """Read what is there; whatever is raised is a fault. Return how much there is, never to grow less."""
        raise NotImplementedError

    def tidy(self):
        """Make room for the next."""


class Jobs(Kind):
    def begin(self):
        new_job_file(self.folder / "job.toml", JOB).save()

    def write(self, number):
        file = read_job_file(self.folder / "job.toml")
        file.with_job(JOB.model_copy(update={"title": "x" * (number % 99 + 1)})).save()

    def whole(self):
        read_job_file(self.folder / "job.toml")
        if (backup := self.folder / f"job.toml{BACKUP}").exists():
            read_job_file(backup.rename(self.folder / "old.toml"))
            (self.folder / "old.toml").unlink()
        return 1


class DraftFiles(Kind):
    def begin(self):
        self.drafts = Drafts(self.folder)
        self.state = state_of(JOB, PALETTE, None, self.folder / "x.toml")

    def write(self, number):
        self.drafts.keep(self.state.with_job(title="y" * (number % 99 + 1)))

    def whole(self):
        for path in self.folder.glob("draft-*.toml"):
            _read(path)
        return 1


class Log(Kind):
    def write(self, number):
        append(self.folder / "arrivals.csv", replace(LOGGED, seen_a=float(number)))

    def whole(self):
        return len(read_log(self.folder / "arrivals.csv"))


class Drawer(Kind):
    def begin(self):
        lot = '[[lot]]\nstone = "pulley-blue"\nsize = "SS20"\ncount = 1000000\nnote = "mine"\n'
        (self.folder / "stock.toml").write_text(lot)

    def write(self, _number):
        file = read_stock(self.folder / "stock.toml", PALETTE)
        file.without([Taken(0, file.lots[0], 1)]).save()

    def whole(self):
        return 1_000_000 - read_stock(self.folder / "stock.toml", PALETTE).lots[0].count


class Exports(Kind):
    def write(self, number):
        write_csv(self.folder / f"out-{os.getpid()}-{number}.csv", ["a", "b"], [["c", "d"]] * 3000)

    def whole(self):
        found = list(self.folder.glob("out-*.csv"))
        assert len({path.stat().st_size for path in found}) <= 1
        return len(found)


class Pages(Kind):
    def write(self, number):
        save(bytes([97 + number % 26]) * 200_000, self.folder / "page.txt", replace=True)

    def whole(self):
        if (path := self.folder / "page.txt").exists():
            data = path.read_bytes()
            assert len(data) == 200_000
            assert len(set(data)) == 1
        return 1


class Store(Kind):
    def begin(self):
        store.folder = lambda: self.folder

    def write(self, number):
        store.kept(Beams, number % 40, lambda: Beams(np.full(20_000, float(number % 40))))

    def whole(self):
        for number in range(40):
            found = store._read(Beams, self.folder / store._name(Beams, number))
            assert found is None or (found.numbers == number).all()
        return 1


class Words(Kind):
    def write(self, number):
        remember(self.folder / "sellers_words.csv", [Guess("a", "stone", f"w{number % 500}", "pulley-blue")])

    def whole(self):
        return len(read_heard(self.folder / "sellers_words.csv").of)


class Own(Kind):
    def write(self, number):
        stone = PALETTE.stones["pulley-blue"].model_copy(update={"id": f"s-{os.getpid()}-{number}"})
        keep([stone], self.folder / "mine.toml")

    def whole(self):
        path = self.folder / "mine.toml"
        return len(read_palette_file(path).lines) if path.exists() else 0


class Demo(Kind):
    def write(self, _number):
        write_demo(self.folder / "demo")

    def whole(self):
        write_demo(self.folder / "demo")  # the next try is not refused
        return 1

    def tidy(self):
        shutil.rmtree(self.folder / "demo")


KINDS = (Jobs, DraftFiles, Log, Drawer, Exports, Pages, Store, Words, Own, Demo)


def write_for_ever(kind, says):
    """Write again and again, until killed; say when it begins."""
    number = random.randrange(10_000)  # noqa: S311 - no secret hangs on it
    os.write(says, b"!")
    while True:
        number += 1
        kind.write(number)


def killed_once(kind, pause):
    """Kill one planner that writes; return what came of it, empty for nothing amiss."""
    hears, says = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            write_for_ever(kind, says)
        finally:
            traceback.print_exc()
            os._exit(1)
    os.read(hears, 1)
    time.sleep(pause)
    os.kill(child, signal.SIGKILL)
    os.close(hears)
    os.close(says)
    if not os.WIFSIGNALED(os.waitpid(child, 0)[1]):
        return "ended by itself"
    try:
        found = kind.whole()
    except Exception as problem:  # noqa: BLE001 - that is what is counted
        return f"{type(problem).__name__}: {problem}"
    before, kind.most = kind.most, found
    return f"{before - found} entries lost" if found < before else ""


def main(kills=1000, seed=1):
    """Kill so many planners, print what came of it, and return what was amiss."""
    chance, faults, begun = random.Random(seed), Counter(), time.perf_counter()  # noqa: S311
    with tempfile.TemporaryDirectory() as name:
        for what in KINDS:
            kind = what(Path(name) / what.__name__)
            kind.folder.mkdir()
            kind.begin()
            for _ in range(kills // len(KINDS)):
                if fault := killed_once(kind, chance.uniform(0.0, LONGEST)):
                    faults[f"{what.__name__}: {fault}"] += 1
                kind.tidy()
            kind.write(20_000)
            if litter := list(kind.folder.rglob(".planner-*")):
                faults[f"{what.__name__}: {len(litter)} left behind"] += 1
    kinds = ", ".join(what.__name__ for what in KINDS)
    spent = time.perf_counter() - begun
    print(f"{kills // len(KINDS)} killed of each of {kinds}, in {spent:.0f} s: {sum(faults.values())} faults")
    for fault, times in faults.most_common():
        print(f"  {times} × {fault}")
    return sum(faults.values())


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:])) > 0)
