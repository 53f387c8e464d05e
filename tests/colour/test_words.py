"""Words for a shift: the right direction, graded, and the other way round when reversed."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.colour.cielab import lch_to_lab
from planner.colour.difference import delta_e
from planner.colour.everyday import shares, words
from planner.colour.ipt import hue_angle, lab_to_ipt
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.words import BLUE_TO, SAME, SECTORS, shift_words

labs = st.tuples(*[st.floats(low, high) for low, high in ((0, 100), (-90, 90), (-90, 90))]).map(np.array)
TURNS = ("redder", "yellower", "greener", "bluer", "more violet")
# CIELAB hue of an everyday example of each, and the words that it may turn to.
OWN = {
    "blue": (265.0, {"greener", "more violet"}),
    "green": (145.0, {"yellower", "bluer"}),
    "red": (20.0, {"yellower", "bluer"}),
    "yellow": (92.0, {"greener", "redder"}),
    "purple": (318.0, {"bluer", "redder"}),
    "orange": (60.0, {"redder", "yellower"}),
}
OPPOSITES = {"lighter": "darker", "darker": "lighter", "duller": "more vivid", "more vivid": "duller"}


def shift(one, two):
    return shift_words(np.array(one, dtype=float), np.array(two, dtype=float))


@pytest.mark.parametrize(
    ("one", "two", "words"),
    [
        ((50, 0, 0), (80, 0, 0), "much lighter"),
        ((50, 0, 0), (46, 0, 0), "slightly darker"),
        ((50, 0, 0), (50, 3, -20), "much bluer"),
        ((50, 3, -20), (50, 0, 0), "much duller"),
        ((50, 10, 10), (50, 10.2, 10.4), SAME),
        ((40, 10, -45), (48, -25, -20), "lighter, much greener, duller"),
        ((50, 60, 5), (50, 60, 40), "much yellower, slightly more vivid"),
    ],
)
def test_examples(one, two, words):
    assert shift(one, two) == words


@pytest.mark.parametrize(
    ("one", "two", "word"),
    [
        # sRGB of everyday things; what people say of the pair is common practice, no source.
        ("#1f3f9f", "#1f7f8f", "greener"),  # royal blue, teal
        ("#2fa02f", "#9fb02f", "yellower"),  # grass, lime
        ("#d02020", "#d06020", "yellower"),  # red, orange
        ("#d06020", "#d02020", "redder"),
        ("#802080", "#2f30a0", "bluer"),  # purple, indigo
        ("#2f30a0", "#802080", "more violet"),
        ("#1f7f8f", "#1f3f9f", "bluer"),  # teal, royal blue
        ("#e0c020", "#90b020", "greener"),  # yellow, lime
        ("#e0c020", "#e09020", "redder"),  # yellow, amber
        ("#209050", "#209080", "bluer"),  # green, sea green
        ("#c02080", "#9020a0", "bluer"),  # magenta, purple
    ],
)
def test_the_hue_word_is_where_the_colour_went(one, two, word):
    assert word in shift_words(*(srgb_to_lab(parse_hex(text)) for text in (one, two)))


@given(labs, labs)
def test_reversed_the_opposite_is_said_and_equal_is_equal(one, two):
    there, back = shift_words(one, two), shift_words(two, one)
    assert (there == SAME) == (back == SAME)
    for word, opposite in list(OPPOSITES.items())[:2]:
        assert (word in there) == (opposite in back)
    assert shift_words(one, one) == SAME


@given(labs, labs)
def test_silence_means_a_small_difference(one, two):
    if shift_words(one, two) == SAME:
        # Three terms of 1.5 at most, and the rotation term of the blues.
        assert delta_e(one, two) < 1.5 * np.sqrt(3) * 1.5


@given(st.floats(0, 359), st.floats(20, 80), st.floats(25, 28))
def test_a_turn_one_way_never_gets_the_word_of_the_other(hue, chroma, turn):
    start, end = (lch_to_lab(np.array([55.0, chroma, (hue + way) % 360])) for way in (0.0, turn))
    hues = (*TURNS, "more orange", "more purple")
    said = [
        next(word for word in hues if word in words)
        for words in (shift_words(start, end), shift_words(end, start))
    ]
    assert said[0] != said[1]


@given(st.sampled_from(sorted(OWN)), st.floats(-70, 70), st.floats(20, 80), st.floats(25, 80))
def test_no_hue_is_told_to_become_more_of_itself(name, turn, lightness, chroma):
    # How colourists tell a shift: by the neighbours of a hue (common practice, no source).
    hue, neighbours = OWN[name]
    start, end = (lch_to_lab(np.array([lightness, chroma, (hue + way) % 360])) for way in (0.0, turn))
    said = shift_words(start, end)
    assert not any(word in said for word in {*TURNS} - neighbours), said


def test_a_blue_that_only_grows_more_vivid_does_not_turn_violet():
    # At one CIELAB hue a blue looks the more violet the paler it is; its hue as seen is nearly straight in
    # IPT (Ebner & Fairchild 1998, after the loci of constant hue of Hung & Berns 1995). Screens' full blue
    # has the CIELAB hue 306, and everybody calls it blue.
    royal, full = (srgb_to_lab(parse_hex(text)) for text in ("#2a4b9c", "#0000ff"))
    assert "violet" not in shift_words(royal, full)
    assert "purple" not in shift_words(full, royal)
    assert shift((29, 13, -47), (29, 39, -73)) == "slightly more violet, more vivid"


def test_the_borders_between_hues_lie_where_people_change_the_word():
    """Printed with -s: where the everyday word changes round the circle, and where ours does."""
    plain = {"brown": "orange", "beige": "orange", "pink": "red"}
    print()
    changes = []
    for lightness, chroma in ((45, 45), (55, 45), (65, 45), (30, 75)):
        hues = np.arange(0.0, 360.0)
        lch = np.stack([np.full(360, lightness), np.full(360, chroma), hues], axis=-1)
        labs = lch_to_lab(lch)
        said = [words()[at] for at in shares(labs).argmax(axis=-1)]
        said = [plain.get(word, word) for word in said]
        found = {(a, b): at for at, (a, b) in enumerate(pairwise(said), 1) if a != b}
        changes.append({pair: (hues[at], hue_angle(lab_to_ipt(labs[at]))) for pair, at in found.items()})
        print(f"  L* {lightness}: " + ", ".join(f"{a} to {b} at {at}" for (a, b), at in found.items()))
    for pair, column, most in (
        (("green", "teal"), 0, 15), (("teal", "blue"), 0, 15), (("blue", "purple"), 1, 10),
    ):  # fmt: skip
        where = np.mean([one[pair][column] for one in changes if pair in one])
        ours = BLUE_TO if column else {name: end for end, name in SECTORS}[pair[0]]
        print(f"  {pair[0]} to {pair[1]}: {where:.0f}, ours {ours:.0f}")
        assert abs(where - ours) < most, pair


def test_one_hue_word_at_most_for_each_shift():
    assert shift((50, 0, 0), (50, 3, -20)) == "much bluer"


def test_what_has_all_but_faded_is_duller_and_of_no_other_hue():
    plum, olive_black = np.array([11.0, 33.0, -10.0]), np.array([15.0, 1.0, 4.0])
    assert shift_words(plum, olive_black) == "slightly lighter, much duller"
    assert shift_words(olive_black, plum) == "slightly darker, much redder"
