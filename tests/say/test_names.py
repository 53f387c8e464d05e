"""How counts, cut lists and cut texts are told."""

import pytest
import wcwidth
from hypothesis import given
from hypothesis import strategies as st

from planner.say.names import counted, cut_short, numbered
from planner.say.table import cut


@pytest.mark.parametrize(
    ("length", "most", "told"),
    [
        (0, 3, ""),
        (3, None, ""),
        (3, 3, ""),
        (4, 3, "and 1 more"),
        (5, 3, "and 2 more"),
        (1203, 3, "and 1,200 more"),
    ],
)
def test_what_a_list_leaves_out_is_counted_exactly_and_nothing_is_not_told(length, most, told):
    whole = list(range(length))
    assert cut_short(whole, most) == (whole[:most], told)
    assert cut_short(whole, most, "offers") == (whole[:most], told and f"{told} offers")


def test_one_is_one_and_more_are_many():
    assert [counted(number, "pack") for number in (0, 1, 2)] == ["0 packs", "1 pack", "2 packs"]
    assert numbered([2]) == "line 2"
    assert numbered([1, 3]) == "lines 1, 3"


@given(st.text(st.characters(max_codepoint=0x3FF), max_size=30), st.integers(1, 30))
def test_a_text_is_cut_as_the_tables_of_all_scripts_have_it(said, most):
    found = cut(said, most)
    assert found == (
        said if wcwidth.width(said) <= most else wcwidth.clip(said, 0, most - 1).rstrip(" ,") + "…"
    )
