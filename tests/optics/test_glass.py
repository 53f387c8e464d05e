"""Stone materials, body colours and foils against handbook facts, and the laws they must keep."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.colour.cielab import lab_to_lch, xyz_to_lab
from planner.colour.grid import WAVELENGTHS
from planner.colour.names import hue_name_of
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.optics.film import stack
from planner.optics.glass import (
    COLOURANTS,
    GLASSES,
    absorption_from_transmittance,
    body_absorption,
    foil_reflectance,
    glass_index,
    glass_index_d,
)
from planner.optics.materials import page_index, refractive_index

F, C = 486.1327, 656.2725

# n_d and n_F - n_C. The optical glasses: data sheets of the glasses 569560 and 581409. Acrylic:
# handbook values 1.4917 and V_d 57.4 (M. Bass (ed.), Handbook of Optics, polymers, from memory).
# Soda-lime: n_D 1.51 to 1.53 (CRC Handbook, from memory) and V_d 58.5 of the clear sheet named in the table.
FACTS = {
    "acrylic": (1.4917, 0.002, 0.00857, 0.0003),
    "glass": (1.52, 0.01, 0.00894, 0.0001),
    "lead-free crystal": (1.56883, 2e-5, 0.010162, 2e-6),
    "lead crystal": (1.58144, 2e-5, 0.014233, 2e-6),
}


@pytest.mark.parametrize("material", GLASSES)
def test_index_and_dispersion(material):
    n, n_off, spread, spread_off = FACTS[material]
    blue, red = glass_index(material, [F, C])
    assert glass_index_d(material) == pytest.approx(n, abs=n_off)
    assert blue - red == pytest.approx(spread, abs=spread_off)


@pytest.mark.parametrize("material", GLASSES)
def test_index_falls_all_through_the_visible(material):
    assert (np.diff(glass_index(material, WAVELENGTHS)) < 0).all()


@pytest.mark.parametrize("page", ["Szczurowski", "Beadie"])
def test_acrylic_against_measurements(page):
    wl = np.arange(420.0, 781.0, 20.0)
    measured = page_index(("organic", "poly_methyl_methacrylate", page), wl, called="acrylic").real
    np.testing.assert_allclose(glass_index("acrylic", wl), measured, atol=0.0023)


def test_soda_lime_against_its_data_sheet_at_the_mercury_line():
    # The sheet's data sheet of 1993, n_g at 435.8 nm: not one of the two numbers that the formula was given.
    assert glass_index("glass", [435.835])[0] == pytest.approx(1.5341, abs=1e-4)


def colour(colourants, mm):
    light = weights(illuminant("D65"))
    passed = np.exp(-mm * body_absorption(colourants, WAVELENGTHS))
    return xyz_to_lab(passed @ light, light.sum(axis=0))


# What glass of these colourants looks like: W. A. Weyl, Coloured Glasses (1951), and common practice.
@pytest.mark.parametrize(
    ("colourants", "words"),
    [
        ({"cobalt": 0.05}, {"blue"}),
        ({"copper": 1.0}, {"blue", "green"}),
        ({"chromium": 1.0}, {"green"}),
        ({"manganese": 0.7}, {"purple", "purplish", "violet"}),
        ({"iron-ferric": 3.0}, {"yellow"}),
        ({"iron-ferrous": 3.0}, {"green", "blue", "greenish"}),
        ({"neodymium": 4.0}, {"violet", "purple"}),
        ({"gold": 0.02}, {"red"}),
        ({"cerium-titanium": 3.0}, {"yellow"}),
        ({"cadmium-480": 1.0}, {"yellow"}),
        ({"cadmium-560": 1.0}, {"orange"}),
        ({"cadmium-620": 1.0}, {"red"}),
        ({"dye-magenta": 1.0}, {"purple", "pink"}),
        ({"dye-green": 1.0}, {"green"}),
    ],
)
def test_three_millimetres_look_as_such_glass_does(colourants, words):
    assert words & set(hue_name_of(colour(colourants, 3.0)).split()), hue_name_of(colour(colourants, 3.0))


def test_nickel_is_a_smoke_and_black_is_black():
    assert lab_to_lch(colour({"nickel": 0.3}, 3.0))[1] < 15
    assert colour({"black": 1.0}, 3.0)[0] < 2


def peaks(colourants, low, high):
    """Wavelengths of greatest absorption between two limits."""
    wl = np.arange(low, high, 1.0)
    a = body_absorption(colourants, wl)
    return wl[1:-1][(a[1:-1] > a[:-2]) & (a[1:-1] > a[2:])]


# Weyl 1951 and Bamford 1977, from memory, to about 10 nm.
@pytest.mark.parametrize(
    ("colourant", "places"),
    [
        ("cobalt", [540, 595, 645]),
        ("copper", [790]),
        ("chromium", [450, 650]),
        ("neodymium", [430, 475, 526, 585, 746]),
        ("gold", [530]),
        ("manganese", [500]),
    ],
)
def test_bands_lie_where_spectra_have_them(colourant, places):
    found = peaks({colourant: 1.0}, 385, 830)
    for place in places:
        assert np.abs(found - place).min() <= 12, (place, found)


@pytest.mark.parametrize("key", [key for key in COLOURANTS if key.startswith("cadmium-")])
def test_the_cut_off_passes_half_and_is_sharp(key):
    nm = float(key.removeprefix("cadmium-"))
    below, at, above = np.exp(-body_absorption({key: 1.0}, [nm - 25, nm, nm + 25]))
    assert at == pytest.approx(0.5, abs=1e-9)
    assert below < 0.05
    assert above > 0.9


def test_neodymium_turns_blue_under_tubes():
    # Common practice: lilac in daylight and lamplight, blue under a fluorescent tube.
    def hue(name):
        light = weights(illuminant(name))
        passed = np.exp(-4 * body_absorption({"neodymium": 5.0}, WAVELENGTHS))
        return float(lab_to_lch(xyz_to_lab(passed @ light, light.sum(axis=0)))[2])

    assert hue("FL11") < 285 < hue("D65") < hue("A")


concentrations = st.dictionaries(st.sampled_from(sorted(COLOURANTS)), st.floats(0.0, 5.0), max_size=4)


@given(concentrations, st.floats(0.1, 5.0))
def test_bodies_obey_beer_and_lambert(mixture, factor):
    a = body_absorption(mixture, WAVELENGTHS)
    assert (a >= 0).all()
    assert np.isfinite(a).all()
    scaled = body_absorption({key: value * factor for key, value in mixture.items()}, WAVELENGTHS)
    np.testing.assert_allclose(scaled, a * factor, rtol=1e-9, atol=1e-12)
    parts = sum((body_absorption({k: v}, WAVELENGTHS) for k, v in mixture.items()), np.zeros(81))
    np.testing.assert_allclose(a, parts, rtol=1e-9, atol=1e-12)


@given(
    st.lists(st.floats(1e-4, 1.0), min_size=81, max_size=81).map(np.array),
    st.floats(0.1, 20.0),
)
def test_absorption_gives_its_transmittance_back(kept, depth):
    a = absorption_from_transmittance(kept, depth)
    assert (a >= 0).all()
    np.testing.assert_allclose(np.exp(-a * depth), kept, rtol=1e-9)


def test_absorption_takes_noise_and_black_for_what_they_are():
    a = absorption_from_transmittance([1.015, 0.0], 2.0)
    assert a[0] == 0.0
    assert a[1] == pytest.approx(math.log(1e4) / 2)


@pytest.mark.parametrize("metal", ["Ag", "Al"])
def test_foil_behind_glass_reflects_less_than_in_air(metal):
    # Against glass instead of air a metal loses reflectance: aluminium 91 to about 87 % (Palik's
    # constants through Fresnel's equations, common practice for back-surface mirrors).
    glass = glass_index("glass", WAVELENGTHS)
    behind = foil_reflectance(metal, glass, [0.0], WAVELENGTHS)
    air = foil_reflectance(metal, np.ones(81), [0.0], WAVELENGTHS)
    assert behind.shape == (1, 1, 81)
    assert (behind < air).all()
    at550 = behind[0, 0, 34]
    assert at550 == pytest.approx({"Ag": 0.965, "Al": 0.875}[metal], abs=0.015)


def test_film_under_the_foil_is_the_stack_seen_from_the_glass():
    glass, n = glass_index("lead crystal", WAVELENGTHS), refractive_index("TiO2", WAVELENGTHS)[None]
    nm, invariant = [[0.0], [80.0]], [0.0, 0.7, 1.2]
    found = foil_reflectance("Ag", glass, invariant, WAVELENGTHS, (nm, n))
    assert found.shape == (2, 3, 81)
    metal = refractive_index("Ag", WAVELENGTHS)
    np.testing.assert_array_equal(found, stack(WAVELENGTHS, invariant, nm, n, glass, metal).front)
    np.testing.assert_allclose(found[:1], foil_reflectance("Ag", glass, invariant, WAVELENGTHS), atol=1e-12)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: glass_index("paste", [550.0]), "No stone material is called 'paste'; there are acrylic"),
        (lambda: glass_index("lead crystal", [200.0]), "lead crystal covers 320 to 2325 nm: 200 nm"),
        (lambda: body_absorption({"woad": 1.0}, [550.0]), "No colourant is called 'woad'; there are cobalt"),
        (lambda: body_absorption({"cobalt": -1.0}, [550.0]), "cobalt must be 0 or more; found -1"),
        (lambda: body_absorption({"cobalt": math.nan}, [550.0]), "cobalt must be 0 or more; found nan"),
        (lambda: absorption_from_transmittance([0.5, 1.2], 1.0), "from 0 to 1; found 1.2"),
        (lambda: absorption_from_transmittance([0.5, math.nan], 1.0), "from 0 to 1; found nan"),
        (lambda: absorption_from_transmittance([0.5], 0.0), "depth must be above 0 mm; found 0"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_every_row_says_what_it_is():
    for row in GLASSES.values():
        assert row["reference"]
    for colourant in COLOURANTS.values():
        assert colourant.name
        assert colourant.unit
