"""A guessed spectrum must have its colour exactly, and its error under other lamps must be known."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference import colour

from planner.colour.cielab import appearance, lab_to_xyz, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.grid import resample
from planner.colour.observer import illuminant
from planner.colour.screen import srgb_to_lab
from planner.colour.tristimulus import weights
from planner.swatch.recover import RECOVERY_SPREAD, reflectance_from_xyz

DAYLIGHT = weights(illuminant("D65"))


@settings(max_examples=60, deadline=None)
@given(st.tuples(*[st.integers(0, 255)] * 3), st.sampled_from(["D65", "A", "LED-B3"]))
def test_every_screen_colour_gets_a_possible_spectrum_of_exactly_that_colour(rgb, lamp):
    lab = srgb_to_lab(np.array(rgb, dtype=np.uint8))
    reflectance = reflectance_from_xyz(lab_to_xyz(lab), DAYLIGHT)
    assert reflectance.min() >= 0
    assert reflectance.max() <= 1
    assert delta_e(xyz_to_lab(reflectance @ DAYLIGHT), lab) < 0.01
    # And again from its colour under another lamp.
    light = weights(illuminant(lamp))
    again = reflectance_from_xyz(reflectance @ light, light)
    white = light.sum(axis=0)
    assert delta_e(appearance(again @ light, white), appearance(reflectance @ light, white)) < 0.01


def test_a_grey_gets_a_flat_spectrum():
    np.testing.assert_allclose(reflectance_from_xyz(0.3 * DAYLIGHT.sum(axis=0), DAYLIGHT), 0.3, atol=1e-4)


@pytest.mark.parametrize(
    "lab",
    [(95, -60, 110), (60, 110, 20), (105, 0, 0), (50, 0, 150), (90, -120, 40)],
    ids=["neon yellow", "neon pink", "brighter than white", "beyond yellow", "neon green"],
)
def test_what_no_surface_can_reflect_is_refused_in_one_sentence(lab):
    with pytest.raises(ValueError, match=r"^No reflecting surface has the colour XYZ .*neon"):
        reflectance_from_xyz(lab_to_xyz(np.array(lab, dtype=float)), DAYLIGHT)


def measured_spectra():
    """212 published reflectances, as carried by colour-science (BSD-3-Clause).

    The 24 patches of ISO 17321-1:2012; 30 of the preferred memory colour chart (M. R. Luo, 2024); 29 test
    samples of CIE 13.3:1995 and CIE 2024; 30 of the colour quality scale 7.4 and 9.0 (Y. Ohno,
    W. Davis, 2008); 99 of CIE 224:2017. Several recur, slightly different, in two of the editions.
    """
    tables = [*colour.SDS_COLOURCHECKERS["ISO 17321-1"].values(), *colour.SDS_COLOURCHECKERS["PMC"].values()]
    tables += [
        sample
        for group in (colour.quality.datasets.SDS_TCS, colour.quality.datasets.SDS_VS)
        for kind in group.values()
        for sample in kind.values()
    ]
    spectra = [resample(table.wavelengths, table.values) for table in tables]
    return np.array(
        [*spectra, *colour.quality.cfi2017.load_TCS_CIE2017(colour.SpectralShape(380, 780, 5)).values.T]
    )


def test_the_stated_spread_is_what_measured_spectra_show():
    spectra = measured_spectra()
    assert len(spectra) == 212
    recovered = np.array([reflectance_from_xyz(spectrum @ DAYLIGHT, DAYLIGHT) for spectrum in spectra])
    in_daylight = xyz_to_lab(spectra @ DAYLIGHT)
    worst = 0.0
    for lamp in ("A", "FL2", "FL11", "LED-B1", "LED-RGB1"):
        light = weights(illuminant(lamp))
        seen = appearance(spectra @ light, light.sum(axis=0))
        missed = delta_e(seen, appearance(recovered @ light, light.sum(axis=0)))
        unmoved = delta_e(seen, in_daylight)
        rms = np.sqrt((missed**2).mean())
        worst = max(worst, rms)
        print(
            f"\n{lamp}: mean {missed.mean():.2f}, 95th percentile {np.percentile(missed, 95):.2f}, "
            f"rms {rms:.2f}; without a spectrum, mean {unmoved.mean():.2f}",
            end="",
        )
        assert missed.mean() < unmoved.mean()
    assert worst == pytest.approx(RECOVERY_SPREAD, abs=0.1)
