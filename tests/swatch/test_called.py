"""Colour names as people say them, held to the survey's own list by leaving names out of it."""

import os

import numpy as np
import pytest
from matplotlib.colors import CSS4_COLORS

from planner.colour.difference import delta_e
from planner.colour.everyday import word_of
from planner.colour.names import family_of
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.swatch import called
from planner.swatch.called import NAME_UNCERTAINTY, WORD_UNCERTAINTY, colours_called
from planner.swatch.typed import from_name, reachable

FULL = os.environ.get("PLANNER_FULL") == "1"


@pytest.mark.parametrize(
    ("said", "family"),
    [
        ("royal blue", "blue"),
        ("deep sapphire blue", "blue"),
        ("dusty wine red", "red"),
        ("Navy", "blue"),
        ("jet", "black"),
        ("jet black", "black"),
        ("Fuschia", "purple"),  # misspelt
        ("smokey gray", "grey"),
        ("bottle green velvet", "green"),
        ("cornflower-blue", "blue"),
        ("cobalt blue lycra", "blue"),
        ("burgundy", "red"),
        ("old gold", "yellow"),
    ],
)
def test_a_maker_s_names_are_understood(said, family):
    found = colours_called(said)
    assert found
    assert family_of(found[0].lab) in {family, "pink" if family == "purple" else family}


def test_no_colour_is_heard_in_what_is_none():
    assert colours_called("") == ()
    assert colours_called("xqzvw") == ()
    with pytest.raises(ValueError, match="not a colour name"):
        from_name("xqzvw")


@pytest.mark.parametrize(
    ("said", "offer"), [("begonia", "pink"), ("kumquat", "orange"), ("old stock", "blue")]
)
def test_a_name_on_no_list_is_asked_about_with_colours_to_choose_from(said, offer):
    with pytest.raises(called.UnknownName, match="not a colour name") as caught:
        from_name(said)
    assert offer in [one.name for one in caught.value.offers]
    assert f"{said} blue" in str(caught.value)
    # What it asks for is understood then.
    assert family_of(from_name(f"{said} blue").colour.lab) in {"blue", "violet", "purple"}


def test_what_was_not_understood_is_told():
    taken = from_name("wibbly burgundy")
    assert any("wibbly" in one for one in taken.notes)


def test_a_name_taken_apart_is_to_be_confirmed_and_an_exact_one_is_not():
    assert colours_called("burgundy")[0].exact
    assert not colours_called("dusty wine red")[0].exact
    assert "patch" in " ".join(from_name("dusty wine red").notes)


def test_words_do_what_they_do_elsewhere_in_the_list():
    plain, dark, pale = (colours_called(one)[0].lab for one in ("teal", "midnight teal", "milky teal"))
    assert dark[0] < plain[0] - 5
    assert pale[0] > plain[0] + 5
    dusty = colours_called("dusty emerald")[0].lab
    assert np.hypot(*dusty[1:]) < np.hypot(*colours_called("emerald")[0].lab[1:])


@pytest.mark.parametrize(
    "said", ["dusty royal blue", "pastel royal blue", "dusty cobalt blue", "muted royal blue"]
)
def test_a_blue_made_duller_is_a_blue_and_no_violet(said):
    word, people = word_of(colours_called(said)[0].lab)
    assert word == "blue"
    assert people > 0.8


def test_neon_says_that_the_cloth_fluoresces():
    assert colours_called("neon coral")[0].neon
    assert any("fluoresces" in one for one in from_name("neon coral").notes)


def test_a_name_no_cloth_can_have_is_brought_to_one_it_can():
    green, dulled = reachable(np.array([95.0, -60.0, 110.0]))
    assert dulled > 0
    assert family_of(green) in {"green", "yellow green"}
    assert from_name("electric blue").colour.lab[2] < -30


@pytest.mark.campaign
def test_names_left_out_of_the_list_are_reckoned_from_the_others():
    """R. Munroe, "Color Survey Results" (2010); each name is left out and asked for in turn."""
    survey = called._survey()
    names = list(survey.lab)
    chosen = np.random.default_rng(1).choice(len(names), 500 if FULL else 120, replace=False)
    apart, understood = [], []
    for name in (names[number] for number in chosen):
        lab = {one: value for one, value in survey.lab.items() if one != name}
        found = called._called(name, 3, called._Survey(lab, called._changes(lab)))
        understood.append((bool(found), " " in name))
        if found and not found[0].left_out and found[0].uncertainty > NAME_UNCERTAINTY:
            apart.append(float(delta_e(found[0].lab, survey.lab[name])))
    rms = float(np.sqrt(np.mean(np.square(apart))))
    print(
        f"\n{sum(one for one, _ in understood)} of {len(chosen)} names are understood without being on the "
        f"list; the {len(apart)} taken apart whole are off by ΔE00 {np.median(apart):.0f} in the middle, "
        f"{rms:.0f} as a root mean square"
    )
    # A name of one word, such as a flower, is mostly in no other name: left out, it cannot be understood.
    assert np.mean([one for one, several in understood if several]) > 0.95
    told = float(np.hypot(NAME_UNCERTAINTY, WORD_UNCERTAINTY))
    assert 0.7 * told < rms < 1.3 * told


def test_how_far_two_lists_of_names_agree():
    """CSS Color Module Level 4 (W3C), as matplotlib carries it: names that are on both lists."""
    flat = {name.replace(" ", ""): lab for name, lab in called._survey().lab.items()}
    both = [
        float(delta_e(flat[name], srgb_to_lab(parse_hex(value))))
        for name, value in CSS4_COLORS.items()
        if name in flat
    ]
    print(f"\n{len(both)} names on both lists, ΔE00 {np.median(both):.1f} apart in the middle")
    # The root mean square of a normal error in three dimensions is 1.126 times its median.
    assert abs(1.126 * np.median(both) / np.sqrt(2) - NAME_UNCERTAINTY) < 0.5
