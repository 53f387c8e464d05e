"""The cheapest packs of one delivery that hold so many stones of one pairing.

A covering knapsack, solved exactly on whole minor units of money by dynamic programming over the number
of stones (Martello & Toth, Knapsack Problems, 1990, chapter 3: bounded problems by splitting each item
into lots of 1, 2, 4 …). Where one delivery must meet a need, all that the choice of sellers has to know
of it are these prices.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from planner.order.packs import Choice, Pack

_PACKS = 2**14
"""Weight of one minor unit of money against one pack: of equal prices the fewer packs win."""

_NEVER = np.iinfo(np.int64).max // 4
"""Price of stones that cannot be had."""


@dataclass(frozen=True)
class Bundle:
    """Packs of one delivery."""

    choices: tuple[Choice, ...]

    stones: int
    """How many stones of the need they meet."""


def cheapest_bundles(packs: Sequence[Pack], least: int, most: int, unit: int) -> tuple[Bundle, ...]:
    """Return the cheapest packs for every number of stones from `least` to `most`, each price once.

    Parameters
    ----------
    packs
        Packs of one pairing in one delivery.
    least, most
        Stones.
    unit
        Minor units in one unit of money; prices are whole in them.

    Returns
    -------
    Bundles from the fewest stones to the most: of those of one price that with the most stones. Empty
    where the packs do not hold even `least`.

    Raises
    ------
    OverflowError
        If all packs together cost more than 64 bits hold.

    """
    if most <= 0:
        return (Bundle((), max(most, 0)),)
    lots = [(pack, times) for pack in worth_a_look(packs) for times in _lots(pack, most)]
    if sum(times * _weight(pack, unit) for pack, times in lots) >= _NEVER:
        raise OverflowError(f"the packs of {packs[0].seller} cost more than can be reckoned with")
    prices = np.full(most + 1, _NEVER, dtype=np.int64)
    prices[0] = 0
    taken = np.zeros((len(lots), most + 1), dtype=bool)
    stones = np.arange(most + 1)
    for number, (pack, times) in enumerate(lots):
        other = prices[np.maximum(stones - times * pack.count, 0)] + times * _weight(pack, unit)
        np.less(other, prices, out=taken[number])
        prices = np.minimum(prices, other)
    found = []
    for wanted in range(max(least, 0), most + 1):
        last_of_price = wanted == most or prices[wanted + 1] // _PACKS > prices[wanted] // _PACKS
        if prices[wanted] < _NEVER and last_of_price:
            found.append(Bundle(_traced(lots, taken, wanted), wanted))
    return tuple(found)


def worth_a_look(packs: Iterable[Pack]) -> tuple[Pack, ...]:
    """Return the packs of one pairing in one delivery without those that another beats.

    A pack is beaten by one of at least as many stones for no more money, of which any number can be had.
    """
    kept: list[Pack] = []
    cheapest: Decimal | None = None
    for one in sorted(packs, key=lambda pack: (-pack.count, pack.price, pack.most is not None, pack.key)):
        if cheapest is not None and one.price >= cheapest:
            continue
        kept.append(one)
        if one.most is None:
            cheapest = one.price
    return tuple(reversed(kept))


def minor(amount: Decimal, unit: int) -> int:
    """Return an amount in minor units."""
    return int(amount * unit)


def _weight(pack: Pack, unit: int) -> int:
    """Return what decides between packs: the price, then one for the pack itself."""
    return minor(pack.price, unit) * _PACKS + 1


def _lots(pack: Pack, most: int) -> Iterator[int]:
    """Yield 1, 2, 4 … packs, which together make any number up to what is of use."""
    left, size = -(-most // pack.count), 1
    if pack.most is not None:
        left = min(left, pack.most)
    while left > 0:
        yield min(size, left)
        left -= size
        size *= 2


def _traced(lots: Sequence[tuple[Pack, int]], taken: np.ndarray, wanted: int) -> tuple[Choice, ...]:
    """Return the packs behind the price of so many stones."""
    times: dict[int, int] = {}
    packs: dict[int, Pack] = {}
    for number in range(len(lots) - 1, -1, -1):
        if wanted > 0 and taken[number, wanted]:
            pack, often = lots[number]
            times[id(pack)] = times.get(id(pack), 0) + often
            packs[id(pack)] = pack
            wanted = max(wanted - often * pack.count, 0)
    return tuple(Choice(packs[one], often) for one, often in reversed(times.items()))
