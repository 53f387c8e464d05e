"""From offers to a plan: landed packs, dates counted back, samples, the drawer, and what to ask."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from planner.catalogue import load
from planner.cover import Need, needs
from planner.cover.work import hours
from planner.data import demo
from planner.job import Acceptance, Area, Job, Line
from planner.order import order_list
from planner.order.dates import HOURS_A_DAY, LOOK_DAYS, REST_DAYS, deadline
from planner.order.landed import Rates
from planner.order.market import market
from planner.order.offer import Offer
from planner.order.packs import Programme, Solution
from planner.order.plan import Circumstances, plan_order
from planner.order.relax import Relaxation
from planner.order.sample import sample_advised
from planner.order.stock import Lot
from planner.order.way_out import changes_for
from planner.reading.concern import Concern
from planner.refusal import Refusal
from planner.say import order as said
from planner.say import order_advice

TODAY = date(2031, 1, 10)
BLUE = ("pulley-blue", "none", "SS20")
NO_RATE = (
    "Rows 4, 5 are left out: the job has no rate for GBP; add rates = { GBP = … }, what one GBP costs in EUR."
)
NAVY = ("marlinspike-navy", "none", "SS16")


@pytest.fixture(scope="module")
def palette():
    return load(demo())


def job(**fields):
    return Job(title="Hoop", swatch="leotard-blue", venues=("rink",), **fields)


def offer(row, seller, pairing, count, price, **fields):
    stone, coating, size = pairing
    nothing = dict.fromkeys(("duty", "tax", "handling"), Decimal(0))
    usual = {
        "currency": "EUR",
        "shipping": Decimal(5),
        "delivery_days": 4,
        "returns": 14,
        "material": "glass",
    }
    told = {**usual, **nothing, **fields}
    return Offer(
        row=row, seller=seller, title=f"{stone} {size}", count=count, price=Decimal(price), size=size,
        stone_id=stone, coating_id=coating, **told,
    )  # fmt: skip


def known(palette, needs, day=TODAY, lots=(), samples=(), **fields):
    asked = job(**fields)
    return Circumstances(
        asked, palette, tuple(needs), deadline(asked, needs, day), tuple(lots), frozenset(samples)
    )


def test_a_pack_lands_with_duty_and_tax_and_shipping_once(palette):
    rates = Rates("EUR", {"USD": Decimal("0.913")})
    priced = market(
        [
            offer(2, "a", BLUE, 100, "10.01", currency="USD", duty=Decimal("1.00"), tax=Decimal("0.50")),
            offer(3, "a", BLUE, 200, "19.00", currency="USD", handling=Decimal("2.50")),
        ],
        [BLUE], palette, rates, TODAY,
    )  # fmt: skip
    # 11.51 × 0.913 = 10.50863; shipping 5 × 0.913 = 4.565, half a cent up; with handling 7.50 × 0.913.
    assert [one.price for one in priced.packs] == [Decimal("10.51"), Decimal("17.35")]
    assert [one.shipping for one in priced.parcels] == [Decimal("6.85")]
    assert [one.handling for one in priced.parcels] == [True]
    assert priced.notes == (
        "a states shipping with handling of 4.57 and 6.85; the highest is counted, once.",
    )


def test_a_seller_is_one_however_spelt(palette):
    offers = [offer(2, "Hem Tape", BLUE, 100, "3.00"), offer(3, "hem  tape", NAVY, 100, "2.00")]
    plan = plan_order(offers, known(palette, (Need(*BLUE, 90), Need(*NAVY, 90)))).plan
    assert [one.seller for one in plan.parcels] == ["Hem Tape"]
    assert plan.total == Decimal("10.00")


def test_what_is_left_out_is_told(palette):
    found = market(
        [
            offer(2, "a", BLUE, 100, "1", material="acrylic"),
            offer(3, "a", BLUE, 100, "1", until=TODAY - timedelta(days=1)),
            offer(4, "a", BLUE, 100, "1", currency="GBP"),
            offer(5, "b", BLUE, 100, "1", currency="GBP"),
            offer(6, "b", NAVY, 100, "1"),
            offer(7, "b", BLUE, 100, "1", until=TODAY),
            offer(8, "b", BLUE, 100, "1", available=0),
        ],
        [BLUE], palette, Rates("EUR", {}), TODAY,
    )  # fmt: skip
    assert [one.key for one in found.packs] == ["7"]
    assert found.notes == (
        "Row 2 is left out: it is acrylic, and Pulley blue was read as glass.",
        "Row 3 is left out: its offer ended on 2031-01-09.",
        "Row 8 is left out: it is sold out.",
        NO_RATE,
    )


def test_no_more_packs_are_bought_than_the_seller_has(palette):
    offers = [offer(2, "a", BLUE, 100, "3.00", available=2), offer(3, "a", BLUE, 100, "9.00")]
    plan = plan_order(offers, known(palette, (Need(*BLUE, 250),))).plan
    assert {line.offer.row: line.times for one in plan.parcels for line in one.lines} == {2: 2, 3: 1}
    short = plan_order(offers[:1], known(palette, (Need(*BLUE, 250),)))
    assert short.reasons == ("Only 200 of the 250 Pulley blue, uncoated, SS20 are offered.",)


def test_the_sample_and_the_rest_share_what_the_seller_has(palette):
    offers = [offer(2, "a", BLUE, 100, "3.00", available=3)]
    plan = plan_order(offers, known(palette, (Need(*BLUE, 300),), samples=[BLUE])).plan
    assert sum(line.times for one in plan.parcels for line in one.lines) == 3
    more = plan_order(offers, known(palette, (Need(*BLUE, 301),), samples=[BLUE]))
    assert more.reasons


def test_the_day_is_counted_back_from_the_event():
    needs, event = (Need(*BLUE, 3000, 100),), date(2031, 3, 14)
    due = deadline(job(event=event), needs, TODAY)
    setting = hours(job(), needs).most / HOURS_A_DAY
    assert setting <= (event - due.by).days - REST_DAYS < setting + 1
    assert deadline(job(event=event, stones_by=date(2031, 3, 1)), needs, TODAY).by == date(2031, 3, 1)
    assert deadline(job(), needs, TODAY).within is None


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"event": date(2031, 1, 9)}, "field event: found 2031-01-09, which is past"),
        ({"stones_by": date(2030, 1, 1)}, "field stones_by: found 2030-01-01, which is past"),
        (
            {"event": date(2031, 2, 1), "stones_by": date(2031, 2, 2)},
            "field stones_by: found 2031-02-02, which is after the event; it must be 2031-02-01",
        ),
    ],
)
def test_days_that_cannot_be_are_one_sentence(fields, said):
    with pytest.raises(Refusal) as problem:
        deadline(job(**fields), (), TODAY)
    assert str(problem.value).startswith(said)


def test_where_one_pack_holds_all_there_is_no_rest_to_wait_with(palette):
    offers = [offer(2, "a", BLUE, 1000, "30.00")]
    plan = plan_order(offers, known(palette, (Need(*BLUE, 300),), samples=[BLUE])).plan
    assert not plan.sample_first
    assert "holds all that is needed" in plan.sample_note
    assert not any("sample" in one for parcel in plan.parcels for one in parcel.ask)


def test_a_sample_comes_first_and_counts(palette):
    offers = [
        offer(2, "a", BLUE, 100, "3.00"),
        offer(3, "a", BLUE, 1000, "20.00"),
        offer(4, "a", NAVY, 100, "2.00"),
    ]
    needs = (Need(*BLUE, 1000, 60), Need(*NAVY, 90, 10))
    plan = plan_order(offers, known(palette, needs, samples=[BLUE], stones_by=date(2031, 3, 1))).plan
    now, later = plan.parcels
    assert [(one.offer.row, one.times, one.sample) for one in now.lines] == [(2, 1, True), (4, 1, False)]
    assert [(one.offer.row, one.times, one.sample) for one in later.lines] == [(3, 1, False)]
    assert now.arrives == TODAY + timedelta(days=4)
    assert later.ordered == now.arrives + timedelta(days=LOOK_DAYS)
    assert plan.arrives == later.arrives == later.ordered + timedelta(days=4)
    assert plan.total == Decimal("35.00")
    # At once: 1000 and 100 in one parcel.
    assert plan.sample_extra == Decimal("5.00")
    assert "from the same batch as the sample" in later.ask[0]
    latest = TODAY + timedelta(days=plan.days_to_spare)
    assert f"order the samples by {latest} at the latest" in " ".join(order_advice.sample(plan))
    # On that day it still fits, and on the next it does not.
    asked = {"samples": [BLUE], "stones_by": date(2031, 3, 1)}
    assert plan_order(offers, known(palette, needs, day=latest, **asked)).plan.sample_first
    tight = plan_order(offers, known(palette, needs, day=latest + timedelta(days=1), **asked)).plan
    assert not tight.sample_first
    assert "A sample first does not fit the date or the budget" in tight.sample_note
    assert "1 day later" in tight.sample_note


def test_the_rest_is_not_ordered_from_an_offer_that_will_have_ended(palette):
    soon = offer(3, "a", BLUE, 1000, "20.00", until=TODAY + timedelta(days=3))
    plan = plan_order(
        [offer(2, "a", BLUE, 100, "3.00"), soon], known(palette, (Need(*BLUE, 1000),), samples=[BLUE])
    ).plan
    assert [(one.offer.row, one.times) for one in plan.parcels[1].lines] == [(2, 9)]


def test_the_drawer_comes_first(palette):
    lots = [Lot(stone=BLUE[0], size=BLUE[2], count=80, note="From spring.")]
    offers = [offer(2, "a", BLUE, 100, "3.00")]
    plan = plan_order(offers, known(palette, (Need(*BLUE, 150, 20),), lots=lots)).plan
    assert (plan.covers[0].from_drawer, plan.covers[0].bought, plan.covers[0].left_over) == (80, 100, 10)
    assert "another batch and may look different" in " ".join(order_advice.drawer(plan))
    plan = plan_order([], known(palette, (Need(*BLUE, 70, 10),), lots=lots)).plan
    assert (plan.total, plan.parcels) == (0, ())
    assert "another batch" not in " ".join(order_advice.drawer(plan))


def test_what_nobody_offers_is_told_and_the_rest_planned(palette):
    needs = (Need(*BLUE, 90), Need(*NAVY, 90))
    outcome = plan_order([offer(2, "a", BLUE, 100, "3.00")], known(palette, needs))
    assert outcome.plan.missing == ("Nobody offers Marlinspike navy, uncoated, SS16: 90 are needed.",)
    assert outcome.plan.total == Decimal("8.00")
    assert outcome.plan.covers[1].left_over == -90
    nothing = plan_order([], known(palette, needs))
    assert nothing.plan is None
    assert len(nothing.reasons) == 2


def test_an_order_that_cannot_be_made_says_what_would_do(palette):
    offers = [offer(2, "a", BLUE, 100, "3.00"), offer(3, "b", BLUE, 100, "1.00", delivery_days=20)]
    outcome = plan_order(
        offers, known(palette, (Need(*BLUE, 90),), budget=Decimal(7), stones_by=date(2031, 1, 15))
    )
    assert outcome.plan is None
    assert outcome.reasons == (
        "The cheapest order comes to 8.00 EUR, which is 1.00 EUR more than the budget of 7.00 EUR.",
    )
    assert [one.text for one in outcome.ways] == ["1.00 EUR more than the budget", "15 days later"]


def test_what_to_ask_never_claims_a_lot(palette):
    offers = [
        offer(2, "a", BLUE, 100, "3.00", shipping=None, delivery_days=None, duty=None),
    ]  # fmt: skip
    plan = plan_order(offers, known(palette, (Need(*BLUE, 450),))).plan
    asked = " ".join(plan.parcels[0].ask)
    assert "Ask for all 5 packs of Pulley blue, uncoated, SS20 from one batch." in asked
    assert "Ask how many days delivery takes." in asked
    assert "shipping, duty are not stated" in asked.lower()
    assert "Not included, because a does not say: shipping, duty." in said.cost(plan)
    assert plan.arrives is None
    assert "not known" in " ".join(said.dates(plan))


@pytest.mark.parametrize(
    ("shipping", "told", "cell"), [(None, "not stated", ""), (Decimal(0), "0.00 EUR", Decimal(0))]
)
def test_shipping_that_nobody_states_is_not_told_to_be_nothing(shipping, told, cell, palette):
    one = offer(2, "a", BLUE, 100, "3.00", shipping=shipping)
    plan = plan_order([one], known(palette, (Need(*BLUE, 90),))).plan
    assert said.cost(plan)[0] == f"Packs 3.00 EUR, shipping {told}: 3.00 EUR."
    (delivery,) = said.deliveries(plan)
    assert [one.cells for one in delivery.parts[0].rows][-1] == ("shipping", told)
    assert [row[11] for row in order_list.table(plan)][-2] == cell


def test_a_table_for_spreadsheets_adds_up_and_runs_nothing(palette):
    one = replace(offer(2, "=HYPERLINK(0)", BLUE, 100, "3.10"), title="@SUM(A1)")
    plan = plan_order([one], known(palette, (Need(*BLUE, 250),))).plan
    rows = order_list.as_csv(plan).splitlines()
    assert rows[1].startswith("'=HYPERLINK(0),now,2031-01-10,2031-01-14,2,'@SUM(A1),")
    prices = [Decimal(row.split(",")[-3]) for row in rows[1:]]
    assert sum(prices[:-1]) == prices[-1] == plan.total == Decimal("14.30")


@pytest.mark.parametrize(
    ("code", "severity", "accepted", "sample"),
    [
        ("glow-drifts", "severe", False, True),
        ("flash-off-hue", "caution", False, True),
        ("flash-off-hue", "caution", True, False),
        ("shows-cloth", "note", False, False),
        ("lots-straddle", "caution", False, False),
        ("breaks-elsewhere", "severe", False, False),
    ],
)
def test_which_warnings_ask_for_a_sample(code, severity, accepted, sample):
    by = Acceptance(code=code, who="Head of wardrobe", why="Seen it.") if accepted else None
    assert sample_advised([(Concern(code, severity, "It is so.", "Look."), by)]) is sample


def test_spares_and_repair_packet_are_lowered_together_to_what_a_way_out_buys(palette):
    line = Line(stone="pulley-blue", size="SS20", name="body")
    area = Area(name="Star", shape="surface", pattern="motif", times=10, mix={"body": 10})
    made = job(lines=(line,), areas=(area,))
    wanted = needs(made, palette)
    assert [(one.worn, one.spares) for one in wanted] == [(100, 5 + 24)]
    asked = Programme((Need(*BLUE, 100, 12),), (), ())
    way = Relaxation(("spares",), "", 0.1, asked, Solution((), ()))
    # Of twenty equal steps the eighth leaves 2 + 9 spares; the ninth would need 3 + 10.
    known = Circumstances(made, palette, wanted, deadline(made, wanted, TODAY))
    assert changes_for(way, known) == {"spares": 0.02, "repair": 9}
