"""What has to give when an order cannot be made: least amounts, found otherwise by trying."""

from dataclasses import replace
from decimal import Decimal

import pytest
from made_orders import drawn, tried

from planner.cover import Need
from planner.order.packs import Pack, Parcel, Programme, key_of, unmet
from planner.order.relax import Words, reasons, relaxations
from planner.order.solve import cheapest

WORDS = Words(lambda pairing: f"{pairing[0]} {pairing[2]}", lambda amount: f"{amount:.2f} EUR")
JET, CLEAR = ("jet", "none", "SS20"), ("clear", "none", "SS16")
NEEDS = (Need(*JET, 90, 10),)


def pack(seller, fits, count, price, days=5, most=None):
    return Pack(f"{seller} {fits[0]} {count}", seller, fits, count, Decimal(price), days, most)


def programme(*packs, needs=NEEDS, shipping="3.00", **rules):
    sellers = sorted({one.seller for one in packs})
    return Programme(
        needs, packs, tuple(Parcel(one, Decimal(shipping)) for one in sellers), **rules
    )  # fmt: skip


def told(asked):
    return {one.gives: one.text for one in relaxations(asked, WORDS)}


def test_over_the_budget_says_by_how_much():
    asked = programme(pack("a", JET, 100, "20.00"), budget=Decimal("10.60"))
    assert reasons(asked, WORDS) == (
        "The cheapest order comes to 23.00 EUR, which is 12.40 EUR more than the budget of 10.60 EUR.",
    )
    assert told(asked) == {("budget",): "12.40 EUR more than the budget"}


def test_fewer_spares_may_be_enough_and_as_few_as_it_takes():
    packs = pack("a", JET, 100, "20.00"), pack("a", JET, 48, "6.00")
    asked = programme(*packs, budget=Decimal("15.00"))
    ways = relaxations(asked, WORDS)
    # Two packs of 48 are 96: four of the ten spares go. Three of them cost 21.00.
    assert [one.text for one in ways] == [
        "without 4 of the 10 spare jet SS20",
        "6.00 EUR more than the budget",
    ]
    assert ways[0].solution.total == Decimal("15.00")


def test_too_late_says_how_many_days():
    packs = pack("slow", JET, 100, "5.00", days=12), pack("slower", JET, 100, "4.00", days=30)
    asked = programme(*packs, within=10)
    assert reasons(asked, WORDS) == ("Not enough of jet SS20 arrives in the 10 days left.",)
    assert told(asked) == {("date",): "2 days later"}


def test_two_sellers_may_have_what_one_has_not():
    packs = pack("a", JET, 60, "5.00", most=1), pack("b", JET, 60, "5.00", most=1)
    asked = programme(*packs)
    assert reasons(asked, WORDS) == ("No one seller can send all 100 of jet SS20 in one delivery.",)
    assert told(asked) == {("sellers",): "with jet SS20 from more than one seller or delivery"}


def test_two_things_give_only_where_one_is_not_enough():
    asked = programme(pack("slow", JET, 100, "20.00", days=12), within=10, budget=Decimal(20))
    assert told(asked) == {("budget", "date"): "3.00 EUR more than the budget, 2 days later"}
    cheaper = pack("slow", JET, 100, "16.00", days=13)
    assert told(replace(asked, packs=(*asked.packs, cheaper))) == {("date",): "3 days later"}


def test_what_nobody_offers_cannot_be_helped():
    asked = programme(pack("a", CLEAR, 100, "5.00"), budget=Decimal(1))
    assert reasons(asked, WORDS) == ("Nobody offers jet SS20.",)
    assert relaxations(asked, WORDS) == ()


def test_days_that_are_not_said_are_no_promise():
    asked = programme(pack("a", JET, 100, "5.00", days=None), within=10)
    assert cheapest(asked) is None
    (reason,) = reasons(asked, WORDS)
    assert reason.startswith("Not enough of jet SS20 arrives in the 10 days left (1 pack does not say")
    assert "ask" in reason


@pytest.mark.parametrize("one_seller", [True, False])
def test_each_way_out_is_the_least(one_seller):
    ways = 0
    for seed in range(70):
        asked = drawn(seed, one_seller=one_seller)
        best = tried(asked)
        if best is not None:
            asked = replace(asked, budget=best[0] * Decimal("0.8"))
        for way in relaxations(asked, WORDS):
            ways += 1
            assert not unmet(way.programme)
            if way.gives == ("budget",):
                assert way.solution.total == best[0]
            if way.gives == ("date",):
                _a_day_less_is_too_little(asked, way.programme.within)
            if way.gives == ("spares",):
                _a_spare_more_is_too_much(asked, way.programme)
    print(f"one seller {one_seller}: {ways} ways out, each the least of its kind")
    assert ways > 30


def _a_day_less_is_too_little(asked, within):
    found = tried(replace(asked, within=within))
    assert found is not None
    assert asked.budget is None or found[0] <= asked.budget
    found = tried(replace(asked, within=within - 1))
    assert found is None or found[0] > asked.budget


def _a_spare_more_is_too_much(asked, relaxed):
    """Try every way to leave out fewer spares, all told."""
    left_out = sum(was.spares - now.spares for was, now in zip(asked.needs, relaxed.needs, strict=True))
    if len(asked.needs) > 2:
        return
    first, *rest = asked.needs
    second = rest[0] if rest else Need("x", "none", "SS20", 0)
    for one in range(first.spares + 1):
        other = left_out - 1 - one
        if 0 <= other <= second.spares:
            needs = (Need(*key_of(first), first.worn, first.spares - one),)
            if rest:
                needs += (Need(*key_of(second), second.worn, second.spares - other),)
            found = tried(replace(asked, needs=needs))
            assert found is None or (asked.budget is not None and found[0] > asked.budget)
