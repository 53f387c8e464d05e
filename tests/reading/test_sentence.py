"""What is said of a reading: words for what is guessed, figures for what is measured, good grammar."""

import re
from dataclasses import replace

import numpy as np
import pytest
from made_readings import asked, base, made, palette, sparkling, told

from planner.reading.fit import fit
from planner.reading.matter import QUICK
from planner.reading.phrase import listed, share, signed, tenths, than
from planner.reading.question import can_carry
from planner.reading.read import read
from planner.reading.sentence import (
    cannot_tell,
    drift_basis,
    figures,
    flash_basis,
    pairing,
    sentence,
    short,
    where_worn,
)

BLUE = (40.0, 10.0, -45.0)
LIGHTER = (58.0, 10.0, -45.0)
GREEN = (40.0, -40.0, 20.0)
BLUES = sparkling(blue=(0.9, 0.9), white=(0.1, 0.1))
HALF_GREEN = sparkling(blue=(0.5, 0.5), green=(0.3, 0.3), blue_green=(0.2, 0.2))

REAL = [
    ("pulley-blue", "halyard-aurora", "leotard-blue", "followspot"),
    ("pulley-blue", "none", "leotard-blue", "noon"),
    ("tackle-jet", "halyard-aurora", "drape-black", "followspot"),
    ("tackle-jet", "none", "drape-black", "noon"),
    ("capstan-bottle", "none", "bolt-green", "noon"),
    ("tackle-clear", "tinsel-mirror", "lining-grey", "noon"),
    ("shackle-red", "cleat-blue", "bodice-red", "followspot"),
    ("winder-teal", "gantry-aurora", "net-teal", "followspot"),
]
"""Coated and not, jet, unfoiled, near neutral, with and without small lamps, commas in names."""


def measured(reading):
    """Return the reading as if everything it rests on were measured."""
    question = reading.question
    change = {"basis": "measured"}
    coating = question.coating and question.coating.model_copy(update=change)
    question = replace(
        question, stone=question.stone.model_copy(update=change), cut=question.cut.model_copy(update=change),
        coating=coating, swatch=replace(question.swatch, basis="measured"),
    )  # fmt: skip
    return replace(reading, question=question)


def is_well_formed(text):
    sentences = re.split(r"(?<=\.) ", text)
    return (
        all(one[0].isupper() and one.endswith(".") and one.count(".") == 1 for one in sentences)
        and not re.search(r"  | ,|,,|\.\.|,\.| \.|None|nan", text)
        and "more more" not in text
    )


@pytest.mark.parametrize("pair", REAL)
@pytest.mark.parametrize("wish", ["blend", "tone", "contrast"])
@pytest.mark.parametrize("tolerance", ["arm", "seats", "family", 4.0])
def test_every_sentence_is_well_formed_and_guesses_no_figures(pair, wish, tolerance):
    reading = told(*pair)
    reading = replace(reading, question=replace(reading.question, wish=wish, tolerance=tolerance))
    assert is_well_formed(sentence(reading)), sentence(reading)
    assert not re.search(r"\d", sentence(reading))
    assert "\n" not in figures(reading)
    assert len(short(reading)) < 110


def test_a_coated_stone_beside_its_bare_self():
    said = sentence(base())
    assert said.startswith("Pulley blue with the Halyard aurora film: it stays blue")
    assert "uncoated. " in said
    jet = sentence(told("tackle-jet", "halyard-aurora", "drape-black", "followspot"))
    # An aurora film on jet gives it a colour (common practice, no source).
    assert re.search(
        r"(turns it from black to|would call it) (blue|blue green|teal|violet|purple)|sparkle is bluish", jet
    )


def test_names_with_an_explanation_keep_it_readable():
    assert pairing(told("shackle-red", "cleat-blue", "bodice-red", "followspot")) == (
        "Shackle red with the Cleat blue film, five layers"
    )
    assert (
        pairing(told("capstan-bottle", "none", "bolt-green", "noon")) == "Capstan bottle, no foil, uncoated"
    )


