"""What a person may type for a colour, and what it is taken to mean."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.colour.names import FAMILIES, family_of, name_of
from planner.colour.screen import srgb_to_lab
from planner.fitting.card import metric
from planner.fitting.sight import ERRORS, family_misfit, sight


def test_digits_names_and_families_are_told_apart():
    assert sight("2a4b9c", "photo").error == pytest.approx(4.0, abs=0.1)
    assert sight("#2A4B9C").error == pytest.approx(6.0, abs=0.1)
    named = sight("Vivid  Purplish Blue", "photo")
    assert named.source == "words"
    assert name_of(named.lab) == "vivid purplish blue"
    assert sight("Gray").family == "grey"
    assert sight("blue").lab is None


@pytest.mark.parametrize(
    "text", ["", "blu", "2a4b9", "#12345g", "nice", "vivid blue blue", "0" * 400, "\x1b[2J"]
)
def test_what_is_no_colour_is_refused_in_one_sentence(text):
    with pytest.raises(ValueError, match="is no colour") as refused:
        sight(text)
    assert "\n" not in str(refused.value)
    assert "six hexadecimal digits" in str(refused.value)
    assert str(refused.value).isprintable()


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_a_colour_fits_the_family_it_is_named_after(rgb):
    lab = srgb_to_lab(np.array(rgb, np.uint8))
    if np.hypot(*lab[1:]) > 8:  # nearer to neutral other rules name it
        assert family_misfit(lab[None], family_of(lab))[0] <= 4.0
    assert all(family_misfit(lab[None], one)[0] >= 0 for one in FAMILIES)


def test_a_family_shuts_out_its_opposite():
    blue, orange = srgb_to_lab(np.array([[30, 60, 200], [230, 120, 20]], np.uint8))
    assert family_misfit(blue[None], "blue")[0] == 0
    assert family_misfit(orange[None], "blue")[0] > 20


@given(st.tuples(*[st.integers(0, 255)] * 3), st.tuples(*[st.floats(-1.0, 1.0)] * 3))
def test_the_metric_is_near_ciede2000(rgb, step):
    """Against colour-science; blues, whose rotation term is left out, may be off by more."""
    import colour

    lab = srgb_to_lab(np.array(rgb, np.uint8))
    step = np.array(step)
    exact = float(colour.delta_E(lab, lab + step, method="CIE 2000"))
    blue = 220 < np.degrees(np.arctan2(lab[2], lab[1])) % 360 < 330
    assert np.linalg.norm(metric(lab) @ step) == pytest.approx(exact, rel=0.6 if blue else 0.4, abs=0.1)


def test_better_ways_of_seeing_have_smaller_errors():
    size = {name: np.hypot(*both) for name, both in ERRORS.items()}
    assert size["measured"] < size["photo"] < size["picked"] < size["words"]
