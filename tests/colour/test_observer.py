"""Observer, lights and tristimulus values against the CIE's tables and an independent library."""

from functools import cache

import numpy as np
import pytest
from reference import colour

from planner.colour.cielab import appearance
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.colour.observer import blackbody, daylight, illuminant, illuminant_names, observer
from planner.colour.tables import read_table
from planner.colour.tristimulus import to_xyz, weights, white_d65

OBSERVER = "CIE 1931 2 Degree Standard Observer"


@cache
def shape():
    return colour.SpectralShape(380, 780, 5)


def fringes(nm):
    """Reflectances like those of films: cosine fringes in wavenumber, from slow to fast."""
    orders = np.array([1.0, 2.5, 5.0])[:, None]
    return 0.3 + 0.25 * np.cos(2 * np.pi * orders * 550.0 / nm)


@pytest.mark.parametrize("name", illuminant_names())
def test_white_points_are_those_of_cie_15(name):
    # CIE 015:2018, chromaticity coordinates of the illuminants, as carried by colour-science.
    published = colour.CCS_ILLUMINANTS[OBSERVER][name]
    x, y, z = to_xyz(illuminant(name))
    # The CIE prints five decimals for most and sums D and A at 1 nm.
    np.testing.assert_allclose([x / (x + y + z), y / (x + y + z)], published, atol=1.5e-4)
    assert y == pytest.approx(1)


def test_white_d65_is_the_published_one():
    # CIE 015:2018: X = 95.04, Z = 108.88.
    np.testing.assert_allclose(white_d65(), [0.9504, 1.0, 1.0888], atol=5e-5)


@pytest.mark.parametrize("name", ["A", "D65", "FL2", "FL11", "LED-B1", "LED-V2"])
def test_xyz_of_reflectances_agrees_with_colour_science(name):
    cmfs = colour.MSDS_CMFS[OBSERVER].copy().align(shape())
    light = colour.SDS_ILLUMINANTS[name].copy().align(shape())
    for values in fringes(WAVELENGTHS):
        sd = colour.SpectralDistribution(values, WAVELENGTHS)
        theirs = colour.sd_to_XYZ(sd, cmfs, light, method="Integration", shape=shape()) / 100
        np.testing.assert_allclose(values @ weights(illuminant(name)), theirs, atol=2e-5)


def test_5_nm_is_fine_enough_for_film_spectra_in_smooth_light():
    table = read_table("observer_1931_2deg.csv")
    rows = (table["nm"] >= 380) & (table["nm"] <= 780)
    nm = table["nm"][rows]
    cmfs = np.stack([table[key][rows] for key in ("xbar", "ybar", "zbar")], axis=-1)
    for name in ("A", "D65"):
        # Both illuminants are defined between their nodes too: by Planck's law, by straight lines.
        light = np.interp(nm, WAVELENGTHS, illuminant(name)) if name == "D65" else planck(nm)
        fine = light[:, None] * cmfs / (light @ cmfs[:, 1])
        coarse = weights(illuminant(name))
        off = delta_e(
            appearance(fringes(nm) @ fine, fine.sum(axis=0)),
            appearance(fringes(WAVELENGTHS) @ coarse, coarse.sum(axis=0)),
        )
        assert off.max() < 0.05


def planck(nm):
    # CIE 015:2018, definition of illuminant A, with c2 = 1.435e-2 and T = 2848 K.
    return (560 / nm) ** 5 * np.expm1(1.435e7 / (2848 * 560)) / np.expm1(1.435e7 / (2848 * nm))


def test_lights_agree_with_colour_science():
    for kelvin in (1900, 2856, 3200, 20_000):
        theirs = colour.sd_blackbody(kelvin, shape()).values
        np.testing.assert_allclose(blackbody(kelvin), scaled(theirs), rtol=1e-6)
    for kelvin in (4000, 5003, 6504, 7500, 25_000):
        xy = colour.temperature.CCT_to_xy_CIE_D(kelvin)
        theirs = colour.sd_CIE_illuminant_D_series(xy).copy().align(shape()).values
        np.testing.assert_allclose(daylight(kelvin), scaled(theirs), rtol=1e-6)
    np.testing.assert_allclose(daylight(6504), illuminant("D65"), rtol=1e-3)


def scaled(power):
    return power * observer()[:, 1].sum() / (power @ observer()[:, 1])


def test_blackbody_stays_finite_over_its_whole_range():
    assert np.isfinite(blackbody(500.0)).all()
    assert np.isfinite(blackbody(1e6)).all()


def test_weights_take_many_lights_at_once():
    both = weights(np.stack([illuminant("A"), illuminant("D65")]))
    assert both.shape == (2, 81, 3)
    np.testing.assert_allclose(both[1], weights(illuminant("D65")), rtol=1e-12)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: illuminant("F11"), r"No illuminant is called 'F11': choose from A, .*LED-V2"),
        (lambda: blackbody(20.0), r"between 500 and 1e\+06 K: found 20"),
        (lambda: daylight(3000.0), "between 4000 and 25000 K: found 3000"),
        (lambda: weights(np.zeros(81)), "some power"),
    ],
)
def test_bad_input_gets_one_clear_sentence(make, message):
    with pytest.raises(ValueError, match=message):
        make()


def test_shared_tables_cannot_be_written_on():
    for table in (illuminant("A"), observer(), blackbody(3000.0), white_d65()):
        with pytest.raises(ValueError, match="read-only"):
            table[0] = 1
