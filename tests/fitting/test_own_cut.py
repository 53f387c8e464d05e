"""A cut from what its owner counts and measures on a stone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.catalogue.palette import commonly_sold
from planner.fitting.own_cut import own_cut, rows_said
from planner.refusal import Refusal

USUAL = {one.id: one for one in commonly_sold()}


def test_what_nobody_said_is_as_on_stones_commonly_sold():
    found = own_cut("My twelve", "12")
    assert (found.rows, found.waviness, found.wedge) == (
        USUAL["twelve"].rows, USUAL["twelve"].waviness, USUAL["twelve"].wedge,
    )  # fmt: skip
    assert found.basis == "estimated"
    assert own_cut("Two rows", "8 + 8", finish="polished").rows == USUAL["sixteen"].rows


@given(
    st.sampled_from(["6", "10", "8+8", "9 + 9"]), st.floats(0.3, 0.7), st.floats(0.12, 0.4),
    st.sampled_from(["polished", "usual", "pressed"]),
)  # fmt: skip
def test_top_and_height_are_as_they_were_measured(facets, table, height, finish):
    found = own_cut("Ten", facets, table=table, height=height, finish=finish)
    assert found.rows[-1].inner == pytest.approx(table, abs=0.001)
    assert found.height == pytest.approx(height, abs=0.003)
    assert tuple(row.facets for row in found.rows) == rows_said(facets)


def test_pressed_facets_are_wavier_than_polished_ones():
    assert own_cut("A", "10", finish="pressed").waviness > own_cut("A", "10", finish="polished").waviness


@pytest.mark.parametrize(
    ("facets", "more", "says"),
    [
        ("many", {}, "count the facets"),
        ("8+8+8", {}, "make a copy of dome"),
        ("2", {}, "3 to 32"),
        ("12", {"height": 0.02}, "its upright side alone"),
    ],
)
def test_what_no_stone_can_be_is_one_sentence(facets, more, says):
    with pytest.raises(Refusal, match=says):
        own_cut("A", facets, **more)
