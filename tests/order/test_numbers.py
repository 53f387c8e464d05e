"""Numbers as people type them.

Outside evidence: how numbers are written in a locale is asked of Babel (Unicode CLDR); 1.440 and 1,440 as
each other's thousands is ISO 80000-1:2022, 7.3 (from memory): it is why neither is safe.
"""

from decimal import Decimal

import pytest
from babel.numbers import format_decimal
from hypothesis import given
from hypothesis import strategies as st

from planner.order import numbers

POINT, COMMA = frozenset({"."}), frozenset({","})


@pytest.mark.parametrize(
    ("text", "mark", "value"),
    [
        ("1440", None, "1440"), ("12.50", None, "12.50"), ("12,50", None, "12.50"), ("0.125", None, "0.125"),
        ("1,440.50", None, "1440.50"), ("1.440,50", None, "1440.50"), ("1 440,5", None, "1440.5"),
        ("1'440.50", None, "1440.50"), ("1.234.567", None, "1234567"), ("1,440", ".", "1440"),
        ("1,440", ",", "1.440"), ("1.440", ",", "1440"), ("1.440", ".", "1.440"), ("12.5", ",", "12.5"),
    ],
)  # fmt: skip
def test_numbers_are_read_as_written(text, mark, value):
    assert numbers.number(text, mark) == Decimal(value)


@pytest.mark.parametrize("text", ["1.440", "1,440", "12,345"])
def test_a_number_that_could_be_two_is_refused_and_both_are_named(text):
    with pytest.raises(ValueError, match=r"could be (1440 or 1\.440|12345 or 12\.345), "):
        numbers.number(text, None)


@pytest.mark.parametrize("text", ["ask", "", "1.2.3", "1,44,0", "--", "1.440,5,0", "12.50.1"])
def test_what_is_no_number_is_refused(text):
    with pytest.raises(ValueError, match="found"):
        numbers.number(text, None)


@given(
    amount=st.decimals(0, 9_999_999, places=2),
    locale=st.sampled_from(["en_GB", "de_DE", "fr_FR", "de_CH", "es_ES", "it_IT", "pl_PL", "sv_SE", "en_US"]),
)
def test_an_amount_with_cents_reads_the_same_from_every_locale(amount, locale):
    written = format_decimal(amount, format="#,##0.00", locale=locale)
    assert numbers.number(written, None) == amount


@given(
    counts=st.lists(st.integers(1, 999_999), min_size=1, max_size=20),
    locale=st.sampled_from(["en_GB", "de_DE"]),
)
def test_a_column_with_one_clear_cell_decides_the_others(counts, locale):
    cells = [format_decimal(one, locale=locale) for one in counts]
    clear = format_decimal(Decimal("12.50"), format="#,##0.00", locale=locale)
    sure, _ = numbers.mark_of([*cells, clear])
    assert len(sure) == 1
    assert [numbers.number(one, min(sure)) for one in cells] == counts


@pytest.mark.parametrize(
    ("text", "amount", "sign"),
    [
        ("€12.50", "12.50", "€"), ("12,50 €", "12.50", "€"), ("EUR 12.50", "12.50", "EUR"), ("£9", "9", "£"),
        ("12.50", "12.50", None), ("US$ 4.00", "4.00", "US$"), ("usd 4", "4", "usd"), ("12,-", "12", None),
    ],
)  # fmt: skip
def test_money_keeps_its_sign(text, amount, sign):
    assert numbers.money(text, None) == numbers.Money(Decimal(amount), sign)


@pytest.mark.parametrize("text", ["ask", "-5", "−5", "(5.00)", "5 pcs", "= 1+2", "5.12345", "about 5", "-€5"])
def test_what_is_no_amount_is_refused(text):
    with pytest.raises(ValueError, match="found"):
        numbers.money(text, None)


def test_a_sign_of_several_currencies_is_the_one_the_job_knows_or_refused():
    assert numbers.currency("$", ["CAD", "EUR"]) == "CAD"
    assert numbers.currency("£", ["EUR"]) == "GBP"
    with pytest.raises(ValueError, match="three letters"):
        numbers.currency("$", ["EUR"])
    with pytest.raises(ValueError, match="three letters"):
        numbers.currency("$", ["USD", "AUD"])


@pytest.mark.parametrize(
    ("text", "mark", "count"),
    [
        ("144", None, 144), ("10 gross", None, 1440), ("0,5 gross", None, 72), ("2 dozen", None, 24),
        ("1440 pcs", None, 1440), ("144.0", None, 144), ("144.000", ".", 144), ("144.000", ",", 144_000),
        # One reading would cut a stone in two.
        ("1.440", None, 1440), ("1,441", None, 1441),
    ],
)  # fmt: skip
def test_counts_are_whole_stones(text, mark, count):
    assert numbers.count(text, mark) == count


@pytest.mark.parametrize("text", ["-144", "0", "a few", "1.5", "2.000", "144 boxes", "99999999999"])
def test_what_is_no_count_is_refused(text):
    with pytest.raises(ValueError, match="found"):
        numbers.count(text, None)


def test_a_count_that_the_file_writes_as_a_fraction_is_refused_with_what_it_is():
    with pytest.raises(ValueError, match=r"which is 1\.44 as this file writes numbers"):
        numbers.count("1.440", ".")


def test_days_take_the_cautious_end_of_a_span():
    assert numbers.days("5-7 days", "delivery") == 7
    assert numbers.days("14-30", "returns", least=True) == 14
    assert numbers.days("2 weeks", "delivery") == 14
    with pytest.raises(ValueError, match="whole number of days"):
        numbers.days("soon", "delivery")


def test_a_count_that_one_mark_would_break_tells_the_other():
    assert numbers.mark_of(["1.440"]) == (frozenset(), "1.440")
    assert numbers.mark_of(["1.440"], whole=True) == (frozenset({","}), "1.440")
    assert numbers.mark_of(["1,440"], whole=True) == (frozenset({"."}), "1,440")
