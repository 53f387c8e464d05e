"""What offers are held against: whose lots are looked at, and which usual prices count."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from types import SimpleNamespace

import pytest

from planner.catalogue import load
from planner.data import demo
from planner.job import Job, Line
from planner.order import compare
from planner.order.ask import asks
from planner.order.bands import HEADINGS
from planner.order.claims import concerns
from planner.order.compare import Context, against
from planner.order.dates import Deadline
from planner.order.landed import Rates, side_by_side
from planner.order.offer import Offer
from planner.order.offers_file import read_offers
from planner.order.order_plan import OrderLine
from planner.refusal import Refusal

TODAY = date(2031, 1, 10)
LINES = (
    Line(stone="pulley-blue", coating="halyard-aurora", size="SS20"),
    Line(stone="marlinspike-navy", size="SS16"),
    Line(stone="tackle-clear", size="SS20"),
)


def offer(line, **fields):
    told = {"returns": 14, "delivery_days": 4} | fields
    return Offer(
        row=2, seller="Anvil", title="", count=144, price=Decimal(9), currency="EUR", material="glass",
        size=line.size, stone_id=line.stone, coating_id=line.coating, **told,
    )  # fmt: skip


@pytest.fixture(scope="module")
def palette():
    return load(demo())


@pytest.fixture
def known(palette, tmp_path):
    """Return a job of three lines, whose folder has a table of usual prices in two currencies."""
    rows = ("glass,SS20,clear,none,1,2,EUR,2031-01-01,me", "glass,SS16,clear,none,1,2,USD,2031-01-01,me")
    bands = tmp_path / "bands.csv"
    bands.write_text("\n".join((",".join(HEADINGS), *rows)) + "\n", encoding="utf-8")
    job = Job(title="Hoop", swatch="leotard-blue", venues=("rink",), lines=LINES)
    return Context(palette, Rates("EUR", {}), TODAY, job, bands=bands)


def test_lots_are_looked_at_only_where_a_pack_could_not_go_back(known, monkeypatch):
    looked = []

    def assessed(question, _grade):
        looked.append(question.stone.id)
        return SimpleNamespace(lots_straddle=True)

    monkeypatch.setattr(compare, "assess_question", assessed)
    blue, navy, clear = LINES
    offers = [
        offer(blue, returns=14), offer(blue, returns=0),  # one seller takes it back, one does not
        offer(navy, returns=30),
        offer(clear, returns=None),  # nobody says
    ]  # fmt: skip
    held, _ = against(offers, known)
    assert looked == ["pulley-blue", "tackle-clear"]
    assert {stone for stone, *_ in held.straddling} == {"pulley-blue", "tackle-clear"}
    asked = [{one.code for one in concerns(one, held)} & {"no-returns"} for one in offers]
    assert asked[0] == asked[2] == set()
    assert asked[1] == {"no-returns"}


def test_a_usual_price_without_a_rate_is_off_and_told(known):
    held, said = against([offer(LINES[0])], known)
    assert {band.currency for band in held.bands.values()} == {"EUR"}
    assert any(one.startswith("Usual prices in USD are not used") for one in said)
    # No offer is held against it, and none fails for it.
    assert concerns(offer(LINES[1]), held) is not None
    both, said = against([offer(LINES[0])], replace(known, rates=Rates("EUR", {"USD": Decimal(1)})))
    assert {band.currency for band in both.bands.values()} == {"EUR", "USD"}
    assert not any("are not used" in one for one in said)


def test_an_order_answers_for_its_day_itself_and_does_not_ask_the_seller(known):
    """The order says when it comes and what would have to give; of an offer alone it is asked."""
    late = offer(LINES[0], delivery_days=30)
    due = Deadline(TODAY, TODAY + timedelta(10), "")
    line = OrderLine(late, "Pulley blue", 1, Decimal(9), sample=False)
    asked = " ".join(asks([line], known.rates, due, frozenset()))
    assert "after it is needed" not in asked
    held, _ = against([late], replace(known, job=known.job.model_copy(update={"stones_by": due.by})))
    assert any("after it is needed" in one.text for one in concerns(late, held))


@pytest.mark.parametrize(
    ("rows", "ends"), [(7, " 8"), (8, " 9"), (9, " 9 and 1 more"), (12, " 9 and 4 more")]
)
def test_rows_without_a_rate_are_listed_up_to_eight_and_the_others_counted(rows, ends):
    offers = [replace(offer(LINES[0]), row=2 + number, currency="SEK") for number in range(rows)]
    _, (said,) = side_by_side(offers, Rates("EUR", {}))
    assert said.partition(": found amounts")[0].endswith(ends)


def test_of_a_file_without_any_offer_the_first_fault_is_told_and_the_others_counted(tmp_path):
    path = tmp_path / "offers.csv"
    for bad, more in ((1, ""), (2, " (and 1 more)"), (4, " (and 3 more)")):
        path.write_text("count,price\n" + "144,ask\n" * bad, encoding="utf-8")
        with pytest.raises(Refusal) as refused:
            read_offers(path, currency="EUR", today=TODAY)
        assert str(refused.value).endswith(f"no offer is left{more}")
