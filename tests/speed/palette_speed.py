"""How long the whole demo palette takes in all venues, with nothing kept and in a later run.

40 stones, 12 coatings, 8 venues, 9 thickness nodes: glow of all, then flash of all, which nobody keeps; then
seen colours of all there is, as a ranking asks for them, which are kept; and one changed pairing, as the
interface reads it. Two copies of the process share glow and flash, glass by glass. Each run is a new one, and
beams are kept in a folder of its own: the first run finds it empty, the later ones what that left. Glow is
told with imports and all. Told are seconds on the clock, seconds of processor time of both copies, and how
many times as long as the peer it took: a process that imports NumPy and pydantic, run beside it. Run it alone
on a quiet machine: ``python tests/speed/palette_speed.py``. It prints, and gates nothing.
"""

import compileall
import json
import multiprocessing
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache
from itertools import islice
from pathlib import Path

import planner  # before NumPy, so that its matrix library keeps to one thread

began = time.perf_counter()

import numpy as np  # noqa: E402

from planner.catalogue.palette import load  # noqa: E402
from planner.catalogue.sizes import size  # noqa: E402
from planner.data import demo  # noqa: E402
from planner.reading.look import flash_xyz, glow_of  # noqa: E402
from planner.reading.looks import all_jobs, look_at  # noqa: E402
from planner.reading.matter import QUICK, absorption, gem, lay_angle, stacked_factors  # noqa: E402
from planner.reading.question import Question, can_carry, typed_colour  # noqa: E402
from planner.reading.read import read  # noqa: E402
from planner.reading.scene import scene  # noqa: E402
from planner.reading.sparkle import shares  # noqa: E402
from planner.reading.states import states  # noqa: E402

STONES, COATINGS, VENUES, NODES = 40, 12, 8, 9
LATER = 3
AIMS = {"first": {"glow": 1.0, "flash": 5.0}, "later": {"glow": 0.2, "flash": 1.0}}
"""Seconds on two idle cores."""


def glass_by_glass(palette):
    """Return lists of jobs, one for each glass and cut: its stones, and coatings that lay alike."""
    laid, chosen = defaultdict(list), defaultdict(list)
    for coating in islice(palette.coatings.values(), COATINGS):
        laid[lay_angle(coating)].append(coating)
    for stone in islice(palette.stones.values(), STONES):
        chosen[gem(stone, palette.cuts[stone.cut], QUICK)].append(stone)
    # Beams serve stones whose metal differs, too.
    found = defaultdict(list)
    for glass, stones in chosen.items():
        found[glass.shape] += [(glass, stones, coatings) for coatings in laid.values()]
    return sorted(found.values(), key=lambda jobs: -sum(len(job[1]) * len(job[2]) for job in jobs))


def bodies(palette, stones):
    absorbed = np.stack([absorption(stone, palette.cuts[stone.cut]) for stone in stones])
    return absorbed, np.full(len(stones), size("SS20").nominal_mm)


def glows(palette, scenes, job):
    """Return (T, S, V, 3) glow of a job's stones under all its coatings, state by state."""
    glass, stones, coatings = job
    films = [(coating, states(coating, full=False, most=NODES)) for coating in coatings]
    given = (lay_angle(coatings[0]), stacked_factors(glass, films), *bodies(palette, stones))
    return glow_of(glass, *given, scenes, np.full(81, 0.3))


def flashes(palette, scenes, job, glow):
    """Class the flashes of a job's stones in every state of their films; return how many readings that is."""
    glass, stones, coatings = job
    body, mm = bodies(palette, stones)
    start = counted = 0
    for coating in coatings:
        film = states(coating, full=False, most=NODES)
        rows = slice(start, start + film.count)
        start += film.count
        for v, place in enumerate(scenes):
            if not place.lamps:
                continue
            found = flash_xyz(glass, coating, film, body, mm, place, by_facet=False)
            for s in range(len(stones)):
                one = replace(found, xyz=found.xyz[:, :, s : s + 1])
                shares(one, film.scale, glow[rows, s, v, 1], place.white_xyz, steps=1)
                counted += film.count
    return counted


@cache
def all_there_is():
    """Return palette, scenes and jobs, made before there are copies, which then have them too."""
    palette = load(demo())
    scenes = [scene(venue) for venue in islice(palette.venues.values(), VENUES)]
    return palette, scenes, glass_by_glass(palette)


def all_glows(number):
    """Return the glows of one glass, and the processor time that they took here."""
    start, (palette, scenes, work) = time.process_time(), all_there_is()
    found = [glows(palette, scenes, job) for job in work[number]]
    return found, time.process_time() - start


