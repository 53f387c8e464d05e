"""The pack programme against trying every order there is, on small cases drawn at random."""

import random
from dataclasses import replace
from decimal import Decimal

import pytest
from made_orders import allowed, drawn, tried

from planner.cover import Need
from planner.order.packs import Pack, Parcel, Programme, key_of, unmet
from planner.order.solve import cheapest

CASES = 100


@pytest.mark.parametrize("one_seller", [True, False])
def test_no_order_is_cheaper(one_seller):
    possible = 0
    for seed in range(CASES):
        programme = drawn(seed, one_seller=one_seller)
        expected, found = tried(programme), cheapest(programme)
        if expected is None:
            assert found is None, seed
            assert unmet(programme)
            continue
        possible += 1
        assert (found.total, len(found.parcels)) == expected, seed
        assert found.gap == 0
        assert allowed(programme, [(one.pack, one.times) for one in found.choices])
        assert all(one.pack.most is None or one.times <= one.pack.most for one in found.choices)
    print(f"one seller {one_seller}: {possible} of {CASES} drawn cases can be met; all as cheap as by trying")
    assert CASES / 5 < possible < CASES


def test_no_order_with_samples_is_cheaper():
    possible = 0
    for seed in range(150):
        programme = drawn(seed, one_seller=True, samples=True)
        if len(programme.packs) > 8:
            continue
        expected, found = tried(programme), cheapest(programme)
        assert (None if found is None else (found.total, len(found.parcels))) == expected, seed
        possible += expected is not None
    assert possible > 20


def test_the_order_of_a_file_does_not_matter():
    for seed in range(40):
        programme = drawn(seed, one_seller=seed % 2 == 0)
        turned = {name: getattr(programme, name)[::-1] for name in ("needs", "packs", "parcels")}
        other = replace(programme, **turned)
        first, second = cheapest(programme), cheapest(other)
        if first is not None:
            assert first.total == second.total
            assert len(first.parcels) == len(second.parcels)
            assert sum(one.times for one in first.choices) == sum(one.times for one in second.choices)


def test_of_equal_prices_fewer_parcels_then_fewer_packs_win():
    need, fits = (Need("jet", "none", "SS20", 100), Need("clear", "none", "SS20", 100)), "SS20"
    price = Decimal("5.00")
    packs = tuple(
        Pack(f"{seller} {stone}", seller, (stone, "none", fits), 100, price)
        for seller, stone in [("a", "jet"), ("b", "clear"), ("c", "jet"), ("c", "clear")]
    )
    small = tuple(Pack(f"half {one.key}", one.seller, one.fits, 50, price / 2) for one in packs)
    free = tuple(Parcel(one, Decimal(0)) for one in "abc")
    for one_seller in (True, False):
        found = cheapest(Programme(need, packs + small, free, one_seller=one_seller))
        assert [one.seller for one in found.parcels] == ["c"]
        assert [one.times for one in found.choices] == [1, 1]


def test_money_is_exact():
    # A third of a cent, and prices that binary fractions cannot hold.
    need = (Need("jet", "none", "SS20", 3),)
    packs = (Pack("a", "s", ("jet", "none", "SS20"), 1, Decimal("0.1003")),)
    found = cheapest(Programme(need, packs, (Parcel("s", Decimal("0.2")),)))
    assert str(found.total) == "0.5009"


def test_nothing_needed_costs_nothing():
    found = cheapest(Programme((), (), ()))
    assert (found.total, found.choices, found.days) == (0, (), 0)


def test_a_search_that_is_cut_short_says_how_far_off_it_may_be():
    dice = random.Random(3)  # noqa: S311 - nothing secret
    needs = tuple(Need(f"stone-{one}", "none", "SS20", dice.randint(100, 3000)) for one in range(20))
    packs = tuple(
        Pack(f"{n} {s} {c}", s, key_of(need), c, Decimal(round(dice.uniform(6.6, 7.4) * c)) / 100)
        for n, need in enumerate(needs) for s in "abc" for c in (100, 144, 1000)
    )  # fmt: skip
    programme = Programme(needs, packs, tuple(Parcel(one, Decimal(9)) for one in "abc"), one_seller=False)
    exact, rough = cheapest(programme, time_limit=60.0), cheapest(programme, gap=0.05)
    assert exact.gap == 0
    assert rough.total - rough.gap <= exact.total <= rough.total
