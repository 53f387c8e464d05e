"""An order is worked out once: whoever asks is told the same, and nobody wins by saying nothing."""

from datetime import date
from decimal import Decimal
from importlib import import_module

import pytest

from planner.app.order.worker import Wish, answer
from planner.app.second_process import parcel
from planner.catalogue import load
from planner.cli.ordering import show
from planner.cover import Need
from planner.data import demo
from planner.job import Job, Line, new_job_file
from planner.job.area import Area
from planner.order.dates import deadline
from planner.order.landed import Rates, landed
from planner.order.offer import Offer
from planner.order.plan import Circumstances, plan_order
from planner.order.unsaid import stating, unsaid
from planner.reading.concern import Concern
from planner.reading.matter import FINE, QUICK
from planner.reading.read import read
from planner.say.order import cost

TODAY = date(2031, 1, 10)
NAVY = ("marlinspike-navy", "none", "SS20")
YOKE = Area(name="yoke", shape="surface", pattern="motif", times=2, mix=(("body", 200),))
OFFERS = """\
seller,size,colour,coating,count,price,currency,shipping,duty,tax,handling,returns,delivery days
Windlass Loft,SS20,marlinspike-navy,bobbin-aurora,144,4.00,EUR,3.50,0,0,0,14,5
"""


@pytest.fixture(scope="module")
def palette():
    return load(demo())


def job(**fields):
    line = Line(stone="marlinspike-navy", coating="bobbin-aurora", size="SS20", name="body")
    given = {"lines": (line,), "areas": (YOKE,), "venues": ("rink", "theatre")} | fields
    return Job(title="x", swatch="leotard-blue", **given)


def offer(row, seller, price, **fields):
    given = {"shipping": Decimal(2), "duty": Decimal(0), "tax": Decimal(0), "handling": Decimal(0)} | fields
    return Offer(
        row=row, seller=seller, title="", count=100, price=Decimal(price), size="SS20", stone_id=NAVY[0],
        coating_id=NAVY[1], **{"currency": "EUR"} | given,
    )  # fmt: skip


def planned(palette, offers, **fields):
    asked = job(**fields)
    wanted = (Need(*NAVY, 90),)
    return plan_order(offers, Circumstances(asked, palette, wanted, deadline(asked, wanted, TODAY)))


def test_the_screen_and_the_command_line_judge_an_order_alike(palette, tmp_path, capsys, monkeypatch):
    # What breaks it is known in the second venue alone, as it is when it is worked out in full.
    grades = []

    def warned(_reading, there, _others):
        assert [one.venue.id for one in there] == ["theatre"]
        return (Concern("breaks-elsewhere", "severe", "It breaks in the theatre.", "Choose another."),)

    judging = import_module("planner.assess.assess")  # its room names the function of that name, too
    monkeypatch.setattr(judging, "warnings", warned)
    monkeypatch.setattr(judging, "read", lambda asked, grade: grades.append(grade) or read(asked, QUICK))
    offers = tmp_path / "offers.csv"
    offers.write_text(OFFERS, encoding="utf-8")
    file = new_job_file(tmp_path / "job.toml", job()).save()
    screen = answer(Wish(1, parcel(palette), file.job, NAVY, offers, None, TODAY, "job")).planned
    well = show(
        job=file.path, offers=offers, stock=None, use_stock=False, mix_sellers=False, out=None, day=TODAY,
        grade="fine", palettes=None, as_data=False,
    )  # fmt: skip
    assert "breaks-elsewhere" in capsys.readouterr().out
    assert not well
    assert screen.headline.tone == "unsure"
    assert not screen.headline.text.startswith("✓")
    assert grades == [FINE, FINE]


def test_only_a_missing_rate_is_asked_for(palette):
    found = planned(palette, [offer(2, "a", "3.00", currency="GBP"), offer(3, "b", "2.00", currency="USD")])
    assert found.plan is None
    assert found.only_rates
    assert found.rates_wanted == ("GBP", "USD")
    (reason,) = found.reasons
    assert reason.startswith("Marlinspike navy, uncoated, SS20 (90 needed) is only offered in GBP and USD: ")
    assert reason.endswith("say what one GBP and one USD cost in EUR.")
    assert "Nobody" not in reason


def test_with_the_rate_it_is_an_order(palette):
    found = planned(palette, [offer(2, "a", "3.00", currency="GBP")], rates=(("GBP", Decimal("1.17")),))
    assert found.plan.total == Decimal("5.85")


def test_a_seller_who_states_no_duty_does_not_win_by_that(palette):
    silent, stated = offer(2, "Pin Rail Counter", "1.00", duty=None, tax=None), offer(3, "Loft", "1.50")
    plan = planned(palette, [silent, stated]).plan
    assert [one.seller for one in plan.parcels] == ["Loft"]
    assert plan.unsaid == ()
    assert plan.silent.total == Decimal("3.00")
    assert plan.silent.unsaid == (("Pin Rail Counter", ("duty", "tax")),)
    said = " ".join(cost(plan))
    assert "From Pin Rail Counter (duty, tax) it would come to 3.00 EUR, 0.50 EUR less" in said


def test_where_nobody_states_every_charge_the_order_says_what_is_not_in_it(palette):
    plan = planned(palette, [offer(2, "Pin Rail Counter", "1.00", duty=None)]).plan
    assert plan.silent is None
    assert plan.unsaid == (("Pin Rail Counter", ("duty",)),)
    assert "Not included, because Pin Rail Counter does not say: duty." in cost(plan)


def test_a_dearer_seller_who_says_nothing_is_not_compared(palette):
    plan = planned(palette, [offer(2, "a", "9.00", duty=None), offer(3, "b", "1.50")]).plan
    assert plan.silent is None


def test_what_one_offer_of_a_delivery_states_holds_for_the_delivery(palette):
    told, other = offer(2, "Loft", "1.00"), offer(3, " LOFT ", "2.00", shipping=None, handling=None)
    assert unsaid((other,)) == ("shipping", "handling")
    assert unsaid((other,), (told, other)) == ()
    assert stating([told, other]) == (told, other)
    assert landed(other, Rates("EUR", {})).missing == ("shipping", "handling")
    # Duty is of each pack: what another pack says of it says nothing of this one.
    assert unsaid((offer(4, "Loft", "1.00", duty=None),), (told,)) == ("duty",)
