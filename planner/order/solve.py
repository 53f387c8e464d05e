"""The pack programme as an integer programme for HiGHS.

A column is something to buy: for a need that one delivery must meet, each delivery's cheapest packs for
it; for any other need, one pack, any number of times. Further columns say which parcels are sent and,
where that may be, how many spares are left out. Rows: each need is met, and a parcel that holds anything
is paid for.
"""

import math
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

import numpy as np

from planner.cover.need import Need
from planner.order.bundle import cheapest_bundles, minor, worth_a_look
from planner.order.packs import (
    TIME_LIMIT,
    Choice,
    Delivery,
    Pack,
    Programme,
    Solution,
    alone,
    key_of,
    scale,
    sources,
    unmet,
    used,
)

_PARCELS, _PACKS = 0.3, 0.1
"""What all parcels, and all packs, together weigh in the choice between orders of one price, in minor units
of money: less than one unit, so that they never decide against the price."""

_SLIP = 1e-4
"""What HiGHS may be off by in a bound, minor units."""


@dataclass
class _Model:
    """An integer programme while it is put together; every column is a whole number from 0."""

    buys: dict[int, tuple[Choice, ...]] = field(default_factory=dict)
    """What columns buy."""

    upper: list[float] = field(default_factory=list)
    price: list[int] = field(default_factory=list)
    """Minor units."""

    rows: list[tuple[dict[int, float], float, float]] = field(default_factory=list)
    """Terms by column, and what they must add up to at least and at most."""

    def column(self, upper: float = 1.0, price: int = 0) -> int:
        """Add a column and return its place."""
        self.upper.append(upper)
        self.price.append(price)
        return len(self.upper) - 1

    def row(self, terms: dict[int, float], low: float = -math.inf, high: float = math.inf) -> None:
        """Ask that the sum of terms lies from `low` to `high`."""
        self.rows.append((terms, low, high))

    def solve(self, objective: np.ndarray, time_limit: float, gap: float) -> Any:
        """Return HiGHS's answer to the least `objective`; None where there is none.

        Raises
        ------
        TimeoutError
            If time ran out before the first answer.

        """
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        starts = np.cumsum([0] + [len(terms) for terms, _, _ in self.rows])
        places = np.array([one for terms, _, _ in self.rows for one in terms], dtype=np.int32)
        values = np.array([float(one) for terms, _, _ in self.rows for one in terms.values()])
        matrix = csr_array((values, places, starts), shape=(len(self.rows), len(self.upper)))
        low, high = (np.array([row[side] for row in self.rows]) for side in (1, 2))
        found = milp(
            objective,
            integrality=np.ones(len(self.upper), dtype=np.int64),
            bounds=Bounds(0, np.array(self.upper)),
            constraints=LinearConstraint(matrix, low, high),
            options={"time_limit": max(time_limit, 0.01), "mip_rel_gap": gap},
        )
        if found.x is None and found.status == 1:
            raise TimeoutError(f"no order was found in {time_limit:g} s")
        return None if found.x is None else found


@dataclass(frozen=True)
class _Order:
    """A programme and its model."""

    programme: Programme
    model: _Model
    sent: dict[tuple[str, Delivery], int]
    """Columns of the parcels."""
    short: dict[int, tuple[int, int]]
    """Of columns that leave out spares: which need's, and how many each time."""
    unit: int
    """Minor units in one unit of money."""

    @property
    def ties(self) -> np.ndarray:
        """Weight of each column beside its price: parcels, then packs; below one minor unit together.

        A pack of a later delivery weighs half as much again: what can come now need not wait.
        """
        weights = np.zeros(len(self.model.upper))
        packs = {
            place: sum(one.times * (1.5 if one.pack.delivery == "later" else 1.0) for one in choices)
            for place, choices in self.model.buys.items()
        }
        most = sum(weight * self.model.upper[place] for place, weight in packs.items())
        for place, weight in packs.items():
            weights[place] = _PACKS * weight / max(most, 1.0)
        weights[list(self.sent.values())] = _PARCELS / max(len(self.sent), 1)
        return weights

    def solution(self, x: np.ndarray) -> Solution:
        """Return the order that a solved model means."""
        choices = tuple(
            Choice(one.pack, one.times * round(x[place]))
            for place, found in self.model.buys.items() if round(x[place])
            for one in found
        )  # fmt: skip
        return Solution(choices, tuple(used(self.programme.parcels, choices)))


