"""How long the planner takes to say its first word, beside a Python that does nothing; gates nothing.

Each command is a new process, timed to its end; the runs of all commands alternate, so that a busy
machine slows all alike, and the median of eleven is told. Run: ``python tests/speed/start_speed.py``.
"""

import statistics
import subprocess
import sys
import time

RUNS = 11
NOTHING = ("-c", "pass")
COMMANDS = {
    "python -c pass": NOTHING,
    "python -c 'import click'": ("-c", "import click"),
    "planner --help": ("-m", "planner", "--help"),
    "planner try --help": ("-m", "planner", "try", "--help"),
    "python -c 'import numpy, pydantic'": ("-c", "import numpy, pydantic"),
    "planner list stones": ("-m", "planner", "list", "stones"),
    "planner list swatches": ("-m", "planner", "list", "swatches"),
}


def seconds(arguments: tuple[str, ...]) -> float:
    """Return how long one new process takes, s."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def main() -> None:
    """Print medians, and each one's difference from and ratio to doing nothing."""
    times: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(RUNS):
        for name, arguments in COMMANDS.items():
            times[name].append(seconds(arguments))
    nothing = statistics.median(times["python -c pass"])
    for name, found in times.items():
        median = statistics.median(found)
        more, ratio = 1000 * (median - nothing), median / nothing
        print(f"{name:36} {1000 * median:6.0f} ms   {more:+6.0f} ms   {ratio:5.1f} ×")


if __name__ == "__main__":
    main()
