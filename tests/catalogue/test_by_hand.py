"""Numbers typed by hand are read in one way, and refused in one sentence."""

from decimal import Decimal

import pytest

from planner.catalogue.by_hand import figure, number, whole_number
from planner.refusal import InvalidValue


@pytest.mark.parametrize(
    ("text", "value"),
    [("12", 12), ("7,5", 7.5), ("7.5", 7.5), (" 1,500 ", 1500), ("1,500.25", 1500.25), ("-3", -3),
     (".5", 0.5),      ("12 m", 12), ("12m", 12), ("1,50", 1.5), ("1,5000", 1.5)],
)  # fmt: skip
def test_a_number_is_read_as_it_is_meant(text, value):
    assert number(text, "m") == value


@pytest.mark.parametrize(
    "text", ["", "m", "nan", "inf", "1e999", "1_000", "７", "1.2.3", ".", "12 cm", "1" * 99]
)
def test_what_is_no_number_is_refused(text):
    with pytest.raises(InvalidValue, match="found") as told:
        number(text, "m")
    assert len(str(told.value)) < 200


def test_money_is_read_exactly():
    assert figure("0,1") + figure("0.2") == Decimal("0.3")


@pytest.mark.parametrize("text", ["-1", "1.5", "", "２", "1" * 13])
def test_a_whole_number_is_one(text):
    assert whole_number("1,440") == 1440
    with pytest.raises(InvalidValue, match="whole number"):
        whole_number(text)