def cheapest(programme: Programme, *, time_limit: float = TIME_LIMIT, gap: float = 0.0) -> Solution | None:
    """Return the cheapest order, its budget aside; None where there is none.

    Of orders that cost the same, the one with fewer parcels is taken, then with fewer packs.

    Parameters
    ----------
    programme
        What is needed and what can be had. Its budget is not looked at: nothing is cheaper.
    time_limit
        Seconds to search for; then the best order found is returned with its gap.
    gap
        Share of the total at which the search may stop, 0 to prove the cheapest.

    Raises
    ------
    TimeoutError
        If no order at all was found in that time.

    """
    if unmet(programme):
        return None
    wanted = replace(programme, needs=tuple(need for need in programme.needs if need.count))
    if not wanted.needs:
        return Solution((), ())
    order = _order(wanted)
    found = order.model.solve(np.array(order.model.price, dtype=float) + order.ties, time_limit, gap)
    if found is None:
        return None
    solution = order.solution(found.x)
    # Ties weigh less than one unit in all, so whole units without them are at least this many.
    bound = math.ceil(found.mip_dual_bound - _PARCELS - _PACKS - _SLIP)
    left = max(0, minor(solution.total, order.unit) - bound)
    return Solution(solution.choices, solution.parcels, Decimal(left) / order.unit)


def fewest_short(programme: Programme, time_limit: float) -> tuple[Need, ...] | None:
    """Return the needs with only so many spares left out as time and budget ask; None where that fails.

    Raises
    ------
    TimeoutError
        If nothing was found in that time.

    """
    order = _order(programme, short=True)
    model = order.model
    if programme.budget is not None:
        terms = {place: float(price) for place, price in enumerate(model.price) if price}
        model.row(terms, high=math.floor(programme.budget * order.unit))
    objective = np.zeros(len(model.upper))
    for place, (_, stones) in order.short.items():
        objective[place] = stones
    found = model.solve(objective, time_limit, 0.0)
    if found is None:
        return None
    less = dict.fromkeys(range(len(programme.needs)), 0)
    for place, (number, stones) in order.short.items():
        less[number] += stones * round(found.x[place])
    return tuple(
        Need(*key_of(need), need.worn, need.spares - less[number])
        for number, need in enumerate(programme.needs)
    )


def _order(programme: Programme, *, short: bool = False) -> _Order:
    """Return the model of a programme; with `short`, spares may be left out."""
    unit = scale([one.price for one in programme.packs] + [one.shipping for one in programme.parcels])
    model = _Model()
    sent = {
        (one.seller, one.delivery): model.column(price=minor(one.shipping, unit)) for one in programme.parcels
    }
    order = _Order(programme, model, sent, {}, unit)
    for number, need in enumerate(programme.needs):
        if alone(programme, need):
            _one_delivery(order, number, need, need.worn if short else need.count)
        else:
            _any_delivery(order, number, need, need.spares if short else 0)
    return order


def _one_delivery(order: _Order, number: int, need: Need, least: int) -> None:
    """Ask that one delivery meets a need, with at least so many stones."""
    model, chosen = order.model, {}
    for packs in sources(order.programme, Need(*key_of(need), least)).values():
        # A sample comes first, once, and counts.
        first = packs[:1] if key_of(need) in order.programme.samples else ()
        had = sum(one.count for one in first)
        for found in cheapest_bundles(packs[len(first) :], least - had, need.count - had, order.unit):
            choices = (*(Choice(one, 1) for one in first), *found.choices)
            place = model.column(price=sum(minor(one.price, order.unit) for one in choices))
            model.buys[place] = choices
            chosen[place] = 1.0
            if (left := need.count - had - found.stones) > 0:
                order.short[place] = number, left
            for at in {(one.pack.seller, one.pack.delivery) for one in choices}:
                model.row({place: 1.0, order.sent[at]: -1.0}, high=0.0)
    model.row(chosen, low=1.0, high=1.0)


def _any_delivery(order: _Order, number: int, need: Need, spares: int) -> None:
    """Ask that packs of any deliveries meet a need together, without so many spares if need be."""
    model, terms = order.model, {}
    groups: dict[tuple[str, Delivery], list[Pack]] = {}
    for one in order.programme.in_time:
        if one.fits == key_of(need):
            groups.setdefault((one.seller, one.delivery), []).append(one)
    for packs in groups.values():
        for one in worth_a_look(packs):
            place = model.column(_often(one, need.count), minor(one.price, order.unit))
            model.buys[place] = (Choice(one, 1),)
            terms[place] = float(one.count)
            model.row(
                {place: 1.0, order.sent[one.seller, one.delivery]: -max(model.upper[place], 1.0)}, high=0.0
            )
    if spares:
        place = model.column(spares)
        terms[place] = 1.0
        order.short[place] = number, 1
    model.row(terms, low=need.count)


def _often(pack: Pack, count: int) -> int:
    """Return the most of a pack that could be of use."""
    use = -(-count // pack.count)
    return use if pack.most is None else min(use, pack.most)
