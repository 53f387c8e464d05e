"""How counts and cut lists are told."""

import pytest

from planner.say.names import and_more, counted, numbered


@pytest.mark.parametrize(
    ("left_out", "told"),
    [(-1, ""), (0, ""), (1, "and 1 more"), (2, "and 2 more"), (1200, "and 1,200 more")],
)
def test_what_a_list_leaves_out_is_counted_exactly_and_nothing_is_not_told(left_out, told):
    assert and_more(left_out) == told
    assert and_more(left_out, "offers") == (told and f"{told} offers")


def test_one_is_one_and_more_are_many():
    assert [counted(number, "pack") for number in (0, 1, 2)] == ["0 packs", "1 pack", "2 packs"]
    assert numbered([2]) == "line 2"
    assert numbered([1, 3]) == "lines 1, 3"