def all_flashes(number, glow):
    """Return how many flash readings there are of one glass, and the processor time that they took here."""
    start, (palette, scenes, work) = time.process_time(), all_there_is()
    counted = sum(flashes(palette, scenes, job, one) for job, one in zip(work[number], glow, strict=True))
    return counted, time.process_time() - start


def measure() -> dict[str, float]:
    """Return what one run took, with the folder that it finds."""
    palette, _, work = all_there_is()
    own, numbers, found = time.process_time(), range(len(work)), {}
    with ProcessPoolExecutor(2, multiprocessing.get_context("fork")) as pool:
        glow, took = zip(*pool.map(all_glows, numbers), strict=True)
        found["glow"], found["glow_processor"] = time.perf_counter() - began, own + sum(took)
        found["glows"] = sum(one.shape[0] * one.shape[1] * one.shape[2] for each in glow for one in each)
        start = time.perf_counter()
        counted, took = zip(*pool.map(all_flashes, numbers, glow), strict=True)
        found["flash"], found["flash_processor"] = time.perf_counter() - start, sum(took)
        found["flashes"] = sum(counted)
    return found | seen_colours(palette) | changed_pairings(palette)


def seen_colours(palette) -> dict[str, float]:
    """Return seconds for what viewers see of all pairings in all venues, flashes and batches in it.

    As a ranking asks for it, in one process: a later run finds what was worked out.
    """
    stones, films = list(palette.stones.values()), [None, *palette.coatings.values()]
    swatch, one, start, number = typed_colour("2a4b9c"), stones[0], time.perf_counter(), 0
    for venue in palette.venues.values():
        asked = Question(one, palette.cuts[one.cut], None, "SS20", swatch, swatch, venue, venue.distance)
        for job in all_jobs(palette, asked, stones, films, can_carry, QUICK):
            number += sum(look.nodes.size // 3 for look in look_at(asked, *job))
    return {"seen": time.perf_counter() - start, "seens": number}


def changed_pairings(palette) -> dict[str, float]:
    """Return milliseconds for one pairing after another, read in full at a first look."""
    swatch, venue = typed_colour("2a4b9c"), palette.venues["theatre"]
    times = []
    for stone in islice(palette.stones.values(), STONES):
        for coating in islice(palette.coatings.values(), 5):
            if coating.where == "foil":
                continue
            cut = palette.cuts[stone.cut]
            question = Question(stone, cut, coating, "SS20", swatch, swatch, venue, venue.distance)
            start = time.perf_counter()
            read(question, QUICK)
            times.append(1e3 * (time.perf_counter() - start))
    return {
        "median": float(np.median(times)),
        "slow": float(np.percentile(times, 95)),
        "pairings": len(times),
    }


def ran(place: str, *arguments: str) -> tuple[str, float]:
    """Return what a new process printed, and the seconds that it took."""
    known = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    said = subprocess.run(
        [sys.executable, *arguments],
        check=True,
        env=known | {"XDG_CACHE_HOME": place},
        stdout=subprocess.PIPE,
        text=True,
    ).stdout
    return said, time.perf_counter() - start


def told(when: str, found: dict[str, float], peer: float) -> None:
    run = "nothing kept" if when == "first" else "a later run "
    for what, number in (("glow", "glows"), ("flash", "flashes")):
        print(
            f"{what:5} of the palette, {found[number]:6,.0f}, {run}  {found[what]:6.2f} s  "
            f"processor {found[what + '_processor']:6.2f} s  {found[what] / peer:5.1f} × peer  "
            f"(aim: under {AIMS[when][what]:g} s)"
        )
    print(
        f"seen colour of all pairings, {found['seens']:7,.0f}, {run}  {found['seen']:6.2f} s  "
        f"{found['seen'] / peer:5.1f} × peer"
    )
    print(
        f"a changed pairing, read in full at a first look, {run}: median {found['median']:.0f} ms, "
        f"p95 {found['slow']:.0f} ms (of {found['pairings']:.0f})",
        flush=True,
    )


def main() -> None:
    """Print what a first run takes, and in the median the later ones."""
    if sys.argv[1:] == ["one"]:
        print(json.dumps(measure()))
        return
    compileall.compile_dir(Path(planner.__file__).parent, quiet=1)
    with tempfile.TemporaryDirectory() as place:
        peers, runs = [], []
        for _ in range(1 + LATER):
            peers.append(ran(place, "-c", "import numpy, pydantic")[1])
            runs.append(json.loads(ran(place, __file__, "one")[0]))
    peer = statistics.median(peers)
    told("first", runs[0], peer)
    later = {name: statistics.median(one[name] for one in runs[1:]) for name in runs[0]}
    told("later", later, peer)


if __name__ == "__main__":
    main()
