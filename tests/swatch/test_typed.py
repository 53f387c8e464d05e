"""A typed colour comes in as what it says, and its uncertainty is what measured spectra show."""

import numpy as np
import pytest
from reference import colour

from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.names import centroid_lab, names
from planner.colour.observer import illuminant
from planner.colour.tristimulus import weights
from planner.swatch.recover import reflectance_from_xyz
from planner.swatch.typed import FROM_DAYLIGHT, FROM_OTHER_LIGHT, from_text, light_weights, moving

DAYLIGHT = weights(illuminant("D65"))


def same(text, lab):
    return delta_e(from_text(text).colour.lab, np.array(lab, dtype=float))


@pytest.mark.parametrize(
    "text",
    ["lab 34 12 -46", "L*a*b* 34, 12, -46", "Lab(34 12 −46)", "lab: 34; 12; -46", "lch 34 47.5395 284.621°"],
)
def test_ways_to_write_one_colour_agree(text):
    assert same(text, (34, 12, -46)) < 0.01


def test_xyz_is_out_of_100():
    xyz = 100 * lab_to_xyz(np.array([34.0, 12.0, -46.0]))
    assert same("xyz " + " ".join(map(str, xyz)), (34, 12, -46)) < 1e-6


def test_white_stays_white_in_every_light_and_for_both_observers():
    for name in ("D50", "A", "C", "FL11"):
        for degrees in (2, 10):
            white = 100 * 0.8 * light_weights(name, degrees).sum(axis=0)
            text = "xyz " + " ".join(f"{value:.6f}" for value in white)
            found = from_text(text, illuminant_name=name, degrees=degrees).colour.lab
            assert np.hypot(*found[1:]) < 0.02
            assert found[0] == pytest.approx(116 * 0.8 ** (1 / 3) - 16, abs=0.01)


# White points of CIE 015:2018, table T.3 (as published, X and Z for Y = 100).
@pytest.mark.parametrize(
    ("name", "degrees", "x", "z"),
    [
        ("D65", 10, 94.81, 107.32),
        ("D50", 2, 96.42, 82.51),
        ("D50", 10, 96.72, 81.43),
        ("A", 10, 111.14, 35.20),
    ],
)
def test_published_white_points(name, degrees, x, z):
    white = 100 * light_weights(name, degrees).sum(axis=0)
    assert white == pytest.approx([x, 100, z], abs=0.03)


def measured():
    """123 published reflectances (ISO 17321-1:2012; CIE 224:2017), as carried by colour-science."""
    samples = colour.quality.cfi2017.load_TCS_CIE2017(colour.SpectralShape(380, 780, 5)).values.T
    chart = [
        np.interp(np.arange(380, 781, 5), table.wavelengths, table.values)
        for table in colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()
    ]
    return np.array([*samples, *chart])


@pytest.mark.parametrize(("name", "degrees"), [("D50", 2), ("D65", 10), ("C", 10), ("A", 2), ("FL11", 2)])
def test_moving_between_lights_costs_what_is_stated(name, degrees):
    spectra, light = measured(), light_weights(name, degrees)
    moved = np.array([reflectance_from_xyz(xyz, light) for xyz in spectra @ light])
    missed = delta_e(xyz_to_lab(spectra @ DAYLIGHT), xyz_to_lab(moved @ DAYLIGHT))
    rms = np.sqrt((missed**2).mean())
    print(f"\n{name} {degrees}°: mean {missed.mean():.2f}, rms {rms:.2f}, stated {moving(name)}", end="")
    assert rms <= moving(name) * 1.05


def test_other_light_and_daylight_differ():
    assert moving("D50") == FROM_DAYLIGHT < FROM_OTHER_LIGHT == moving("FL2")


def test_every_name_comes_in_with_its_spread():
    assert len(names()) == 267
    for name, lab in zip(names(), centroid_lab(), strict=True):
        swatch = from_text(name)
        assert delta_e(swatch.colour.lab, lab) < 0.01
        assert 1.0 < swatch.colour.uncertainty < 15.0
    assert same("Strong Blue", from_text("strong blue").colour.lab) == 0
    assert same("light gray", from_text("light grey").colour.lab) == 0


def test_a_neon_colour_is_taken_only_when_called_fluorescent():
    with pytest.raises(ValueError, match="called fluorescent"):
        from_text("lab 95 -60 110")
    neon = from_text("lab 95 -60 110", fluorescent=True).colour
    assert neon.fluorescent
    assert neon.reflectance.max() > 1
    assert delta_e(xyz_to_lab(neon.reflectance @ DAYLIGHT), neon.lab) < 0.02
    with pytest.raises(ValueError, match="cannot be moved"):
        from_text("lab 95 -60 110", fluorescent=True, illuminant_name="D50")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("lab 34 12", "three numbers"),
        ("lab 34,5 12,1 -46", "decimal points"),
        ("lab 34 12 blue", "three numbers"),
        ("", "not a colour name"),
        ("plain nonsense", "not a colour name"),
        ("lab 50 200 -300", "No reflecting surface"),
        ("xyz 50 50 9000", "No reflecting surface"),
        ("lab " + "9" * 400 + " 0 0", "No reflecting surface|three numbers"),
    ],
)
def test_bad_text_is_refused_in_one_sentence(text, says):
    with pytest.raises(ValueError, match=says) as caught:
        from_text(text)
    assert "\n" not in str(caught.value)


def test_a_chroma_below_nothing_is_refused():
    with pytest.raises(ValueError, match="found a chroma of -30; it must be 0 or more"):
        from_text("lch 50 -30 0")


def test_unknown_light_or_observer():
    with pytest.raises(ValueError, match="found illuminant 'D66'; allowed are"):
        from_text("lab 34 12 -46", illuminant_name="D66")
    with pytest.raises(ValueError, match="allowed are 2 and 10"):
        from_text("lab 34 12 -46", degrees=5)
