"""A guessed spectrum's colour under another lamp lies within the spread that is stated for it.

The modes come from the 99 samples of CIE 224:2017; here are 89 others, which the
photographs of tests/swatch/conftest.py show, as carried by colour-science (BSD-3-Clause).
"""

import numpy as np
import pytest

from planner.colour.cielab import appearance, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.swatch.metamers import under
from planner.swatch.resolve import from_lab, from_reflectance
from planner.swatch.spread import half_width, rms

DAYLIGHT = weights(illuminant("D65"))


@pytest.mark.parametrize("lamp", ["A", "FL2", "FL11", "LED-B1", "LED-RGB1"])
def test_nine_in_ten_spectra_lie_within_the_stated_spread(lamp, studio):
    light = weights(illuminant(lamp))
    inside, wide = [], []
    for spectrum in studio.cloths():
        lab, covariance = under(from_lab(xyz_to_lab(spectrum @ DAYLIGHT), uncertainty=0), illuminant(lamp))
        missed = delta_e(appearance(spectrum @ light, light.sum(axis=0)), lab)
        wide.append(half_width(lab, covariance))
        inside.append(missed <= wide[-1])
    print(
        f"\n{lamp}: {100 * np.mean(inside):.0f} % within, median half-width ΔE00 {np.median(wide):.1f}",
        end="",
    )
    assert 0.85 <= np.mean(inside) < 1.0
    assert np.median(wide) < 4.5


def test_in_daylight_nothing_is_added_and_a_measured_spectrum_adds_nothing_anywhere():
    guessed = from_lab((40, 20, -30), uncertainty=1.0)
    assert rms(*under(guessed, illuminant("D65"))) == pytest.approx(1.0, rel=0.1)
    measured = from_reflectance(np.arange(380, 781, 5), guessed.reflectance, uncertainty=1.0)
    assert rms(*under(measured, illuminant("A"))) == pytest.approx(1.0, rel=0.1)
    assert rms(*under(guessed, illuminant("A"))) > 1.5


def test_black_and_white_are_no_trouble():
    for lightness in (0.5, 99.9):
        lab, covariance = under(from_lab((lightness, 0, 0), uncertainty=0), illuminant("A"))
        assert np.isfinite(covariance).all()
        assert np.hypot(*lab[1:]) < 0.1


def test_neon_is_declined():
    with pytest.raises(ValueError, match="daylight alone"):
        under(from_lab((95, -60, 110), fluorescent=True), illuminant("A"))
