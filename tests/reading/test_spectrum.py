"""The curves drawn over wavelength are those that readings are made of."""

import numpy as np
import pytest
from made_readings import asked

from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.reading.matter import FINE, QUICK
from planner.reading.read import read
from planner.reading.scene import perceived, scene, tristimulus_weights
from planner.reading.spectrum import glow_spectrum, spectra, spectral_colours


def glow_of(question, factor):
    place = scene(question.venue)
    return perceived((np.nan_to_num(factor) * place.white) @ tristimulus_weights(), place)


@pytest.mark.parametrize("venue", ["rink", "followspot", "gym"])
@pytest.mark.parametrize(
    ("stone", "coating"),
    [
        ("pulley-blue", "halyard-aurora"),
        ("pulley-blue", "none"),
        ("capstan-bottle", "none"),
        ("tackle-jet", "bobbin-aurora"),
    ],
)
def test_the_spectrum_of_a_glow_has_the_colour_of_the_reading(stone, coating, venue):
    question = asked(stone, coating, "leotard-blue", venue)
    found = glow_of(question, glow_spectrum(question, QUICK))
    assert delta_e(found, np.array(read(question, QUICK).glow.lab)) < 0.5


def test_a_fine_spectrum_has_the_colour_of_the_fine_reading():
    question = asked("pulley-blue", "bobbin-aurora", "leotard-blue", "followspot")
    assert delta_e(glow_of(question, glow_spectrum(question)), np.array(read(question, FINE).glow.lab)) < 0.1


def test_curves_lie_on_the_planners_grid_and_the_uncoated_stone_has_no_film():
    question = asked("pulley-blue", "halyard-aurora", "doublet-violet", "theatre")
    bare = asked("pulley-blue", "none", "doublet-violet", "theatre")
    found = spectra(question, QUICK)
    assert all(
        curve.shape == WAVELENGTHS.shape for curve in (found.swatch, found.light, found.glow, found.uncoated)
    )
    np.testing.assert_allclose(found.uncoated, glow_spectrum(bare, QUICK))
    assert found.light.max() == pytest.approx(1.0)
    assert not np.allclose(found.glow, found.uncoated)


def test_spectral_colours_run_from_violet_through_green_to_red():
    red, green, blue = spectral_colours().astype(int).T
    at = {nm: int((nm - 380) / 5) for nm in (450, 530, 650)}
    assert blue[at[450]] > max(red[at[450]], green[at[450]])
    assert green[at[530]] > max(red[at[530]], blue[at[530]])
    assert red[at[650]] > max(green[at[650]], blue[at[650]])
