"""How long the pack programme takes beside a plain greedy choice and trying everything; gates nothing.

Drawn at random: needs of 100 to 3,000 stones, packs from two dozen to ten gross, unit prices that fall
with the size of the pack, shipping up to 30. The greedy choice takes for each need the seller whose packs
are cheapest for it alone, largest packs first, and pays shipping as it falls. Trying everything is for
the small case only. Run: ``python tests/speed/pack_speed.py``.
"""

import random
import statistics
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import product

from planner.cover import Need
from planner.order.packs import Choice, Pack, Parcel, Programme, Solution, key_of, sources, used
from planner.order.solve import cheapest

CASES = 12
COUNTS = (24, 100, 144, 288, 720, 1000, 1440)


def drawn(seed: int, lines: int, offers: int, sellers: int, *, one_seller: bool) -> Programme:
    """Return a programme in which every need can be met."""
    dice = random.Random(seed)  # noqa: S311 - nothing secret
    needs = tuple(
        Need(f"stone-{one}", "none", "SS20", dice.randint(100, 3000), dice.randint(20, 150))
        for one in range(lines)
    )
    packs = []
    for number in range(offers):
        count = dice.choice(COUNTS)
        unit = dice.uniform(0.05, 0.09) * (1.1 - 0.3 * count / COUNTS[-1])
        price = Decimal(max(1, round(100 * unit * count))) / 100
        seller = f"seller {dice.randrange(sellers)}"
        packs.append(
            Pack(str(number), seller, key_of(needs[number % lines]), count, price, dice.randint(2, 30))
        )
    parcels = tuple(Parcel(f"seller {one}", Decimal(dice.randint(0, 3000)) / 100) for one in range(sellers))
    return Programme(needs, tuple(packs), parcels, one_seller=one_seller)


def greedy(programme: Programme) -> Solution:
    """Return an order made need by need."""
    shipping = {one.seller: one.shipping for one in programme.parcels}
    choices: list[Choice] = []
    for need in programme.needs:
        best: tuple[Decimal, list[Choice]] | None = None
        for (seller, _), packs in sources(programme, need).items():
            mine, left = [], need.count
            for pack in sorted(packs, key=lambda one: -one.count):
                times = left // pack.count
                if times:
                    mine.append(Choice(pack, times))
                    left -= times * pack.count
            if left > 0:
                mine.append(Choice(min(packs, key=lambda one: (one.count < left, one.price)), 1))
                if sum(one.stones for one in mine) < need.count:
                    mine[-1] = Choice(max(packs, key=lambda one: one.count), 1)
            cost = sum((one.price for one in mine), Decimal(0)) + shipping[seller]
            if best is None or cost < best[0]:
                best = cost, mine
        assert best is not None
        choices += best[1]
    return Solution(tuple(choices), tuple(used(programme.parcels, choices)))


def tried(programme: Programme) -> Decimal:
    """Return the least total over all orders."""
    counts = {key_of(need): need.count for need in programme.needs}
    shipping = {one.seller: one.shipping for one in programme.parcels}
    ranges = [range(-(-counts[one.fits] // one.count) + 1) for one in programme.packs]
    return min(_totals(programme, ranges, counts, shipping))


def _totals(
    programme: Programme, ranges: list[range], counts: dict[tuple[str, str, str], int],
    shipping: dict[str, Decimal],
) -> Iterator[Decimal]:  # fmt: skip
    for times in product(*ranges):
        had = dict.fromkeys(counts, 0)
        for pack, number in zip(programme.packs, times, strict=True):
            had[pack.fits] += pack.count * number
        if all(had[one] >= count for one, count in counts.items()):
            bought = [(pack, number) for pack, number in zip(programme.packs, times, strict=True) if number]
            sellers = {pack.seller for pack, _ in bought}
            yield sum((pack.price * n for pack, n in bought), Decimal(0)) + sum(
                (shipping[one] for one in sellers), Decimal(0)
            )


def timed(solve: Callable[[Programme], object], programme: Programme) -> tuple[float, object]:
    """Return how long it took, ms, and the answer."""
    start = time.perf_counter()
    answer = solve(programme)
    return 1000 * (time.perf_counter() - start), answer


def main() -> None:
    """Print medians and the worst of all cases, and what the plain ways cost."""
    cheapest(drawn(99, 1, 4, 1, one_seller=True))  # SciPy is imported before the clock runs
    for one_seller in (True, False):
        rule = "one seller a pairing" if one_seller else "any mix of sellers"
        exact, plain, more, gaps = [], [], [], []
        for seed in range(CASES):
            programme = drawn(seed, 20, 200, 8, one_seller=one_seller)
            spent, found = timed(cheapest, programme)
            took, rough = timed(greedy, programme)
            assert isinstance(found, Solution)
            assert isinstance(rough, Solution)
            exact.append(spent)
            plain.append(took)
            more.append(float(rough.total / found.total) - 1)
            gaps.append(float(found.gap / found.total))
        print(
            f"200 offers, 20 lines, {rule}: {statistics.median(exact):.0f} ms, at most {max(exact):.0f} ms, "
            f"proven in {sum(gap == 0 for gap in gaps)} of {CASES}, else within {100 * max(gaps):.1f} %; "
            f"greedy {statistics.median(plain):.0f} ms "
            f"({statistics.median(exact) / statistics.median(plain):.1f} ×) and "
            f"{100 * statistics.median(more):.0f} % dearer, at most {100 * max(more):.0f} %"
        )
    # Small enough for trying: few stones, so that few packs of each are of use.
    small = drawn(1, 3, 13, 3, one_seller=False)
    needs = tuple(Need(*key_of(need), 400) for need in small.needs)
    packs = tuple(one for one in small.packs if one.count > 24)
    small = Programme(needs, packs, small.parcels, one_seller=False)
    spent, found = timed(cheapest, small)
    took, best = timed(tried, small)
    assert isinstance(found, Solution)
    assert found.total == best
    print(
        f"{len(small.packs)} offers, 3 lines: {spent:.1f} ms; trying all orders {took:.0f} ms "
        f"({took / spent:.0f} ×), the same total {best}"
    )


if __name__ == "__main__":
    main()
