"""What is known of a colour survives the way from CIELAB to ΔE00 and back."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.catalogue.cloth import Cloth, cloth_kinds
from planner.colour.difference import delta_e
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


@pytest.mark.parametrize("kind", list(cloth_kinds()))
def test_the_kind_is_kept_with_the_colour_as_it_was_got(kind):
    plain = from_text("lab 40 20 10")
    seen = on_cloth(plain, Cloth(kind=kind, backing="fair skin" if kind == "sheer" else None))
    assert seen.colour is plain.colour
    assert seen.cloth.kind == kind
    assert cloth_kinds()[kind].says in seen.notes
    assert kind in seen.how


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"kind": "wool"}, 'found "wool", which is no kind of cloth; allowed are matte'),
        ({"kind": "sheer"}, "found no backing"),
        ({"kind": "satin", "backing": "fair skin"}, "only a sheer one has it"),
        ({"kind": "matte", "second": "#102030"}, "only a two-tone one has it"),
        ({"kind": "sheer", "backing": "tree bark"}, "a backing must be a colour or one of fair-skin"),
        ({"kind": "sheer", "backing": "fair skin", "lets_through": 40}, "a share of light let through"),
    ],
)
def test_a_kind_that_cannot_be_is_refused_in_words(fields, says):
    with pytest.raises(ValueError, match=re.escape(says)):
        Cloth(**fields)
