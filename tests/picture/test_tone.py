"""What a screen is given: true colours below white, bright flashes of the right hue above."""

import numpy as np

from planner.colour.cielab import lab_to_xyz, lch_to_lab
from planner.colour.grid import WAVELENGTHS
from planner.colour.names import FLASH_FAMILIES, flash_family
from planner.colour.observer import observer
from planner.colour.screen import lab_to_srgb, srgb_to_lab, srgb_to_linear, xyz_to_linear
from planner.colour.tristimulus import white_d65
from planner.picture.tone import on_screen


def test_colours_of_surfaces_are_shown_as_everywhere_else():
    rng = np.random.default_rng(5)
    lch = np.stack([rng.uniform(5, 70, 200), rng.uniform(0, 90, 200), rng.uniform(0, 360, 200)], axis=1)
    lab = lch_to_lab(lch)
    linear = xyz_to_linear(lab_to_xyz(lab))
    dim = linear.max(axis=1) < 0.8
    wanted = lab_to_srgb(lab)[0]
    # Reduced into the screen's range some reach its edge, where white's headroom begins.
    dim &= srgb_to_linear(wanted / 255.0).max(axis=1) < 0.78
    got = on_screen(linear[None, dim])[0]
    assert dim.sum() > 100
    assert np.abs(got.astype(int) - wanted[dim]).max() <= 1


def test_brighter_is_never_drawn_darker():
    for colour in ([1.0, 1.0, 1.0], [1.0, 0.2, 0.1], [0.1, 0.3, 1.0], [0.9, 0.8, 0.1]):
        ramp = np.geomspace(0.05, 5000.0, 120)[:, None] * np.array(colour)
        drawn = [on_screen(one[None, None])[0, 0] for one in ramp]
        lightness = srgb_to_lab(np.array(drawn))[:, 0]
        # A pure screen blue is darker than the pale blue it passes through: a small dip is allowed.
        assert np.diff(lightness).min() > -6.0
        assert lightness[-1] > lightness[0] + 40


def test_a_flash_is_drawn_on_the_line_by_which_words_name_it():
    # Monochromatic lights of the CIE 1931 observer, with a third of white: all beyond a screen.
    for nm in range(450, 650, 5):
        light = observer()[np.searchsorted(WAVELENGTHS, nm)]
        xyz = 2.0 * light / light.sum() + white_d65() / white_d65().sum()
        drawn = on_screen(xyz_to_linear(40.0 * xyz)[None, None])[0, 0]
        after = srgb_to_linear(drawn / 255.0) @ np.linalg.inv(xyz_to_linear(np.eye(3)))
        apart = np.degrees(_way(after) - _way(xyz))
        assert abs((apart + 180.0) % 360.0 - 180.0) < 2.0


def _way(xyz):
    """Direction from white in the CIE 1976 diagram, radians."""
    uv, white = (one[:2] * [4.0, 9.0] / (one @ [1.0, 15.0, 3.0]) for one in (xyz, white_d65()))
    return np.arctan2(*(uv - white))


def test_a_coloured_flash_keeps_its_name():
    for lch in ([65.0, 60.0, 92.0], [65.0, 60.0, 150.0], [65.0, 50.0, 260.0]):
        xyz = lab_to_xyz(lch_to_lab(np.array(lch)))
        drawn = on_screen(xyz_to_linear(xyz * 50.0)[None, None])[0, 0]
        after = srgb_to_linear(drawn / 255.0) @ np.linalg.inv(xyz_to_linear(np.eye(3)))
        before, now = (FLASH_FAMILIES[flash_family(one, white_d65())] for one in (xyz, after))
        assert now == before


def test_the_brightest_flash_is_nearly_white():
    drawn = on_screen(np.array([[[60.0, 6000.0, 300.0]]]))[0, 0]
    assert drawn[1] == 255
    assert drawn.min() > 200


def test_a_deep_blue_spark_is_not_darker_than_a_dim_one():
    blue = np.array([0.02, 0.1, 1.0])
    drawn = [on_screen(blue * light) for light in (0.9, 8.0, 200.0)]
    lightness = srgb_to_lab(np.array(drawn))[:, 0]
    assert lightness[0] < lightness[1] < lightness[2]
