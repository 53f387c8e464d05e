"""Landed prices: exact, checked against sums done by hand and against exact fractions."""

import errno
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.catalogue import Refusal
from planner.job import Job
from planner.order.export import csv_text, harmless, write_csv
from planner.order.landed import NoRateError, Rates, landed, rounded, side_by_side, what
from planner.order.offer import Offer

EUR = Rates("EUR", {"GBP": Decimal("1.17"), "USD": Decimal("0.92")})


def offer(**given):
    return Offer(
        **{
            "row": 2,
            "seller": "Anvil",
            "title": "",
            "count": 144,
            "price": Decimal(10),
            "currency": "EUR",
            **given,
        }
    )


def test_a_parcel_from_abroad_adds_up():
    # By hand: (8.00 + 1.20 + 2.00) × 1.17 for each of 2 packs, 4.00 × 1.17 and 6.00 × 1.17 once.
    found = landed(
        offer(price=Decimal("8.00"), currency="GBP", duty=Decimal("1.20"), tax=Decimal("2.00"),
              shipping=Decimal("4.00"), handling=Decimal("6.00")),
        EUR, packs=2,
    )  # fmt: skip
    assert found.goods == Decimal("18.72")
    assert found.shipping == Decimal("4.68")
    assert found.import_charges == Decimal("14.508")
    assert found.total == Decimal("37.908")
    assert rounded(found.per_gross) == "18.95"
    assert found.missing == ()


def test_what_is_not_said_is_named_and_not_free():
    found = landed(offer(duty=Decimal(0)), EUR)
    assert found.missing == ("shipping", "tax", "handling")
    assert found.before_import
    assert (found.shipping, found.import_charges, found.total) == (None, Decimal(0), Decimal(10))
    assert landed(offer(), EUR).import_charges is None


def test_a_missing_rate_is_one_sentence():
    with pytest.raises(NoRateError, match=r"found an amount in SEK and no rate for it.*SEK = …"):
        landed(offer(currency="SEK"), EUR)
    alike, without = side_by_side([offer(), offer(row=3, currency="SEK"), offer(row=4, currency="SEK")], EUR)
    assert len(alike) == 1
    assert without[0].startswith("rows 3, 4: found amounts in SEK and no rate")
    assert len(without) == 1


def test_rates_come_from_the_job():
    job = Job(title="t", swatch="#112233", venues=("rink",), currency="GBP", rates={"EUR": 0.85})
    assert Rates.of_job(job).convert(Decimal(10), "EUR") == Decimal("8.50")
    assert Rates.of_job(job).convert(Decimal(10), "GBP") == Decimal(10)


_cents = st.decimals(0, 10_000, places=2)


@given(
    price=_cents, parts=st.tuples(*[st.none() | _cents] * 4), count=st.integers(1, 100_000),
    packs=st.integers(1, 99), rate=st.decimals(Decimal("0.01"), 200, places=4),
)  # fmt: skip
def test_landed_agrees_with_exact_fractions(price, parts, count, packs, rate):
    shipping, duty, tax, handling = parts
    one = offer(
        count=count, price=price, currency="USD", shipping=shipping, duty=duty, tax=tax, handling=handling
    )
    found = landed(one, Rates("EUR", {"USD": rate}), packs)
    each = sum((Fraction(x) for x in (price, duty, tax) if x is not None), Fraction(0))
    once = sum((Fraction(x) for x in (shipping, handling) if x is not None), Fraction(0))
    total = Fraction(rate) * (packs * each + once)
    assert Fraction(found.total) == total
    assert abs(Fraction(found.per_stone) - total / (packs * count)) < Fraction(1, 10**20)
    assert abs(Fraction(found.per_gross) - 144 * total / (packs * count)) < Fraction(1, 10**18)
    assert abs(Fraction(found.per_thousand) - 1000 * total / (packs * count)) < Fraction(1, 10**18)


def test_offers_of_one_thing_stand_together_the_cheapest_stone_first():
    blue = {"stone_id": "pulley-blue", "coating_id": "none", "size": "SS20"}
    offers = [
        offer(row=2, **blue), offer(row=3, count=1440, price=Decimal(50), **blue),
        offer(row=4, **{**blue, "size": "SS16"}),
        offer(row=5, shape="drop", mm=18.0, mm_across=11.0, colour="clear"),
    ]  # fmt: skip
    alike, _ = side_by_side(offers, EUR)
    assert {one.what: [p.offer.row for p in one.priced] for one in alike} == {
        "pulley-blue + none, SS20": [3, 2], "pulley-blue + none, SS16": [4], "clear, drop 18 × 11 mm": [5],
    }  # fmt: skip
    assert [one.approximate for one in alike if one.what.startswith("clear")] == [True]
    (drop,) = next(one for one in alike if one.approximate).priced
    assert drop.per_mm == drop.cost.per_stone / Decimal(18)


def test_an_offer_is_called_what_is_known_of_it():
    assert what(offer(title="Bag of stones")) == "Bag of stones, size not stated"
    assert what(offer(colour="Blue", coating="AB", mm=9.9)) == "Blue + AB, 9.9 mm"


# Which beginnings spreadsheets run: OWASP, "CSV Injection" (from memory: = + - @, tab, carriage return).
@pytest.mark.parametrize(
    "text", ["=1+2", "+1+2", "-2+3", "@SUM(A1)", "\t=1", "\r=1", " =1+2", '=HYPERLINK("x")', "-a"]
)
def test_an_exported_cell_cannot_act(text):
    assert harmless(text) == "'" + text


@pytest.mark.parametrize(
    "value", ["12.50", "-12.50", "+5", "Anvil", "a=b", "", date(2030, 1, 1), Decimal(-3)]
)
def test_numbers_and_words_are_exported_as_they_are(value):
    assert harmless(value) == str(value)
    assert harmless(None) == ""


@given(st.lists(st.lists(st.text(max_size=20), min_size=2, max_size=2), max_size=5))
def test_no_cell_of_an_export_begins_like_a_formula(rows):
    import csv
    from io import StringIO

    for row in csv.reader(StringIO(csv_text(["a", "b"], rows), newline="")):
        for cell in row:
            assert not cell.lstrip(" ").startswith(("=", "@", "\t", "\r")) or cell.startswith("'")


def test_an_export_never_overwrites(tmp_path):
    write_csv(tmp_path / "out.csv", ["a"], [["=1"]])
    assert (tmp_path / "out.csv").read_text(encoding="utf-8-sig") == "a\n'=1\n"
    with pytest.raises(Refusal, match="found a file of that name; nothing was written"):
        write_csv(tmp_path / "out.csv", ["a"], [])
    with pytest.raises(Refusal, match="cannot be written"):
        write_csv(tmp_path / "none" / "out.csv", ["a"], [])


def test_a_list_that_finds_no_room_leaves_nothing_behind(tmp_path, monkeypatch):
    path = tmp_path / "out.csv"

    def full(*_given):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("planner.atomic.os.fsync", full)
    with pytest.raises(Refusal, match="cannot be written"):
        write_csv(path, ["a"], [["x"]])
    assert not path.exists()
