"""How long the whole demo palette takes, in a new process with nothing cached.

40 stones, 12 coatings, 8 venues, 9 thickness nodes: glow of all, then flash of all; and one changed
pairing, as the interface reads it. Run it alone on a quiet machine:
``python tests/speed/palette_speed.py``. It prints, and gates nothing.
"""

import time
from collections import defaultdict
from concurrent.futures import ThreadPoolExecutor
from itertools import islice

import planner  # noqa: F401 - before NumPy, so that its matrix library keeps to one thread

began = time.perf_counter()

import numpy as np  # noqa: E402

from planner.catalogue.palette import load  # noqa: E402
from planner.catalogue.sizes import size  # noqa: E402
from planner.data import demo  # noqa: E402
from planner.optics import store  # noqa: E402
from planner.reading.look import Flashes, flash_xyz, glow_of  # noqa: E402
from planner.reading.matter import QUICK, absorption, gem, lay_angle, stacked_factors  # noqa: E402
from planner.reading.question import Question, typed_colour  # noqa: E402
from planner.reading.read import read  # noqa: E402
from planner.reading.scene import scene  # noqa: E402
from planner.reading.sparkle import shares  # noqa: E402
from planner.reading.states import states  # noqa: E402

GREY = np.full(81, 0.3)


def jobs(palette):
    """Return (gem, stones, coatings): stones of one glass and cut, coatings that lay alike."""
    chosen = defaultdict(list)
    for stone in islice(palette.stones.values(), 40):
        chosen[gem(stone, palette.cuts[stone.cut], QUICK)].append(stone)
    laid = defaultdict(list)
    for coating in islice(palette.coatings.values(), 12):
        laid[lay_angle(coating)].append(coating)
    return [(glass, stones, films) for glass, stones in chosen.items() for films in laid.values()]


def bodies(palette, stones):
    absorbed = np.stack([absorption(stone, palette.cuts[stone.cut]) for stone in stones])
    return absorbed, np.full(len(stones), size("SS20").nominal_mm)


def glows(palette, scenes, job):
    glass, stones, coatings = job
    films = [(coating, states(coating, full=False, most=9)) for coating in coatings]
    body, mm = bodies(palette, stones)
    return glow_of(glass, lay_angle(coatings[0]), stacked_factors(glass, films), body, mm, scenes, GREY)


def flashes(palette, scenes, job, glow):
    glass, stones, coatings = job
    body, mm = bodies(palette, stones)
    start = counted = 0
    for coating in coatings:
        film = states(coating, full=False, most=9)
        rows = slice(start, start + film.count)
        start += film.count
        for v, place in enumerate(scenes):
            if not place.lamps:
                continue
            found = flash_xyz(glass, coating, film, body, mm, place, by_facet=False)
            for s in range(len(stones)):
                one = Flashes(found.measure, found.xyz[:, :, s : s + 1])
                shares(one, film.scale, glow[rows, s, v, 1], place.white_xyz, steps=1)
                counted += film.count
    return counted


def main() -> None:
    store.folder = lambda: None  # beams kept on disk would not be a new process's work
    palette = load(demo())
    scenes = [scene(venue) for venue in islice(palette.venues.values(), 8)]
    work = sorted(jobs(palette), key=lambda job: -len(job[1]) * len(job[2]))
    with ThreadPoolExecutor(2) as pool:
        found = list(pool.map(lambda job: glows(palette, scenes, job), work))
        glow_time = time.perf_counter() - began
        number = sum(one.shape[0] * one.shape[1] * one.shape[2] for one in found)
        print(
            f"glow of the palette, {number:,} glows, imports and all   {glow_time:6.2f} s   (aim: under 1 s)"
        )
        start = time.perf_counter()
        counted = sum(pool.map(lambda pair: flashes(palette, scenes, *pair), zip(work, found, strict=True)))
        flash_time = time.perf_counter() - start
    print(
        f"flash of the palette, {counted:,} flash readings           {flash_time:6.2f} s   (aim: under 5 s)"
    )
    swatch, venue = typed_colour("2a4b9c"), palette.venues["theatre"]
    times = []
    for stone in islice(palette.stones.values(), 40):
        for coating in islice(palette.coatings.values(), 5):
            if coating.where == "foil":
                continue
            question = Question(
                stone, palette.cuts[stone.cut], coating, "SS20", swatch, swatch, venue, venue.distance
            )
            start = time.perf_counter()
            read(question, QUICK)
            times.append(time.perf_counter() - start)
    print(
        f"a changed pairing, read in full at a first look: median {1e3 * np.median(times):.0f} ms, "
        f"p95 {1e3 * np.percentile(times, 95):.0f} ms (of {len(times)})"
    )


if __name__ == "__main__":
    main()
