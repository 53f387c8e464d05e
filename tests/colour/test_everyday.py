"""What people call a colour, held to what left-out names and another standard say."""

import re
import tomllib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.colour.difference import delta_e
from planner.colour.everyday import ENOUGH, WIDTH, overlap, shares, survey, word_of, words
from planner.colour.names import FAMILIES, centroid_lab, family_index, names
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.uniform import lab_to_cam16_ucs
from planner.data import shared

labs = st.tuples(*[st.floats(low, high) for low, high in ((0, 100), (-80, 80), (-80, 80))]).map(np.array)


def of(text):
    return srgb_to_lab(parse_hex(text))


@given(labs, labs)
def test_shares_sum_to_one_and_overlap_is_a_share(one, two):
    assert shares(one).sum() == pytest.approx(1.0, abs=1e-4)
    assert overlap(one, two) == pytest.approx(overlap(two, one), abs=1e-5)
    assert 0.0 <= overlap(one, two) <= 1.0 + 1e-5
    assert overlap(one, one) == pytest.approx(1.0, abs=1e-4)


@given(st.lists(st.integers(0, 255), min_size=3, max_size=3))
def test_a_just_visible_step_hardly_changes_the_word(rgb):
    one = srgb_to_lab(np.array(rgb, np.uint8))
    assert overlap(one, one + np.array([0.5, 0.4, 0.4])) > 0.75


@pytest.mark.parametrize(
    ("colour", "word"),
    [
        # The best examples of Berlin & Kay's basic terms as everyday sRGB, from memory.
        ("#000000", "black"), ("#ffffff", "white"), ("#808080", "grey"), ("#c01818", "red"),
        ("#f08010", "orange"), ("#6b4423", "brown"), ("#f0d020", "yellow"), ("#209030", "green"),
        ("#2050b0", "blue"), ("#702090", "purple"), ("#f090b0", "pink"), ("#108080", "teal"),
        ("#e0cda9", "beige"), ("#1a1a1a", "black"),
    ],
)  # fmt: skip
def test_best_examples(colour, word):
    assert word_of(of(colour))[0] == word


def test_width_is_that_by_which_left_out_names_are_foretold_best():
    lists = tomllib.loads(shared("everyday_words.toml").read_text(encoding="utf-8"))
    single = {one: word for word in lists for one in (word,)}
    # Only names that hold exactly one everyday word itself: no synonym of ours decides.
    known = [
        (lab, single[found[0]])
        for name, lab in survey()
        if len(found := [part for part in re.split(r"[ /]", name) if part in single]) == 1
    ]
    places = lab_to_cam16_ucs(np.array([lab for lab, _ in known]))
    right = np.array([words().index(word) for _, word in known])
    votes = np.eye(len(words()))[right]
    apart = ((places[:, None] - places) ** 2).sum(axis=-1)
    found = {}
    for width in (2.0, 3.0, 4.0, 5.0, 6.0, 8.0):
        weight = np.exp(-0.5 * apart / width**2)
        np.fill_diagonal(weight, 0.0)
        share = (weight @ votes + 1e-3 * votes.mean(axis=0)) / (weight.sum(axis=1) + 1e-3)[:, None]
        told = share[np.arange(len(right)), right]
        found[width] = float(np.log(told).mean())
        agree = (share.argmax(axis=1) == right).mean()
        print(
            f"\n  width {width:g}: mean log share of the true word {found[width]:.3f}, right {agree:.0%}",
            end="",
        )
    assert abs(max(found, key=found.get) - WIDTH) <= 1.0


# Everyday words that may stand for each ISCC-NBS family.
ALSO = {
    "yellow green": {"yellow", "green"}, "blue green": {"teal", "green", "blue"},
    "violet": {"purple", "blue"},
    "olive": {"green", "brown", "yellow"}, "brown": {"brown", "beige", "orange"},
    "yellow": {"yellow", "beige", "green", "brown", "orange"}, "orange": {"orange", "brown", "beige"},
    "red": {"red", "pink", "brown"}, "pink": {"pink", "beige", "orange"}, "purple": {"purple", "pink"},
}  # fmt: skip


def test_the_standards_chromatic_names_get_the_words_they_ask_for():
    """ISCC-NBS centroids took no part but the neutral ones; printed with -s, with its misses."""
    lab = centroid_lab()
    families = [FAMILIES[at] for at in family_index(lab)]
    clear = (np.hypot(lab[:, 1], lab[:, 2]) > 20) & (lab[:, 0] > 25)
    said = [words()[at] for at in shares(lab).argmax(axis=-1)]
    rows = [
        (name, family, word)
        for name, family, word, counts in zip(names(), families, said, clear, strict=True)
        if counts
    ]  # fmt: skip
    misses = [row for row in rows if row[2] not in ALSO.get(row[1], {row[1]})]
    print(f"\n  {len(rows) - len(misses)} of {len(rows)} as the standard has them")
    for name, _, word in misses:
        print(f"    {name}: {word}")
    assert len(misses) < 0.1 * len(rows)


BORDERS = [
    ("blue", "#2a4b9c", "purple", "#7b3aa0"),
    ("blue", "#2a7fc0", "teal", "#109090"),
    ("red", "#c02030", "pink", "#f090a0"),
    ("orange", "#e07a20", "brown", "#7a4a20"),
    ("beige", "#e0c9a6", "pink", "#f2b8c0"),
]


@pytest.mark.parametrize(("word", "start", "other", "end"), BORDERS)
def test_at_a_border_the_overlap_falls_smoothly_and_below_what_is_enough(word, start, other, end):
    """Printed with -s: CIEDE2000 (kL = 2) and overlap on the way across a border."""
    one, two = of(start), of(end)
    way = [one + (two - one) * t for t in np.linspace(0.0, 1.0, 9)]
    print(f"\n  {word} to {other}")
    for there in way:
        named, many = word_of(there)
        print(f"    {delta_e(one, there, 2.0):5.1f}  {overlap(one, there):4.0%}  {many:4.0%} {named}")
    assert word_of(one)[0] == word
    assert word_of(two)[0] == other
    assert overlap(one, two) < ENOUGH
    assert overlap(one, way[1]) > ENOUGH
