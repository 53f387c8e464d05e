"""What is known of a colour survives the way from CIELAB to ΔE00 and back."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.colour.difference import delta_e
from planner.swatch.cloth import cloth_kind, cloth_kinds
from planner.swatch.spread import covariance_of, half_width, metric, rms
from planner.swatch.taken import on_cloth
from planner.swatch.typed import from_text

LAB = st.tuples(st.floats(15, 95), st.floats(-60, 60), st.floats(-60, 60)).map(np.array)


@given(LAB, st.floats(0.2, 3.0))
def test_an_uncertainty_comes_back_from_its_covariance(lab, uncertainty):
    covariance = covariance_of(lab, uncertainty)
    assert rms(lab, covariance) == pytest.approx(uncertainty, rel=0.2)
    # Nine in ten of a normal spread in three directions: 1.44 times its root mean square.
    assert half_width(lab, covariance) == pytest.approx(1.44 * uncertainty, rel=0.25)


@given(LAB)
def test_the_metric_is_the_difference_of_near_colours(lab):
    step = np.array([0.05, -0.03, 0.04])
    assert np.sqrt(step @ metric(lab) @ step) == pytest.approx(delta_e(lab, lab + step), rel=0.05)


@pytest.mark.parametrize("kind", [name for name in cloth_kinds() if name != "matte"])
def test_cloth_that_changes_with_direction_is_less_sure_and_says_so(kind):
    plain = from_text("lab 40 20 10")
    seen = on_cloth(plain, cloth_kind(kind, "skin"), "skin")
    assert seen.colour.uncertainty > plain.colour.uncertainty + 0.5
    assert cloth_kinds()[kind].says in seen.notes
    assert kind in seen.how
    assert (seen.colour.lab == plain.colour.lab).all()


def test_sheer_cloth_needs_its_backing():
    with pytest.raises(ValueError, match="say what that was"):
        cloth_kind("sheer")
    assert "over skin" in on_cloth(from_text("lab 40 20 10"), cloth_kind("sheer", "skin"), "skin").how
    with pytest.raises(ValueError, match="found 'wool', which is no kind"):
        cloth_kind("wool")
