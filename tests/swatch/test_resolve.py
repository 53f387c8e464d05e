"""Three ways in, one value out."""

import numpy as np
import pytest

from planner.colour.cielab import xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.swatch.recover import RECOVERY_SPREAD
from planner.swatch.resolve import from_hex, from_lab, from_reflectance

DAYLIGHT = weights(illuminant("D65"))


def test_a_typed_colour_is_estimated_and_less_sure_under_another_lamp():
    swatch = from_hex("#2a4b9c", uncertainty=1.5)
    assert swatch.basis == "estimated"
    assert swatch.uncertainty == 1.5
    assert swatch.uncertainty_elsewhere == pytest.approx(np.hypot(1.5, RECOVERY_SPREAD))
    assert delta_e(xyz_to_lab(swatch.reflectance @ DAYLIGHT), swatch.lab) < 0.01


def test_a_measured_swatch_is_as_sure_under_any_lamp():
    nm = np.arange(400, 701, 10)
    swatch = from_reflectance(nm, 0.2 + 0.3 * (nm > 550))
    assert not swatch.recovered
    assert swatch.basis == "measured"
    assert swatch.uncertainty_elsewhere == swatch.uncertainty
    assert delta_e(xyz_to_lab(swatch.reflectance @ DAYLIGHT), swatch.lab) == 0


def test_the_three_ways_agree():
    typed = from_hex("8a2035")
    assert delta_e(from_lab(typed.lab).lab, typed.lab) == 0
    measured = from_reflectance(np.arange(380, 781, 5), typed.reflectance)
    assert delta_e(measured.lab, typed.lab) < 0.01


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: from_lab((90, -120, 40)), "No reflecting surface has L.*90, -120, 40.*neon"),
        (lambda: from_lab((90, 1)), "three numbers"),
        (lambda: from_hex("navy"), "found 'navy'"),
        (lambda: from_hex("#123456", uncertainty=-1), "0 or more: found -1"),
        (lambda: from_reflectance([400, 700], [20, 45]), "divided by 100"),
        (lambda: from_reflectance([420, 700], [0.2, 0.4]), "found 420 to 700 nm"),
    ],
)
def test_bad_input_gets_one_clear_sentence(make, message):
    with pytest.raises(ValueError, match=message) as caught:
        make()
    assert "\n" not in str(caught.value)
