"""Optical constants: each chosen set against an independent fact, and the laws it must keep."""

import numpy as np
import pytest

from planner.colour.grid import WAVELENGTHS
from planner.optics.film import fresnel
from planner.optics.materials import MATERIALS, page_index, refractive_index

# n at a wavelength, the tolerance, and where the fact comes from. Films differ by how they were laid,
# so a film's tolerance is wide: it tells a wrong material, not a wrong film.
# "Macleod": H. A. Macleod, Thin-Film Optical Filters, table of film materials; "Palik": E. D. Palik
# (ed.), Handbook of Optical Constants of Solids; both from memory. "CRC": CRC Handbook of Chemistry
# and Physics, index of minerals, from memory.
INDEX = {
    "air": (589.3, 1.000277, 2e-6, "Edlén 1966, standard air, from memory"),
    "TiO2": (550, 2.30, 0.10, "Macleod: evaporated films 2.2 to 2.4"),
    "TiO2 (denser film)": (550, 2.42, 0.10, "between an evaporated film and anatase, 2.55 (CRC)"),
    "TiO2 (porous film)": (550, 2.15, 0.10, "below evaporated films, 2.2 to 2.4 (Macleod)"),
    "SiO2": (550, 1.46, 0.02, "Macleod: films 1.45 to 1.48"),
    "SiO2 (fused or thermally grown)": (589.3, 1.4584, 2e-4, "fused silica, n_D 1.4584 (CRC)"),
    "Ta2O5": (550, 2.13, 0.05, "Macleod: films 2.1 to 2.16"),
    "Nb2O5": (550, 2.33, 0.05, "handbook films 2.3 to 2.37, from memory"),
    "ZrO2": (589.3, 2.16, 0.02, "cubic zirconia as a gemstone, n_D 2.15 to 2.18 (common practice)"),
    "HfO2": (550, 2.00, 0.12, "Macleod: films 1.9 to 2.1"),
    "Al2O3": (550, 1.65, 0.03, "Macleod: films 1.62 to 1.67"),
    "MgF2": (550, 1.38, 0.01, "Macleod: films 1.38"),
    "ZnS": (589.3, 2.369, 0.025, "sphalerite, n_D 2.369 (CRC)"),
    "SiO": (550, 1.97, 0.05, "Macleod: films 1.9 to 2.0"),
    "Si3N4": (550, 2.03, 0.03, "Palik: 2.02 to 2.05"),
    "Fe2O3": (589.3, 3.22, 0.12, "haematite, ordinary ray 3.15 to 3.22 (CRC)"),
    "Si": (589.3, 3.97, 0.03, "Palik: 3.97"),
}

# Normal reflectance in air at 550 nm: values of handbook tables, from memory.
REFLECTANCE = {
    "Al": (0.916, 0.01, "G. Hass, in American Institute of Physics Handbook: 91.5 %"),
    "Ag": (0.98, 0.015, "the same: 97.9 to 98.3 %"),
    "Au": (0.80, 0.03, "the same: 81.7 % at 550 nm"),
    "Cu": (0.62, 0.06, "the same: 66.8 %; polished metal is lower"),
    "Cr": (0.55, 0.03, "Palik and common practice: 55 %"),
    "Ni": (0.62, 0.03, "Palik: 61 to 63 %"),
    "Ti": (0.57, 0.06, "Palik and polished titanium: 52 to 60 %"),
    "TiN": (0.50, 0.12, "golden films reflect 40 to 60 % in the green (common practice)"),
}

CLEAR = [name for name in INDEX if name not in {"SiO", "Fe2O3", "Si"}]


def test_every_material_is_held_against_a_fact():
    assert set(INDEX) | set(REFLECTANCE) == set(MATERIALS)


@pytest.mark.parametrize("name", INDEX)
def test_index_is_that_of_the_material(name):
    nm, expected, tolerance, _ = INDEX[name]
    assert refractive_index(name, [nm])[0].real == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("name", REFLECTANCE)
def test_metal_reflects_as_handbooks_say(name):
    expected, tolerance, _ = REFLECTANCE[name]
    bare = fresnel([0.0], [1.0], refractive_index(name, [550.0])).front.item()
    assert bare == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("name", MATERIALS)
