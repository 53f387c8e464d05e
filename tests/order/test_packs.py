"""The pack programme against trying every order there is, on small cases drawn at random."""

import random
from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest

from planner.cover import Need
from planner.order.packs import Pack, Parcel, Programme, cheapest, key_of, unmet

CASES = 150


def drawn(seed, *, one_seller, samples=False):
    """Return a small programme: up to 3 needs, 3 sellers, 7 packs."""
    dice = random.Random(seed)  # noqa: S311 - nothing secret
    needs = tuple(
        Need(f"stone-{one}", "none", "SS20", dice.randint(1, 40), dice.randint(0, 10))
        for one in range(dice.randint(1, 3))
    )
    sellers = [f"seller {one}" for one in range(dice.randint(1, 3))]
    packs = [
        Pack(
            key=str(number), seller=dice.choice(sellers), fits=key_of(dice.choice(needs)),
            count=dice.choice([10, 12, 20, 24, 50]), price=Decimal(dice.randint(50, 900)) / 100,
            days=dice.choice([None, 2, 5, 9, 14]), most=dice.choice([None, None, 0, 1, 2]),
        )
        for number in range(dice.randint(1, 7))
    ]  # fmt: skip
    parcels = [Parcel(one, Decimal(dice.choice([0, 150, 395, 990])) / 100) for one in sellers]
    sampled = frozenset(key_of(need) for need in needs if samples and dice.random() < 0.6)
    if samples:
        packs += [
            replace(one, days=None if one.days is None else one.days + 12, delivery="later")
            for one in packs[:5]
        ]
        parcels += [replace(one, delivery="later") for one in parcels]
    within = dice.choice([None, 5, 9, 14, 23, 26])
    return Programme(
        needs, tuple(packs), tuple(parcels), one_seller=one_seller, within=within, samples=sampled
    )


def allowed(programme, bought):
    """Return whether an order, as (pack, times), keeps every rule; written without the planner's own."""
    if programme.within is not None and any((pack.days or 99) > programme.within for pack, _ in bought):
        return False
    for need in programme.needs:
        mine = [(pack, times) for pack, times in bought if pack.fits == key_of(need)]
        if sum(pack.count * times for pack, times in mine) < need.count:
            return False
        if key_of(need) in programme.samples:
            now = [(pack, times) for pack, times in mine if pack.delivery == "now"]
            if len(now) != 1 or now[0][1] != 1 or len({pack.seller for pack, _ in mine}) > 1:
                return False
            sample = now[0][0]
            rivals = [
                pack for pack in programme.packs
                if pack.fits == sample.fits and pack.seller == sample.seller and pack.delivery == "now"
                and pack.most != 0 and (programme.within is None or (pack.days or 99) <= programme.within)
            ]  # fmt: skip
            if sample.count > min(pack.count for pack in rivals):
                return False
        elif programme.one_seller and len({(pack.seller, pack.delivery) for pack, _ in mine}) > 1:
            return False
    return True


def tried(programme):
    """Return the least (cost, parcels) over all orders, or None."""
    counts = {key_of(need): need.count for need in programme.needs}
    ranges = []
    for pack in programme.packs:
        most = -(-counts[pack.fits] // pack.count)
        ranges.append(range(min(most, most if pack.most is None else pack.most) + 1))
    shipping = {(one.seller, one.delivery): one.shipping for one in programme.parcels}
    best = None
    for times in product(*ranges):
        bought = [(pack, n) for pack, n in zip(programme.packs, times, strict=True) if n]
        sent = {(pack.seller, pack.delivery) for pack, _ in bought}
        cost = sum(pack.price * n for pack, n in bought) + sum(shipping[one] for one in sent)
        if (best is None or (cost, len(sent)) < best) and allowed(programme, bought):
            best = cost, len(sent)
    return best


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
    for seed in range(CASES):
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
