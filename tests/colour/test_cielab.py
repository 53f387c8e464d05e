"""CIELAB against an independent library; the way back; hue at the seam and near neutral."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference import colour

from planner.colour.cielab import (
    hue_difference,
    hue_is_defined,
    lab_to_lch,
    lab_to_xyz,
    lch_to_lab,
    xyz_to_lab,
)
from planner.colour.tristimulus import white_d65

labs = st.tuples(*[st.floats(low, high) for low, high in ((-5, 400), (-150, 150), (-150, 150))]).map(np.array)


def test_agrees_with_colour_science_bright_and_dark():
    xyz = np.concatenate([np.random.default_rng(4).uniform(0, top, (200, 3)) for top in (0.01, 1.0, 30.0)])
    white_xy = colour.XYZ_to_xy(white_d65())
    np.testing.assert_allclose(xyz_to_lab(xyz), colour.XYZ_to_Lab(xyz, white_xy), atol=1e-9)


@given(labs)
def test_there_and_back(lab):
    np.testing.assert_allclose(xyz_to_lab(lab_to_xyz(lab)), lab, atol=1e-7)
    np.testing.assert_allclose(lch_to_lab(lab_to_lch(lab)), lab, atol=1e-9)


@given(labs)
def test_hue_lies_from_0_up_to_360(lab):
    assert 0 <= lab_to_lch(lab)[2] < 360


def test_a_hue_a_hair_below_0_is_not_360():
    assert lab_to_lch(np.array([50.0, 20.0, -1e-300]))[2] == 0


@given(st.floats(0, 360), st.floats(-179.9, 179.9))
def test_hue_difference_takes_the_shorter_way(hue, turn):
    assert hue_difference(hue, (hue + turn) % 360) == pytest.approx(turn, abs=1e-9)


def test_grey_has_no_hue():
    assert hue_is_defined([0.0, 1.9, 2.0, 50.0]).tolist() == [False, False, True, True]