def test_no_small_lamp_no_sparkle():
    said = sentence(told("pulley-blue", "none", "leotard-blue", "noon"))
    assert "The light here is soft, so it hardly sparkles." in said
    assert "no sparkle" in short(told("pulley-blue", "none", "leotard-blue", "noon"))
    assert "It hardly sparkles here." in sentence(made(glow=BLUE, swatch=BLUE, flash=None))


def test_sparkle_in_words_or_in_per_cent():
    guessed = made(glow=BLUE, swatch=BLUE, flash=HALF_GREEN)
    assert "But about half of its sparkle is greenish" in sentence(guessed)
    exact = sentence(measured(guessed))
    assert "50 % of its sparkle is greenish" in exact
    assert is_well_formed(exact)
    assert (flash_basis(guessed), drift_basis(guessed)) == ("invented", "invented")
    assert (flash_basis(measured(guessed)), drift_basis(measured(guessed))) == ("measured", "measured")


def test_a_guessed_swatch_leaves_the_sparkle_measured():
    reading = measured(made(glow=BLUE, swatch=BLUE, flash=HALF_GREEN))
    guess = replace(reading.question.swatch, basis="estimated")
    reading = replace(reading, question=replace(reading.question, swatch=guess))
    assert flash_basis(reading) == "measured"
    assert drift_basis(reading) == "estimated"
    assert "50 %" in sentence(reading)
    assert "Nearly all batches come out like this." in sentence(reading)


def test_sparkle_is_told_by_number_with_neighbouring_hues_added_up():
    brighter = sparkling(blue=(0.5, 0.8), green=(0.5, 0.2))
    assert "But about a fifth of its sparkle is greenish" in sentence(
        made(glow=BLUE, swatch=BLUE, flash=brighter)
    )
    rivals = sparkling(blue=(0.2, 0.2), green=(0.7, 0.2), red=(0.1, 0.6))
    assert "two thirds of its sparkle is reddish, about a fifth greenish" in sentence(
        made(glow=BLUE, swatch=BLUE, flash=rivals)
    )
    parted = sparkling(blue=(0.7, 0.7), blue_green=(0.1, 0.1), green=(0.09, 0.09), violet=(0.11, 0.11))
    assert "about a fifth of its sparkle is greenish" in sentence(made(glow=BLUE, swatch=BLUE, flash=parted))


def test_whether_a_coated_stone_reads_green_is_told_in_one_line():
    assert "Does it read green? No." in sentence(made(glow=BLUE, swatch=BLUE, flash=BLUES))
    assert "Does it read green? Yes, to about " in sentence(made(glow=GREEN, swatch=BLUE, flash=BLUES))
    assert "Does it read green? Only some of its sparkle does" in sentence(
        made(glow=BLUE, swatch=BLUE, flash=HALF_GREEN)
    )
    assert "read green" not in sentence(told("pulley-blue", "none", "leotard-blue", "noon"))
    seats = made(glow=BLUE, swatch=BLUE, flash=HALF_GREEN, distance=15.0)
    assert where_worn(seats).startswith("From 15 m it looks ")
    assert " with a green sparkle, about the same as your swatch." in where_worn(seats)
    assert " and reads green, " in where_worn(made(glow=GREEN, swatch=BLUE))


def test_sparkle_of_the_stones_own_hue_is_no_but():
    assert "Most of its sparkle is bluish" in sentence(made(glow=BLUE, swatch=BLUE, flash=BLUES))
    white = sparkling(white=(1.0, 1.0))
    assert "Its sparkle is white" in sentence(made(glow=BLUE, swatch=BLUE, flash=white))


