"""How long whole answers take, with nothing kept and later, beside a Python that imports what they stand on.

Each command is a new process with a cache folder of its own: its first run finds nothing kept, the others
find what it left. Told are seconds on the clock, seconds of processor time (all threads and children), and
how many times as long as the peer it took by the clock: a process that imports NumPy and pydantic, run beside
it. Modules are compiled before, as those of an installed planner are. "First line" is the time until an
answer's first line can be read. It gates nothing. Run: ``python tests/speed/answers_speed.py``, with words of
rows' names for those alone.
"""

import compileall
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import planner
from planner.data import demo

LATER = 3

TRY = ("-m", "planner", "try", "--stone", "pulley-blue", "--coating", "swivel-gilt", "--size", "SS20",
       "--swatch", "leotard-blue", "--venue", "theatre")  # fmt: skip
RANK = """
import planner
from planner.catalogue import load
from planner.data import demo
from planner.reading.question import Question, typed_colour
from planner.reading.rank import rank
palette = load(demo())
stone, swatch = palette.stones["pulley-blue"], typed_colour("2a4b9c")
for venue in {venues}:
    cut, far = palette.cuts[stone.cut], venue.distance
    found = rank(palette, Question(stone, cut, None, "SS20", swatch, swatch, venue, far))
"""
COMMANDS = {
    "planner try, and what to order instead": TRY,
    "the palette ranked in one venue": ("-c", RANK.format(venues='[palette.venues["theatre"]]')),
    "the palette ranked in all venues": ("-c", RANK.format(venues="palette.venues.values()")),
    "a client's page": (
        "-m",
        "planner",
        "brief",
        str(demo() / "jobs" / "usher-waistcoats.toml"),
        "--to",
        "{out}",
    ),
}
PEER = ("-c", "import numpy, pydantic; print()")


def timed(arguments: tuple[str, ...], cache: Path) -> tuple[float, float, float]:
    """Return seconds to the first line, to the end, and of processor time."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    given = [one.replace("{out}", str(cache / f"page-{time.time_ns()}.pdf")) for one in arguments]
    known = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    process = subprocess.Popen(
        [sys.executable, *given], stdout=subprocess.PIPE, env=known | {"XDG_CACHE_HOME": str(cache)}
    )
    assert process.stdout
    process.stdout.readline()
    first = time.perf_counter() - start
    process.stdout.read()
    if process.wait():
        raise SystemExit(f"{arguments} failed")
    whole, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    return first, whole, sum(after[:2]) - sum(before[:2])


def told(name: str, found: tuple[float, ...], peer: float) -> None:
    first, whole, processor = found
    print(
        f"{name:55} first line {first:6.2f} s  all {whole:6.2f} s  processor {processor:6.2f} s  "
        f"{whole / peer:5.1f} × peer",
        flush=True,
    )


def main() -> None:
    """Print one row for each command with nothing kept, and one for later runs (medians)."""
    compileall.compile_dir(Path(planner.__file__).parent, quiet=1)
    for name, arguments in COMMANDS.items():
        if len(sys.argv) > 1 and not any(word in name for word in sys.argv[1:]):
            continue
        with tempfile.TemporaryDirectory() as place:
            cache = Path(place)
            peers = [timed(PEER, cache)[1]]
            fresh = timed(arguments, cache)
            later = []
            for _ in range(LATER):
                peers.append(timed(PEER, cache)[1])
                later.append(timed(arguments, cache))
            peer = statistics.median(peers)
            told(f"{name}, nothing kept", fresh, peer)
            told(f"{name}, later", tuple(statistics.median(one) for one in zip(*later, strict=True)), peer)


if __name__ == "__main__":
    main()
