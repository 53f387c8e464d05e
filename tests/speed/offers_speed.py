"""How fast a long list of offers is read, beside the plain reading of the same file; gates nothing.

Fifty thousand rows, the most a file may have. The peers are the standard library's csv module alone, and
csv with a Decimal made of every price and count, which checks nothing and understands nothing. All run in
turn, median of three. Run: ``python tests/speed/offers_speed.py``.
"""

import csv
import random
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

from planner.catalogue.palette import load
from planner.data import demo
from planner.order.landed import Rates, side_by_side
from planner.order.offers_file import read_offers

ROWS = 50_000
HEAD = (
    "seller,title,material,size,colour,coating,count,price,currency,shipping,duty,tax,handling,returns,"
    "delivery\n"
)
TODAY = date(2030, 1, 1)


def made(path: Path, stones: list[str]) -> None:
    """Write a list in which no two rows are alike."""
    rng = random.Random(1)  # noqa: S311 - nothing secret
    with path.open("w", encoding="utf-8") as file:
        file.write(HEAD)
        for row in range(ROWS):
            price, shipping = rng.randint(100, 9999) / 100, rng.randint(0, 999) / 100
            file.write(
                f"Row {row % 997},Pack {row},glass,SS20,{rng.choice(stones)},none,"
                f"{rng.choice((144, 720, 1440))},{price},EUR,{shipping},0,0,0,30,{rng.randint(1, 30)}\n"
            )


def seconds(task: Callable[[], object]) -> float:
    """Return how long a task takes on the processor, s."""
    start = time.process_time()
    task()
    return time.process_time() - start


def main() -> None:
    """Print the median time of each, and its ratio to the plainest."""
    palette = load(demo())
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "offers.csv"
        made(path, list(palette.stones))
        offers = read_offers(path, palette, today=TODAY).offers

        def rows() -> list[list[str]]:
            with path.open(encoding="utf-8", newline="") as lines:
                return list(csv.reader(lines))

        tasks: dict[str, Callable[[], object]] = {
            "csv alone": rows,
            "csv and decimals": lambda: [(Decimal(one[6]), Decimal(one[7])) for one in rows()[1:]],
            "offers read, matched and checked": lambda: read_offers(path, palette, today=TODAY),
            "offers priced and sorted": lambda: side_by_side(offers, Rates("EUR", {})),
        }
        taken = {name: [] for name in tasks}  # type: dict[str, list[float]]
        for _ in range(3):
            for name, task in tasks.items():
                taken[name].append(seconds(task))
    least = statistics.median(taken["csv alone"])
    for name, some in taken.items():
        half = statistics.median(some)
        print(f"{name:<34} {half:6.2f} s  {half / least:6.1f} ×")


if __name__ == "__main__":
    main()
