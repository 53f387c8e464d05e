"""What a screen shows: exact where it can, same hue and lightness where it cannot."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference import colormath, colormath_objects, colour

from planner.colour.cielab import hue_difference, lab_to_lch, lab_to_xyz, lch_to_lab, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.screen import lab_to_srgb, linear_to_srgb, parse_hex, srgb_to_lab, srgb_to_linear, to_hex

rgbs = st.tuples(*[st.integers(0, 255)] * 3).map(lambda rgb: np.array(rgb, dtype=np.uint8))


@given(rgbs)
def test_a_screen_colour_returns_unchanged(rgb):
    again, in_gamut = lab_to_srgb(srgb_to_lab(rgb))
    assert in_gamut
    assert again.tolist() == rgb.tolist()
    assert parse_hex(to_hex(rgb)).tolist() == rgb.tolist()


def test_agrees_with_colour_science_and_colormath():
    rgb = np.random.default_rng(5).integers(0, 256, (300, 3), dtype=np.uint8)
    ours = srgb_to_lab(rgb)
    xy = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    # The standard's matrix is rounded to four decimals; ours sends grey to grey.
    assert delta_e(ours, colour.XYZ_to_Lab(colour.sRGB_to_XYZ(rgb / 255), xy)).max() < 0.02
    for channels, lab in zip(rgb[:50], ours, strict=False):
        typed = colormath_objects.sRGBColor(*(channels / 255))
        other = colormath.convert_color(typed, colormath_objects.LabColor, target_illuminant="d65")
        assert delta_e(lab, np.array(other.get_value_tuple())) < 0.02


def test_what_is_typed_in_other_coordinates_agrees_with_colormath():
    """L*C*h and XYZ of single colours, there and back (2° observer, D65)."""
    labs = np.random.default_rng(6).uniform([5, -60, -60], [95, 60, 60], (50, 3))
    for lab in labs:
        other = colormath_objects.LabColor(*lab, observer="2", illuminant="d65")
        lch = np.array(colormath.convert_color(other, colormath_objects.LCHabColor).get_value_tuple())
        np.testing.assert_allclose(lab_to_lch(lab), lch, atol=1e-9)
        np.testing.assert_allclose(lch_to_lab(lch), lab, atol=1e-9)
        xyz = np.array(colormath.convert_color(other, colormath_objects.XYZColor).get_value_tuple())
        assert delta_e(xyz_to_lab(xyz), lab) < 0.02
        np.testing.assert_allclose(lab_to_xyz(lab), xyz, atol=2e-4)


def test_grey_is_exactly_grey():
    greys = np.stack([np.linspace(0, 100, 101), np.zeros(101), np.zeros(101)], axis=-1)
    rgb, in_gamut = lab_to_srgb(greys)
    assert in_gamut.all()
    assert (rgb[:, :1] == rgb).all()
    assert rgb[0].tolist() == [0, 0, 0]
    assert rgb[-1].tolist() == [255, 255, 255]


@given(st.floats(15, 92), st.floats(0, 180), st.floats(0, 359.9))
def test_what_is_beyond_the_screen_keeps_hue_and_lightness_and_loses_chroma(lightness, chroma, hue):
    lab = np.array([lightness, chroma * np.cos(np.radians(hue)), chroma * np.sin(np.radians(hue))])
    rgb, in_gamut = lab_to_srgb(lab)
    shown = lab_to_lch(srgb_to_lab(rgb))
    # One step of 8 bits moves a dark colour by as much as 0.5 in L*.
    assert shown[0] == pytest.approx(lightness, abs=0.6)
    assert shown[1] < chroma + 2.5
    if min(shown[1], chroma) > 10:
        turned = abs(hue_difference(hue, shown[2]))
        assert np.radians(turned) * shown[1] < 2.5
    if in_gamut:
        assert delta_e(srgb_to_lab(rgb), lab) < 1.5


def test_lightness_beyond_the_screen_is_cut_and_said():
    rgb, in_gamut = lab_to_srgb(np.array([[130.0, 0, 0], [-3.0, 0, 0], [120.0, 40, 0]]))
    assert rgb.tolist() == [[255, 255, 255], [0, 0, 0], [255, 255, 255]]
    assert not in_gamut.any()


def test_any_leading_shape():
    lab = np.random.default_rng(6).uniform(0, 60, (2, 3, 4, 3))
    rgb, in_gamut = lab_to_srgb(lab)
    assert rgb.shape == (2, 3, 4, 3)
    assert in_gamut.shape == (2, 3, 4)
    assert rgb.dtype == np.uint8
    np.testing.assert_array_equal(rgb[1, 2, 3], lab_to_srgb(lab[1, 2, 3])[0])


def test_transfer_curve_is_the_standards():
    # IEC 61966-2-1:1999: middle grey 0.18 of linear light is 0.461 of signal (from memory).
    assert linear_to_srgb(np.array(0.18)) == pytest.approx(0.461, abs=5e-4)
    signal = np.linspace(0, 1, 50)
    np.testing.assert_allclose(linear_to_srgb(srgb_to_linear(signal)), signal, atol=1e-4)
    assert linear_to_srgb(np.array([-1.0, 7.0])).tolist() == [0, pytest.approx(1)]


@pytest.mark.parametrize("text", ["#2a4b9c", "2A4B9C", " #2a4b9c "])
def test_hex_forms(text):
    assert parse_hex(text).tolist() == [0x2A, 0x4B, 0x9C]
    assert parse_hex("#24c").tolist() == [0x22, 0x44, 0xCC]


@pytest.mark.parametrize("text", ["", "#", "12345", "#12345g", "blue", "#1234567", "٢٢٢", "+1+2+3"])
def test_anything_else_is_refused_in_one_sentence(text):
    with pytest.raises(ValueError, match="six or three hexadecimal digits"):
        parse_hex(text)