def test_a_tenth_of_the_sparkle_is_no_but():
    tenth, fifth = (sparkling(blue=(1 - part, 1 - part), green=(part, part)) for part in (0.12, 0.2))
    assert ". About a tenth of its sparkle is greenish." in sentence(
        made(glow=BLUE, swatch=BLUE, flash=tenth)
    )
    assert ". But about a fifth of its sparkle is greenish." in sentence(
        made(glow=BLUE, swatch=BLUE, flash=fifth)
    )
    two = sparkling(blue=(0.76, 0.76), green=(0.12, 0.12), red=(0.12, 0.12))
    assert ". But about a tenth of its sparkle is " in sentence(made(glow=BLUE, swatch=BLUE, flash=two))


def test_green_and_blue_are_not_told_apart_from_far():
    """Small-field tritanopia, below some 10 to 20 minutes of arc (Willmer & Wright 1945; from memory)."""
    doubt = "may pass for blue"
    far = made(glow=BLUE, swatch=BLUE, flash=HALF_GREEN, distance=20.0)
    near = made(glow=BLUE, swatch=BLUE, flash=HALF_GREEN, distance=0.3)
    assert doubt in sentence(far)
    assert doubt not in sentence(near)
    red = sparkling(blue=(0.5, 0.5), red=(0.5, 0.5))
    assert "may pass" not in sentence(made(glow=BLUE, swatch=BLUE, flash=red, distance=20.0))


def test_at_hand_it_is_told_facet_by_facet():
    near = read(
        asked("pulley-blue", "halyard-aurora", "leotard-blue", "followspot", size="SS30", distance=0.4), QUICK
    )
    assert near.at_hand
    assert ". Close up, " in sentence(near)
    assert "lose up, " not in sentence(base())


def test_brighter_than_white_is_said():
    said = sentence(made(glow=(120.0, 0.0, 0.0), swatch=(95.0, 0.0, 0.0)))
    assert "It looks brighter than white cloth" in said


def test_the_verdict_follows_wish_and_tolerance():
    far = {"glow": LIGHTER, "swatch": BLUE}
    assert "but just about passes for it from the seats" in sentence(made(**far))
    assert "does not pass for it at arm's length" in sentence(made(**far, tolerance="arm"))
    assert "but is still the same colour" in sentence(made(**far, tolerance="family"))
    assert "would call it green; your swatch is blue" in sentence(
        made(glow=GREEN, swatch=BLUE, tolerance="family")
    )
    assert "more than you allow" in sentence(made(**far, tolerance=4.0))
    assert "within what you allow" in sentence(made(**far, tolerance=40.0))
    assert "keeps to its hue, as you want" in sentence(made(**far, wish="tone"))
    assert "and strays from its hue" in sentence(made(glow=GREEN, swatch=BLUE, wish="tone"))
    assert "stands out as you want" in sentence(made(**far, wish="contrast"))
    assert "hardly stands out" in sentence(made(glow=BLUE, swatch=BLUE, wish="contrast"))
    assert "about the same as your swatch, and passes for it from the seats" in sentence(
        made(glow=BLUE, swatch=BLUE)
    )


def test_lots():
    assert "Nearly all batches come out like this." in sentence(made(glow=BLUE, swatch=BLUE))
    torn = made(glow=(59.0, 12.0, -43.0), swatch=BLUE, spread=4.0)
    assert "Batches differ: " in sentence(torn)
    assert re.search(r"Batches differ: \d\d % of them match", sentence(measured(torn)))
    assert re.search(r"\d batch(es)? in 10 within the tolerance", figures(torn))


def test_shares_of_lots_with_and_without_the_doubt_of_the_swatch_are_told_apart():
    reading = made(glow=(50.0, 10.0, -45.0), swatch=BLUE, spread=2.0)
    exactly = tenths(fit(reading).lots)
    less = holding(reading, fit(reading).lots - 0.1)
    assert f"{exactly} within the tolerance if the swatch is exactly as given; " in figures(less)
    assert f"{tenths(less.lots.within_tolerance)} with the doubt about it, " in figures(less)
    assert "exactly as given" not in figures(holding(reading, fit(reading).lots))


