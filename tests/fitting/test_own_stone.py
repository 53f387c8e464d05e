"""Stones from their owners' words: what a maker would expect of each."""

import numpy as np
import pytest

from planner.catalogue import load
from planner.colour.difference import delta_e
from planner.colour.everyday import word_of
from planner.colour.names import family_of
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.data import demo
from planner.fitting.body import look_of, without_gloss
from planner.fitting.own_stone import own_stone
from planner.fitting.sight import Placed
from planner.refusal import InvalidValue

CUT = load(demo()).cuts["twelve"]


def glass_of(stone):
    at = Placed(stone, CUT, "SS20")
    return without_gloss(look_of(at), at)


def made(name, **more):
    return own_stone(name, ("SS16", "SS20"), CUT, **more)


def test_a_royal_blue_is_blue_and_has_that_colour_where_glass_can():
    found = made("Wedding blue", colour="2a4b9c")
    assert found.stone.id == "wedding-blue"
    seen = glass_of(found.stone)
    assert delta_e(seen, srgb_to_lab(parse_hex("#2a4b9c"))) < 3
    assert family_of(seen) == "blue"


# What people call such stones (common practice, no source): dark ones keep their hue, whatever they mirror.
NAMED = {
    "Plum": "purple", "Old plum": "purple", "Aubergine": "purple", "Burgundy": "red", "Maroon": "red",
    "Wine red": "red", "Bottle green": "green", "Forest green": "green", "Emerald": "green",
    "Navy": "blue", "Royal blue": "blue", "Ink blue": "blue", "Dark teal": "teal", "Petrol": "teal",
    "Chocolate": "brown", "Amethyst purple": "purple",
}  # fmt: skip


@pytest.mark.parametrize(("name", "word"), NAMED.items())
def test_a_stone_is_called_as_its_name_says(name, word):
    found = made(name)
    assert word_of(glass_of(found.stone))[0] == word
    assert not [one for one in found.remarks if "used" in one]


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


def test_a_navy_is_no_jet():
    found = made("Navy")
    assert not found.stone.opaque
    L, _, b = glass_of(found.stone)
    assert L < 20
    assert b < -20


def test_names_keep_capitals_and_accents():
    found = made("Überrock Blau", colour="royal blue")
    assert found.stone.name == "Überrock Blau"
    assert found.stone.id == "uberrock-blau"


def test_a_name_without_a_colour_asks_for_one():
    with pytest.raises(InvalidValue, match="not a colour name"):
        made("Number seven")


def test_a_larger_stone_of_the_same_glass_is_deeper():
    stone = made("Claret").stone
    small, large = (np.array(look_of(Placed(stone, CUT, size))) for size in ("SS12", "SS34"))
    assert large[0] < small[0]
