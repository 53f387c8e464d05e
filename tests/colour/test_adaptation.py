"""CAT16 against an independent library, and the rule for saturated light against its promises."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference import colour

from planner.colour.adaptation import (
    FAR_FROM_LOCUS,
    LEAST_DEGREE,
    NEAR_LOCUS,
    adapt,
    adaptation_matrix,
    degree_for,
    distance_from_locus,
)
from planner.colour.cielab import appearance, lab_to_lch, xyz_to_lab
from planner.colour.grid import WAVELENGTHS
from planner.colour.observer import blackbody, daylight, illuminant, illuminant_names
from planner.colour.tristimulus import to_xyz, weights, white_d65

COLOURS = np.random.default_rng(3).uniform(0.01, 0.9, (50, 3))


@pytest.mark.parametrize("name", ["A", "D50", "FL11", "LED-RGB1"])
def test_agrees_with_colour_science(name):
    white = to_xyz(illuminant(name))
    theirs = colour.chromatic_adaptation(COLOURS, white, white_d65(), method="Von Kries", transform="CAT16")
    np.testing.assert_allclose(adapt(COLOURS, white), theirs, atol=1e-12)


@pytest.mark.parametrize("degree", [0.0, 0.4, 0.85, 1.0])
def test_incomplete_adaptation_agrees_with_the_published_two_step_form(degree):
    # C. Zhai, M. R. Luo, Opt. Express 26, 7724 (2018): two steps over a baseline white. With the
    # reference white as the baseline the second step drops out.
    white = to_xyz(illuminant("A"))
    theirs = colour.adaptation.chromatic_adaptation_Zhai2018(
        COLOURS * 100,
        white * 100,
        white_d65() * 100,
        D_b=degree,
        D_d=1,
        XYZ_wo=white_d65() * 100,
        transform="CAT16",
    )
    np.testing.assert_allclose(adapt(COLOURS, white, degree=degree), theirs / 100, atol=1e-9)


def test_white_becomes_the_reference_white_whatever_its_brightness():
    for brightness in (0.2, 1.0, 350.0):
        np.testing.assert_allclose(
            adapt(brightness * to_xyz(illuminant("A")), brightness * to_xyz(illuminant("A"))), white_d65()
        )


@given(st.floats(0, 1))
def test_luminance_of_the_white_is_kept_at_any_degree_for_a_lamp(degree):
    white = to_xyz(illuminant("LED-B1"))
    assert adapt(white, white, degree=degree)[1] == pytest.approx(1, abs=0.02)


def test_the_eye_adapts_fully_to_every_lamp_that_is_sold_as_white():
    whites = [to_xyz(illuminant(name)) for name in illuminant_names()]
    whites += [to_xyz(blackbody(float(t))) for t in (1600, 2400, 3200)]
    whites += [to_xyz(daylight(float(t))) for t in (4000, 9000, 20_000)]
    assert [degree_for(white) for white in whites] == [1.0] * len(whites)


def away(distance):
    """Return a greenish white that lies `distance` from the locus, found by halving the way to green."""
    near, far = white_d65(), np.array([0.2, 1.0, 0.1])
    low, high = 0.0, 1.0
    for _ in range(50):
        middle = (low + high) / 2
        beyond = distance_from_locus(near + middle * (far - near)) > distance
        low, high = (low, middle) if beyond else (middle, high)
    return near + low * (far - near)


def test_adaptation_falls_from_all_to_least_without_a_corner():
    """Gels come in all strengths: two that are nearly alike must not be told apart by a kink of ours."""
    fallen = {
        part: (1 - degree_for(away(NEAR_LOCUS + part * (FAR_FROM_LOCUS - NEAR_LOCUS)))) / (1 - LEAST_DEGREE)
        for part in (0.02, 0.1, 0.5, 0.9, 0.98)
    }
    assert fallen[0.5] == pytest.approx(0.5, abs=1e-6)
    # A straight way would have fallen by a tenth after a tenth; a smooth one hardly begins and hardly ends.
    assert 0 < fallen[0.02] < 0.005
    assert 0 < fallen[0.1] < 0.05
    assert 0.95 < fallen[0.9] < 1
    assert 0.995 < fallen[0.98] < 1


def test_the_degree_falls_smoothly_with_the_purity_of_a_gel():
    lamp = blackbody(3200.0)
    blue = np.exp(-(((WAVELENGTHS - 450) / 25) ** 2))
    shares = np.linspace(0, 1, 200)
    whites = [to_xyz(lamp * (1 - share + share * blue)) for share in shares]
    degrees = np.array([degree_for(white) for white in whites])
    away = np.array([distance_from_locus(white) for white in whites])
    assert degrees[0] == 1
    assert degrees[-1] == pytest.approx(LEAST_DEGREE, abs=0.1)
    rising = np.diff(away) > 0
    assert (np.diff(degrees)[rising] <= 1e-12).all()
    assert degree_for(5 * whites[150]) == pytest.approx(degrees[150])


def test_distance_from_the_locus_agrees_with_colour_science():
    # Ohno 2014; its sign tells the side, ours does not.
    for name in ("D65", "FL2", "FL5", "LED-V1"):
        xyz = to_xyz(illuminant(name))
        duv = colour.temperature.uv_to_CCT_Ohno2013(colour.UCS_to_uv(colour.XYZ_to_UCS(xyz)))[1]
        assert distance_from_locus(xyz) == pytest.approx(abs(duv), abs=2e-4)


def test_appearance_keeps_a_blue_blue_under_warm_light_where_plain_division_does_not():
    # An absorption like cobalt glass: open in the blue and the far red.
    glass = (
        0.05 + 0.6 * np.exp(-(((WAVELENGTHS - 440) / 45) ** 2)) + 0.4 / (1 + np.exp((700 - WAVELENGTHS) / 12))
    )
    day, warm = weights(illuminant("D65")), weights(illuminant("A"))
    seen_by_day = lab_to_lch(appearance(glass @ day, day.sum(axis=0)))
    seen_warm = lab_to_lch(appearance(glass @ warm, warm.sum(axis=0)))
    divided = lab_to_lch(xyz_to_lab(glass @ warm, white=warm.sum(axis=0)))
    assert abs(seen_warm[2] - seen_by_day[2]) < abs(divided[2] - seen_by_day[2])


def test_matrices_come_for_many_whites_at_once():
    whites = np.stack([to_xyz(illuminant("A")), to_xyz(illuminant("D50"))])
    matrices = adaptation_matrix(whites, degree=np.array([1.0, 0.5]))
    np.testing.assert_allclose(matrices[1], adaptation_matrix(whites[1], degree=0.5))


def test_a_white_without_light_is_refused():
    with pytest.raises(ValueError, match="luminance above 0"):
        adapt(COLOURS, np.zeros(3))
