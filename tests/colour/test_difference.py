"""CIEDE2000 against the table its implementers test with, and against an independent library."""

import numpy as np
import pytest
from colormath.color_diff_matrix import delta_e_cie2000
from hypothesis import given
from hypothesis import strategies as st
from reference import colour

from planner.colour.difference import delta_components, delta_e
from planner.colour.tables import read_table

labs = st.tuples(*[st.floats(low, high) for low, high in ((0, 100), (-120, 120), (-120, 120))]).map(np.array)


def test_all_34_pairs_of_sharma_wu_and_dalal_to_four_decimals():
    # G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30, 21-30 (2005), table 1.
    table = read_table("ciede2000_pairs.csv")
    first = np.stack([table[name] for name in ("L1", "a1", "b1")], axis=-1)
    second = np.stack([table[name] for name in ("L2", "a2", "b2")], axis=-1)
    assert len(first) == 34
    np.testing.assert_array_equal(delta_e(first, second).round(4), table["dE00"])


def test_agrees_with_independent_libraries_on_random_colours():
    random = np.random.default_rng(1)
    one = random.uniform([0, -100, -100], [100, 100, 100])
    many = random.uniform([0, -100, -100], [100, 100, 100], (5_000, 3))
    ours = delta_e(one, many)
    np.testing.assert_allclose(
        ours, colour.delta_E(np.tile(one, (5_000, 1)), many, method="CIE 2000"), atol=1e-9
    )
    # colormath leaves a mean hue above 360 degrees as it is where it enters the blue rotation term.
    np.testing.assert_allclose(ours, delta_e_cie2000(one, many), atol=2e-4)


@given(labs, labs)
def test_is_symmetric_not_negative_and_zero_only_on_itself(one, two):
    assert delta_e(one, two) == pytest.approx(delta_e(two, one), abs=1e-9)
    assert delta_e(one, two) >= 0
    assert delta_e(one, one) == 0


def test_compares_all_with_all_by_broadcasting():
    colours = np.random.default_rng(2).uniform(-50, 90, (130, 3))
    table = delta_e(colours[:, None], colours)
    assert table.shape == (130, 130)
    assert table[3, 99] == delta_e(colours[3], colours[99])


def test_components_are_signed_from_the_first_to_the_second_and_cross_0_degrees():
    one, two = np.array([50.0, 20.0, -1.0]), np.array([60.0, 40.0, 2.0])
    lightness, chroma, hue = delta_components(one, two)
    assert lightness == 10
    assert chroma == pytest.approx(np.hypot(40, 2) - np.hypot(20, 1))
    assert hue == pytest.approx(np.degrees(np.arctan(2 / 40) + np.arctan(1 / 20)))
    assert delta_components(two, one)[2] == pytest.approx(-hue)


def test_a_colour_near_neutral_has_no_hue_difference():
    assert np.isnan(delta_components(np.array([50.0, 0.5, 0.5]), np.array([50.0, 20.0, 0.0]))[2])
