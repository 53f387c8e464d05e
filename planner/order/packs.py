"""The pack programme: which packs cover what is needed for the least money, as a small integer programme.

A pack fits one pairing in one size. Shipping is paid once for each parcel (a seller's delivery), so
buying everything where it is cheapest is not the cheapest: the choice of sellers hangs together.
`planner.order.solve` decides it; here is what it is asked and what it answers, in exact decimals.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Literal, TypeAlias

from planner.cover.need import Need

Pairing: TypeAlias = tuple[str, str, str]
"""Stone id, coating id or ``none``, and size."""

Delivery: TypeAlias = Literal["now", "later"]
"""now: ordered today; later: ordered when a sample has been seen."""

TIME_LIMIT = 5.0
"""Seconds after which the best order found is told with its gap; 20 lines usually take far less than one."""


@dataclass(frozen=True)
class Pack:
    """A pack that can be bought."""

    key: str
    """What tells it from every other pack of the same delivery."""

    seller: str

    fits: Pairing
    """What is in it."""

    count: int
    """Stones in it, at least 1."""

    price: Decimal
    """Landed, without shipping, in the money of the order."""

    days: int | None = None
    """Days from today until it is there; None where nobody says."""

    most: int | None = None
    """How many of it can be had; None for as many as wanted."""

    delivery: Delivery = "now"


@dataclass(frozen=True)
class Parcel:
    """One delivery of one seller, and what it costs whatever is in it."""

    seller: str

    shipping: Decimal

    delivery: Delivery = "now"

    handling: bool = False
    """Whether handling is in `shipping`."""


@dataclass(frozen=True)
class Programme:
    """What is needed, what can be had, and what an order must keep to."""

    needs: tuple[Need, ...]
    """Each pairing and size once."""

    packs: tuple[Pack, ...]

    parcels: tuple[Parcel, ...]
    """One for every seller and delivery among the packs."""

    one_seller: bool = True
    """Whether each need must be met by one seller in one delivery."""

    budget: Decimal | None = None
    """Most that the order may cost, shipping included."""

    within: int | None = None
    """Days from today in which all must be there."""

    samples: frozenset[Pairing] = frozenset()
    """What is ordered as a sample first: one smallest pack now, the rest later from the same seller."""

    @cached_property
    def in_time(self) -> tuple[Pack, ...]:
        """Packs of what is needed that are there in time, in an order of their own, whatever the file's."""
        wanted = {key_of(need) for need in self.needs}
        packs = (one for one in self.packs if one.fits in wanted and arrives(one, self.within))
        return tuple(sorted(packs, key=lambda one: (one.fits, one.seller, one.delivery, one.count, one.key)))


@dataclass(frozen=True)
class Choice:
    """A pack to buy, and how often."""

    pack: Pack

    times: int

    @property
    def price(self) -> Decimal:
        """All of them, without shipping."""
        return self.pack.price * self.times

    @property
    def stones(self) -> int:
        """Stones in all of them."""
        return self.pack.count * self.times


@dataclass(frozen=True)
class Solution:
    """The packs to buy."""

    choices: tuple[Choice, ...]

    parcels: tuple[Parcel, ...]
    """The deliveries paid for."""

    gap: Decimal = Decimal(0)
    """No order costs less than the total minus this; 0 when it is proven to be the cheapest."""

    @property
    def total(self) -> Decimal:
        """Packs and shipping."""
        return sum((one.price for one in self.choices), Decimal(0)) + sum(
            (one.shipping for one in self.parcels), Decimal(0)
        )

    @property
    def days(self) -> int | None:
        """Days from today until the last pack is there; None where a seller does not say."""
        days = [one.pack.days for one in self.choices]
        known = [one for one in days if one is not None]
        return max(known, default=0) if len(known) == len(days) else None

    def stones(self, pairing: Pairing) -> int:
        """Return the stones of one pairing in all packs."""
        return sum(one.stones for one in self.choices if one.pack.fits == pairing)


def key_of(need: Need) -> Pairing:
    """Return what is needed, without how many."""
    return need.stone, need.coating, need.size


def arrives(pack: Pack, within: int | None) -> bool:
    """Return whether a pack is known to be there in so many days; None asks nothing."""
    return within is None or (pack.days is not None and pack.days <= within)


def sample_packs(packs: Iterable[Pack]) -> dict[tuple[str, Pairing], Pack]:
    """Return the pack each seller would send as a sample of each pairing: the smallest, then the cheapest."""
    found: dict[tuple[str, Pairing], Pack] = {}
    for one in packs:
        if one.delivery == "now" and one.most != 0:
            at = (one.seller, one.fits)
            found[at] = min(one, found.get(at, one), key=lambda pack: (pack.count, pack.price, pack.key))
    return found


def sources(programme: Programme, need: Need) -> dict[tuple[str, Delivery], tuple[Pack, ...]]:
    """Return the deliveries that could meet a need alone, each with its packs; none when none has enough.

    A sampled need is met by a later delivery; its packs then begin with the sample from the same seller.
    """
    mine = [one for one in programme.in_time if one.fits == key_of(need)]
    groups: dict[tuple[str, Delivery], tuple[Pack, ...]] = {}
    sampled = key_of(need) in programme.samples
    first = sample_packs(mine) if sampled else {}
    for one in mine:
        if not sampled:
            at = (one.seller, one.delivery)
            groups[at] = (*groups.get(at, ()), one)
        elif (one.seller, one.fits) in first:
            at = (one.seller, "later")
            groups.setdefault(at, (first[one.seller, one.fits],))
            if one.delivery == "later":
                groups[at] = (*groups[at], one)
    return {
        at: packs for at, packs in groups.items()
        if _at_most(packs, sampled=sampled) >= need.count
    }  # fmt: skip


def _at_most(packs: Iterable[Pack], *, sampled: bool = False) -> float:
    """Return how many stones can be had of these packs."""
    return sum(
        one.count * (1 if sampled and one.delivery == "now" else math.inf if one.most is None else one.most)
        for one in packs
    )


def unmet(programme: Programme) -> tuple[Need, ...]:
    """Return the needs that no packs can meet, money aside; when there is none, an order exists."""
    return tuple(
        need for need in programme.needs
        if need.count and not (
            sources(programme, need)
            if alone(programme, need)
            else _at_most(one for one in programme.in_time if one.fits == key_of(need)) >= need.count
        )
    )  # fmt: skip


def alone(programme: Programme, need: Need) -> bool:
    """Return whether one delivery must meet a need: what a sample shows holds for its own seller only."""
    return programme.one_seller or key_of(need) in programme.samples


def scale(amounts: Iterable[Decimal]) -> int:
    """Return the power of ten which makes whole numbers of all amounts."""
    exponents = [one.normalize().as_tuple().exponent for one in amounts]
    return 10 ** max((-one for one in exponents if isinstance(one, int)), default=0) if exponents else 1


def used(parcels: Iterable[Parcel], choices: Iterable[Choice]) -> Iterator[Parcel]:
    """Yield the parcels that the choices come in, in their order."""
    sent = {(one.pack.seller, one.pack.delivery) for one in choices}
    yield from (one for one in parcels if (one.seller, one.delivery) in sent)
