"""Stones from their owners' words: what a maker would expect of each."""

import numpy as np
import pytest

from planner.catalogue import load
from planner.colour.difference import delta_e
from planner.colour.names import family_of
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.data import demo
from planner.fitting.body import look_of
from planner.fitting.own_stone import own_stone
from planner.fitting.sight import Placed
from planner.refusal import InvalidValue

CUT = load(demo()).cuts["twelve"]


def made(name, **more):
    return own_stone(name, ("SS16", "SS20"), CUT, **more)


def test_a_royal_blue_is_blue_and_has_that_colour_where_glass_can():
    found = made("Wedding blue", colour="2a4b9c")
    assert found.stone.id == "wedding-blue"
    seen = look_of(Placed(found.stone, CUT, "SS20"))
    # So vivid a blue is just beyond what this glass can have.
    assert delta_e(seen, srgb_to_lab(parse_hex("#2a4b9c"))) < 4
    assert family_of(seen) == "blue"


@pytest.mark.parametrize("name", ["Jet", "jet black", "Black"])
def test_black_is_jet(name):
    found = made(name)
    assert found.stone.opaque
    assert any("jet" in one for one in found.remarks)


@pytest.mark.parametrize("name", ["Clear", "crystal"])
def test_clear_is_clear(name):
    stone = made(name).stone
    assert not stone.opaque
    assert stone.colour is None


def test_a_navy_is_no_jet_but_the_darkest_blue_and_that_is_said():
    found = made("Navy")
    assert not found.stone.opaque
    assert any("darkest" in one for one in found.remarks)
    L, _, b = look_of(Placed(found.stone, CUT, "SS20"))
    assert L < 40
    assert b < 0


def test_names_keep_capitals_and_accents():
    found = made("Überrock Blau", colour="royal blue", taken={"uberrock-blau"})
    assert found.stone.name == "Überrock Blau"
    assert found.stone.id == "uberrock-blau-2"


def test_a_name_without_a_colour_asks_for_one():
    with pytest.raises(InvalidValue, match="no colour in the name"):
        made("Number seven")


def test_a_larger_stone_of_the_same_glass_is_deeper():
    stone = made("Claret").stone
    small, large = (np.array(look_of(Placed(stone, CUT, size))) for size in ("SS12", "SS34"))
    assert large[0] < small[0]
