"""What a kind of cloth does to its colour: layers, weaves and sheen behave as light does."""

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.catalogue.cloth import Cloth, cloth_kinds
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.swatch.cloth import moved_over, of_cloth, sheen_at, turned
from planner.swatch.resolve import from_lab

SHARE = st.floats(0.02, 0.98)
LIGHT = weights(illuminant("D65"))
EVERYWHERE = np.linspace(0.0, 180.0, 37)
EVENLY = np.full(37, 1 / 37)


@cache
def colour(lightness, a, b):
    return from_lab((lightness, a, b), uncertainty=1.0)


def as_layer(own, through, behind):
    """What a layer on a backing sends back, followed bounce by bounce."""
    back, light = own, through * behind * through
    for _ in range(400):
        back, light = back + light, light * own * behind
    return back


@given(own=SHARE, through=SHARE, below=SHARE, behind=SHARE)
def test_a_sheer_layer_over_another_backing_is_the_sum_of_all_bounces(own, through, below, behind):
    own, one = own * (1 - through), np.ones(3)
    seen = as_layer(own, through, below)
    moved = moved_over(seen * one, below * one, behind * one, through)
    assert moved == pytest.approx(as_layer(own, through, behind), abs=1e-6)
    assert 0 <= moved.min() <= moved.max() <= 1
    # Over what it was read on nothing changes, and a lighter backing never makes it darker.
    assert moved_over(seen * one, below * one, below * one, through) == pytest.approx(seen, abs=1e-6)
    assert (moved[0] >= seen - 1e-9) == (behind >= below) or moved[0] == pytest.approx(seen, abs=1e-9)


@pytest.mark.parametrize("through", [0.05, 0.15, 0.25])
def test_sheer_cloth_over_a_darker_backing_is_darker_and_less_sure(through):
    cloth = colour(70.0, 5.0, 10.0)
    worn = of_cloth(
        cloth, Cloth(kind="sheer", backing="dark skin", read_over="white paper", lets_through=through)
    )
    assert worn.lab[0] < cloth.lab[0]
    assert 0 <= worn.reflectance.min() <= worn.reflectance.max() <= 1
    assert np.linalg.eigvalsh(worn.beyond)[-1] > 0.01


def test_a_dark_cloth_over_white_cannot_be_open():
    with pytest.raises(ValueError, match=r"60 % of the light let through.* lets through at most"):
        of_cloth(
            colour(40.0, 5.0, 10.0),
            Cloth(kind="sheer", backing="dark-skin", read_over="white-paper", lets_through=0.6),
        )


def test_sheer_cloth_on_its_own_backing_keeps_its_colour():
    cloth = colour(70.0, 5.0, 10.0)
    assert (of_cloth(cloth, Cloth(kind="sheer", backing="fair-skin")).lab == cloth.lab).all()


def test_neon_cloth_is_not_reckoned_over_another_backing():
    neon = from_lab((95, -60, 110), fluorescent=True)
    with pytest.raises(ValueError, match="found a fluorescent sheer cloth with read_over"):
        of_cloth(neon, Cloth(kind="sheer", backing="fair-skin", read_over="white-paper"))


def test_a_weave_is_the_mean_of_its_colours_in_light_and_spreads_along_the_line_between():
    blue, red = (35.0, 10.0, -40.0), (40.0, 50.0, 20.0)
    woven = of_cloth(colour(*blue), Cloth(kind="two-tone", second=list(red)))
    assert woven.reflectance == pytest.approx(woven.ends.mean(axis=0))
    found = turned(woven, cloth_kinds()["two-tone"], LIGHT, np.zeros(1), np.ones(1))
    value, vector = np.linalg.eigh(found)
    along = np.subtract(red, blue) / np.linalg.norm(np.subtract(red, blue))
    assert abs(vector[:, -1] @ along) > 0.97
    # Every share of the two equally likely: a line's length over the root of twelve.
    assert np.sqrt(value[-1]) == pytest.approx(np.linalg.norm(np.subtract(red, blue)) / np.sqrt(12), rel=0.1)
    alike = of_cloth(colour(*blue), Cloth(kind="two-tone", second=list(blue)))
    assert np.abs(turned(alike, cloth_kinds()["two-tone"], LIGHT, np.zeros(1), np.ones(1))).max() < 1e-6


def sheen(kind, *lab):
    one = cloth_kinds()[kind]
    at = sheen_at(one, EVERYWHERE) if one.turns else EVENLY
    return turned(colour(*lab), one, LIGHT, at, EVENLY)


def test_satin_pales_where_it_shines_and_dark_satin_shines_most():
    found = sheen("satin", 40.0, 0.0, -40.0)
    # b* is negative: a rise of L* goes with a rise of b*, which is a loss of chroma.
    assert found[0, 2] > 0
    assert sheen("satin", 15.0, 0.0, 0.0)[0, 0] > found[0, 0] > sheen("satin", 90.0, 0.0, 0.0)[0, 0]


@pytest.mark.parametrize("kind", ["velvet", "metallic"])
def test_what_shines_with_its_own_light_keeps_its_hue(kind):
    found = sheen(kind, 40.0, 20.0, -30.0)
    value, vector = np.linalg.eigh(found)
    main = vector[:, -1] / vector[0, -1]
    assert main[1:] == pytest.approx(np.array([20.0, -30.0]) / 56.0, rel=0.1)
    assert value[-2] < 0.01 * value[-1]


@given(
    st.sampled_from(sorted(cloth_kinds())),
    st.tuples(st.floats(25, 80), st.floats(-15, 15), st.floats(-15, 15)),
)
@settings(max_examples=40, deadline=None)
def test_every_kind_gives_a_covariance_and_matte_gives_none(kind, lab):
    found = sheen(kind, *lab)
    assert found == pytest.approx(found.T)
    assert np.linalg.eigvalsh(found).min() > -1e-9
    assert found.any() == (kind != "matte")
