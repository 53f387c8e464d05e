"""How a ranking grows with a palette: stones in plenty under 40 coatings, in one venue, with nothing kept.

The demo's stones and coatings are taken again and again, each a little deeper or thicker, until there are
enough. Told are seconds on the clock and of processor time, microseconds a pairing, and the largest memory of
the process and of the one beside it, though they share much. Run:
``python tests/speed/many_stones.py 50 500 5000``. It gates nothing.
"""

import itertools
import os
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import replace

import planner  # noqa: F401 - keeps the matrix library to one thread
from planner.catalogue import load
from planner.data import demo
from planner.reading.question import Question, typed_colour
from planner.reading.rank import rank

COATINGS = 40


def many(entries, count, change):
    """Return so many entries by id, made of those that there are."""
    found = {}
    for number, one in zip(range(count), itertools.cycle(entries), strict=False):
        name = f"{one.id}-{number}"
        found[name] = change(one.model_copy(update={"id": name}), 1.0 + 0.002 * (number // len(entries)))
    return found


def deeper(stone, times):
    if stone.colourants is None:
        return stone
    return stone.model_copy(
        update={"colourants": {name: part * times for name, part in stone.colourants.items()}}
    )


def thicker(coating, times):
    layers = tuple(one.model_copy(update={"nm": one.nm * times}) for one in coating.layers)
    return coating.model_copy(update={"layers": layers})


def measure(count: int) -> None:
    """Rank so many stones, and say what it took."""
    demo_palette = load(demo())
    palette = replace(
        demo_palette,
        stones=many(list(demo_palette.stones.values()), count, deeper),
        coatings=many(list(demo_palette.coatings.values()), COATINGS, thicker),
    )
    stone, swatch = next(iter(palette.stones.values())), typed_colour("2a4b9c")
    venue = palette.venues["theatre"]
    question = Question(stone, palette.cuts[stone.cut], None, "SS20", swatch, swatch, venue, venue.distance)
    start, processor = time.perf_counter(), time.process_time()
    found = rank(palette, question)
    clock, beside = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    processor = time.process_time() - processor + beside.ru_utime + beside.ru_stime
    memory = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss + beside.ru_maxrss) / 1024
    print(
        f"{count:6,} stones × {COATINGS} coatings, {len(found):8,} pairings  {clock:7.2f} s  "
        f"processor {processor:7.2f} s  {1e6 * processor / len(found):7.0f} µs a pairing  {memory:6.0f} MB",
        flush=True,
    )


def main() -> None:
    """Measure each count in a new process, with nothing kept."""
    if len(sys.argv) == 3 and sys.argv[1] == "one":
        measure(int(sys.argv[2]))
        return
    for count in sys.argv[1:] or ("50", "500"):
        with tempfile.TemporaryDirectory() as cache:
            subprocess.run(
                [sys.executable, __file__, "one", count],
                check=True,
                env=os.environ | {"XDG_CACHE_HOME": cache},
            )


if __name__ == "__main__":
    main()
