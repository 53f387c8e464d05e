"""Hue families of single flashes: lamps, spectrum, scale, adaptation and the table behind it."""

import numpy as np
import pytest

from planner.colour.grid import WAVELENGTHS
from planner.colour.names import (
    FLASH_FAMILIES,
    NO_LIGHT,
    flash_family,
    flash_family_of_chromaticity,
)
from planner.colour.observer import blackbody, illuminant, illuminant_names
from planner.colour.screen import parse_hex, srgb_to_linear, xyz_to_linear
from planner.colour.tristimulus import to_xyz, white_d65


def family(xyz, white=None):
    return FLASH_FAMILIES[int(flash_family(np.asarray(xyz), white_d65() if white is None else white))]


def monochromatic(nm):
    return to_xyz(np.exp(-(((WAVELENGTHS - nm) / 4) ** 2)))


@pytest.mark.parametrize(
    ("one", "other", "kelly"),
    [
        ("blue", "blue green", 482),
        ("blue green", "green", 498),
        ("green", "yellow green", 558),
        ("yellow green", "yellow", 569),
        ("yellow", "orange", 586),
    ],
)
def test_hues_of_the_spectrum_part_where_kelly_parts_them(one, other, kelly):
    # K. L. Kelly, "Color designations for lights", J. Opt. Soc. Am. 33, 627-632 (1943), boundaries in
    # nm from memory. His red begins later than ours, and his spectrum has no violet, only purplish blue.
    found = [family(monochromatic(nm)) for nm in np.arange(kelly - 30, kelly + 30, 0.5)]
    parted = kelly - 30 + 0.5 * next(i for i, name in enumerate(found) if name == other)
    assert found[round(2 * (parted - kelly + 30)) - 1] == one
    assert parted == pytest.approx(kelly, abs=5)


def test_the_spectrum_runs_through_the_families_once_and_in_order():
    found = [family(monochromatic(nm)) for nm in np.arange(420, 700, 1.0)]
    changes = [one for one, before in zip(found, ["", *found], strict=False) if one != before]
    order = ["violet", "blue", "blue green", "green", "yellow green", "yellow", "orange", "red"]
    assert changes == order


@pytest.mark.parametrize("name", illuminant_names())
def test_a_flash_of_the_lamp_itself_is_white(name):
    assert family(7000 * to_xyz(illuminant(name)), to_xyz(illuminant(name))) == "white"


def test_brightness_does_not_matter_and_darkness_has_no_hue():
    flashes = np.random.default_rng(10).uniform(0, 1, (500, 3))
    once = flash_family(flashes, white_d65())
    np.testing.assert_array_equal(flash_family(flashes * 4096, white_d65() / 4), once)
    assert flash_family(np.zeros(3), white_d65()) == NO_LIGHT


def test_warm_light_is_discounted():
    warm = to_xyz(blackbody(2400.0))
    assert family(warm) == "orange"
    assert family(warm, warm) == "white"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("#ff0000", "red"),
        ("#00ff00", "green"),
        ("#0000ff", "blue"),
        ("#ff8000", "orange"),
        ("#ff80a0", "pink"),
        ("#804000", "orange"),
        ("#808000", "yellow"),
        ("#a000ff", "violet"),
        ("#ff00ff", "purple"),
    ],
)
def test_screen_lights(text, expected):
    # What such lights are called: common practice, no source.
    to_xyz_matrix = np.linalg.inv(xyz_to_linear(np.eye(3)))
    assert family(srgb_to_linear(parse_hex(text) / 255) @ to_xyz_matrix) == expected


def test_the_table_gives_the_shares_of_the_direct_way():
    # Real lights of any purity: sums of few random spectral lines.
    random = np.random.default_rng(11)
    flashes = to_xyz(random.exponential(size=(40_000, 81)) * (random.uniform(size=(40_000, 81)) < 0.1))
    flashes = flashes[flashes.min(axis=1) > 0]
    x, y, z = flashes.T
    uv = np.stack([4 * x, 9 * y], axis=-1) / (x + 15 * y + 3 * z)[:, None]
    direct, looked_up = flash_family_of_chromaticity(uv), flash_family(flashes, white_d65())
    shares = [
        np.bincount(found, minlength=len(FLASH_FAMILIES)) / len(flashes) for found in (direct, looked_up)
    ]
    np.testing.assert_allclose(shares[0], shares[1], atol=0.002)
    # Where they differ, the two families meet within a cell: some point so near has the other name.
    other = np.flatnonzero(direct != looked_up)
    assert len(other) < 0.02 * len(flashes)
    around = 0.002 * np.stack(np.meshgrid(*[np.linspace(-1, 1, 9)] * 2), axis=-1).reshape(-1, 2)
    near = flash_family_of_chromaticity(uv[other][:, None] + around)
    assert (near == looked_up[other][:, None]).any(axis=1).mean() > 0.99


def test_any_leading_shape():
    flashes = np.random.default_rng(12).uniform(0, 1, (2, 5, 3))
    assert flash_family(flashes, white_d65()).shape == (2, 5)
    assert flash_family(flashes, white_d65()).dtype == np.int8


def test_a_flash_has_the_same_family_whatever_was_asked_before():
    flashes = np.random.default_rng(11).uniform(0, 1, (300, 3))
    one_by_one = [int(flash_family(flash, white_d65())) for flash in flashes[::-1]]
    np.testing.assert_array_equal(flash_family(flashes, white_d65())[::-1], one_by_one)