def test_set_covers_the_visible_smoothly(name):
    index = refractive_index(name, WAVELENGTHS)
    assert index.shape == WAVELENGTHS.shape
    assert np.isfinite(index).all()
    assert (index.real > 0).all()
    assert (index.imag >= 0).all()
    # No jump between 5 nm steps beyond silicon's at its direct band gap (3.4 eV, 365 nm).
    assert np.abs(np.diff(index)).max() < (0.45 if name == "Si" else 0.25)


@pytest.mark.parametrize("name", CLEAR)
def test_clear_material_is_clear_and_disperses_normally(name):
    index = refractive_index(name, WAVELENGTHS)
    assert (np.diff(index.real) < 0).all()  # Kramers-Kronig: n falls with wavelength where k is nothing
    assert (index.imag[WAVELENGTHS >= 470] < 1.5e-4).all()
    assert (index.imag < 5e-3).all()


def test_gold_and_copper_are_coloured_and_silver_and_aluminium_are_not():
    ratio = {}
    for name in ("Au", "Cu", "Ag", "Al"):
        blue, red = fresnel([0.0], [1.0, 1.0], refractive_index(name, [450.0, 650.0])).front[0, 0]
        ratio[name] = red / blue
    assert min(ratio["Au"], ratio["Cu"]) > 1.5
    assert max(abs(ratio["Ag"] - 1), abs(ratio["Al"] - 1)) < 0.05


def test_haematite_passes_red_and_not_blue():
    blue, red = refractive_index("Fe2O3", [450.0, 680.0]).imag
    assert blue > 0.5
    assert red < 0.1


def test_a_table_that_runs_backwards_and_repeats_is_put_in_order():
    index = refractive_index("Fe2O3", np.linspace(400, 700, 301))
    assert np.abs(np.diff(index)).max() < 0.15
    assert refractive_index("Fe2O3", [700.0, 400.0])[::-1] == pytest.approx(
        refractive_index("Fe2O3", [400.0, 700.0])
    )


@pytest.mark.parametrize(
    ("page", "nm", "expected"),
    [
        # One page for each dispersion form; values of data sheets and papers, from memory.
        (("main", "SiO2", "Malitson"), 587.5618, 1.45846),  # Sellmeier
        (("main", "CaF2", "Daimon-20"), 587.5618, 1.43384),  # Sellmeier2
        (("organic", "poly_methyl_methacrylate", "Beadie"), 589.3, 1.4924),  # Polynomial
        (("glass", "soda-lime", "Rubin-clear"), 589.3, 1.5233),  # Cauchy
        (("other", "air", "Ciddor"), 589.3, 1.000277),  # Gases
        (("main", "Si", "Green-2008"), 550.0, 4.077),  # Tabulated
    ],
)
def test_each_dispersion_form(page, nm, expected):
    assert page_index(page, [nm], called="x")[0].real == pytest.approx(expected, abs=2e-4)


def test_formula_four():
    # BaB2O4 (Eimerl 1987), ordinary ray: n² = 2.7405 + 0.0184/(λ² − 0.0179) − 0.0155 λ² gives 1.672 at
    # 0.5461 µm; several later fits of the same crystal agree to 0.002 (from memory).
    found = page_index(("main", "BaB2O4", "Eimerl-o"), [546.1], called="x")[0].real
    assert found == pytest.approx(1.672, abs=2e-3)


@pytest.mark.parametrize(("low", "high", "asked"), [(300.0, 500.0, "300 nm"), (500.0, 2000.0, "2000 nm")])
def test_outside_its_range_a_set_is_refused(low, high, asked):
    with pytest.raises(ValueError, match=f"constants of Ta2O5 cover 350 to 1800 nm: {asked} was asked for"):
        refractive_index("Ta2O5", [low, high])


def test_an_unknown_material_is_refused_with_the_known_ones():
    with pytest.raises(ValueError, match=r"called 'unobtainium'; there are air, TiO2"):
        refractive_index("unobtainium", WAVELENGTHS)


def test_answers_are_kept_and_cannot_be_written_over():
    index = refractive_index("Ag", WAVELENGTHS)
    assert refractive_index("Ag", WAVELENGTHS.copy()) is index
    with pytest.raises(ValueError, match="read-only"):
        index[0] = 1.0