def holding(reading, share):
    """Return a reading of whose lots that share holds, the swatch's doubt counted."""
    lots = replace(reading.lots)
    vars(lots)["within_tolerance"] = share
    return replace(reading, lots=lots)


def test_figures_have_decimals_only_where_all_is_measured():
    reading = made(glow=LIGHTER, swatch=BLUE, flash=HALF_GREEN)
    assert re.search(r"the swatch ΔE00 \d\d, ΔL\* \+18, ", figures(reading))
    assert re.search(r"ΔE00 \d+\.\d,", figures(measured(reading)))
    assert "by light 50 % blue, 30 % green, 20 % blue green" in figures(reading)
    grey = made(glow=(60.0, 0.0, 0.0), swatch=(60.0, 0.0, 0.0))
    assert "hue undefined" in figures(grey)


def test_cannot_tell_only_where_the_swatch_is_to_blame():
    near_limit = {"glow": (61.5, 10.0, -45.0), "swatch": BLUE}
    said = cannot_tell(made(**near_limit, doubt=6.0))
    assert said is not None
    assert said.startswith("I can't tell: your swatch's colour is not known closely enough, and the answer")
    assert is_well_formed(said)
    assert cannot_tell(made(**near_limit, doubt=1.0)) is None
    assert cannot_tell(made(glow=GREEN, swatch=BLUE, doubt=6.0)) is None
    assert cannot_tell(made(glow=BLUE, swatch=BLUE, doubt=4.0)) is None
    assert cannot_tell(made(glow=BLUE, swatch=BLUE, doubt=4.0, tolerance="arm")) is not None
    # Between blue and purple, where the word itself is in doubt.
    between = cannot_tell(
        made(glow=(45.0, 20.0, -44.0), swatch=(45.0, 33.0, -40.0), doubt=10.0, tolerance="family")
    )
    assert between is not None


def test_cannot_tell_is_no_answer_about_lots():
    torn = made(glow=(50.0, 10.0, -45.0), swatch=BLUE, spread=6.0)
    assert cannot_tell(torn) is None


def test_shares_in_words():
    expected = {
        0.0: "hardly any", 0.1: "about a tenth", 0.2: "about a fifth", 0.25: "about a quarter",
        1 / 3: "about a third", 0.5: "about half", 2 / 3: "about two thirds", 0.75: "about three quarters",
        0.9: "most", 1.0: "nearly all",
    }  # fmt: skip
    assert {value: share(value) for value in expected} == expected
    assert share(0.343, exact=True) == "34 %"
    assert [share(value) for value in np.linspace(0, 1, 101)]


def test_turns_of_phrase():
    assert listed(["red"]) == "red"
    assert listed(["red", "green", "blue"], "or") == "red, green or blue"
    assert than("lighter, much greener, duller", "it") == "lighter, much greener and duller than it"
    assert than("about the same", "it") == "about the same as it"
    assert (tenths(0.8), tenths(0.1, "time")) == ("8 batches in 10", "1 time in 10")
    assert (signed(-3.24, "°", 1), signed(14.4), signed(-0.2)) == ("−3.2°", "+14", "0")


def test_every_demo_name_reads_well():
    for stone in palette().stones.values():
        films = (one for one in palette().coatings.values() if can_carry(stone, one))
        for coating in (None, *films):
            reading = replace(base(), question=replace(base().question, stone=stone, coating=coating))
            assert "film film" not in pairing(reading)
            assert "  " not in pairing(reading)


def test_batches_of_two_colours_are_told_with_both():
    blue, teal = (30.0, 15.0, -50.0), (45.0, -28.0, -12.0)
    start = made(glow=blue, swatch=blue)
    for part, ranging in ((0.4, True), (0.05, False)):
        lots = np.where(np.arange(500)[:, None] < 500 * part, teal, blue)
        said = sentence(replace(start, lab_lots=lots))
        assert ("Batches range from blue to teal" in said) == ranging
    uncoated = replace(start, question=replace(start.question, coating=None), lab_lots=lots)
    assert "range from" not in sentence(uncoated)
