"""Spectra brought to the grid keep their values, and a narrow line keeps its energy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.colour.grid import WAVELENGTHS, resample


def test_the_grid_itself_returns_unchanged():
    values = np.random.default_rng(0).uniform(size=81)
    np.testing.assert_array_equal(resample(WAVELENGTHS, values), values)
    np.testing.assert_array_equal(resample(WAVELENGTHS[::-1], values[::-1]), values)


def test_a_coarse_table_is_joined_by_straight_lines_and_its_ends_are_held():
    result = resample([400, 700], [0.2, 0.8])
    assert result[0] == result[4] == 0.2
    assert result[-1] == 0.8
    assert result[WAVELENGTHS == 550] == pytest.approx(0.5)


@given(st.floats(400, 760))
def test_a_narrow_line_keeps_its_energy_wherever_it_falls(centre):
    nm = np.arange(370, 791, 1.0)
    line = np.exp(-(((nm - centre) / 1.5) ** 2))
    assert resample(nm, line).sum() * 5 == pytest.approx(line.sum(), rel=1e-6)


def test_a_fine_straight_line_stays_one():
    nm = np.arange(370, 791, 0.5)
    np.testing.assert_allclose(resample(nm, nm / 1000), WAVELENGTHS / 1000)


@pytest.mark.parametrize(
    ("nm", "values", "message"),
    [
        ([420, 780], [1, 1], "found 420 to 780 nm"),
        ([380, 690], [1, 1], "found 380 to 690 nm"),
        ([0.38, 0.78], [1, 1], "found 0.38 to 0.78 nm"),
        ([380, 500, 500, 780], [1, 1, 2, 1], "found 500 nm twice"),
        ([380, 780], [1, np.nan], "finite"),
        ([380, 780], [1, 1, 1], "2 wavelengths and 3 values"),
    ],
)
def test_a_bad_table_is_refused_in_one_sentence(nm, values, message):
    with pytest.raises(ValueError, match=message):
        resample(nm, values)
