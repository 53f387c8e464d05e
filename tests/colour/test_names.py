"""Names against the standard's own centroids and against what people call colours."""

from collections import Counter

import numpy as np
import pytest
from reference import colour, matplotlib_colors

from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.names import (
    FAMILIES,
    capped,
    family_index,
    family_of,
    family_swatch,
    hue_name_of,
    name_index,
    name_of,
    names,
)
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tristimulus import white_d65
from planner.colour.uniform import lab_to_cam16_ucs

# Words people use against our families. Two families lie between two words and count as either;
# violet is purple to most speakers; olive is a dark yellow green, which has no word of its own.
ALIKE = {
    "violet": {"purple", "violet"},
    "purple": {"purple", "violet"},
    "yellow green": {"yellow", "green"},
    "blue green": {"blue", "green"},
    "olive": {"green"},
}
WORDS = ("red", "orange", "yellow", "green", "blue", "purple", "violet", "pink", "brown")


def lab(text):
    return srgb_to_lab(parse_hex(text))


def test_cam16_ucs_agrees_with_colour_science():
    colours = srgb_to_lab(np.random.default_rng(7).integers(0, 256, (300, 3), dtype=np.uint8))
    cam = colour.XYZ_to_CAM16(
        lab_to_xyz(colours) * 100, white_d65() * 100, L_A=64 / np.pi * 0.2, Y_b=20, discount_illuminant=True
    )
    theirs = colour.JMh_CAM16_to_CAM16UCS(np.stack([cam.J, cam.M, cam.h], axis=-1))
    np.testing.assert_allclose(lab_to_cam16_ucs(colours), theirs, atol=1e-9)


def test_there_are_267_names_and_each_centroid_has_its_own():
    rows = [line.split(",") for line in table_lines()]
    assert len(rows) == len(set(names())) == 267
    colours = srgb_to_lab(np.stack([parse_hex(row[1]) for row in rows]))
    found = {row[0]: names()[i] for row, i in zip(rows, name_index(colours), strict=True)}
    # The one that is never given, since its value as carried is a greenish blue.
    assert "greenish blue" in found.pop("vivid blue")
    # And one whose value as carried is a vivid orange.
    assert "orange" in found.pop("deep yellowish pink")
    assert all(name == own for own, name in found.items())
    assert {row[3] for row in rows} == set(FAMILIES)


def table_lines():
    from planner.data import shared

    lines = shared("iscc_nbs_centroids.csv").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if not line.startswith("#")][1:]


def test_names_of_well_known_colours():
    # Kelly & Judd 1976 name the block of each Munsell paper; these sRGB colours lie well inside one.
    assert name_of(lab("#ffffff")) == "white"
    assert name_of(lab("#000000")) == "black"
    assert name_of(lab("#808080")) == "medium grey"
    assert family_of(lab("#0000ff")) == "blue"
    assert hue_name_of(lab("#30267a")) == "purplish blue"
    assert family_of(lab("#804010")) == "brown"
    assert family_of(lab("#505010")) == "olive"


def test_what_is_purer_than_a_vivid_colour_is_no_less_than_vivid():
    # The vivid blocks of the standard are open towards higher chroma, at any lightness (Kelly & Judd 1976,
    # from memory): a colour that is told to be more vivid than a vivid one must not be called strong.
    for blue in ("#1f3bd6", "#2a3fe0", "#0b2fbf"):
        assert name_of(lab(blue)) == "vivid purplish blue"
    assert name_of(lab("#545aa7")) == "strong purplish blue"
    assert name_of(lab("#6c79b8")) == "brilliant purplish blue", "lighter, and rightly called so"
    assert name_of(lab("#e6728f")).split()[0] == "deep", "the table's vivid pink was clipped"


def test_a_glow_brighter_than_white_is_named_at_its_own_chromaticity_and_flagged():
    glow = np.array([[140.0, 30.0, -20.0], [60.0, 30.0, -20.0]])
    dimmed, flagged = capped(glow)
    assert flagged.tolist() == [True, False]
    assert dimmed[0, 0] == 100
    one, two = lab_to_xyz(glow[0]), lab_to_xyz(dimmed[0])
    np.testing.assert_allclose(one / one.sum(), two / two.sum(), atol=1e-12)
    np.testing.assert_array_equal(dimmed[1], glow[1])
    assert name_of(glow[0]) == name_of(dimmed[0])


def test_a_colour_near_neutral_has_a_neutral_name():
    # Between black and dark grey, where a brown or an olive is the nearest centroid of all.
    assert family_of(np.array([25.4, -0.1, -0.5])) in ("grey", "black")
    assert family_of(np.array([24.3, 0.3, -2.1])) in ("grey", "black")
    greys = np.array([[level, 0.0, 0.0] for level in range(101)], dtype=np.float64)
    called = [names()[i] for i in name_index(greys)]
    assert list(dict.fromkeys(called)) == ["black", "dark grey", "medium grey", "light grey", "white"]
    hues = np.radians(np.arange(0.0, 360.0, 10.0))
    levels, angles = np.meshgrid(np.arange(0.0, 101.0, 5.0), hues)
    tinted = np.stack([levels, 2.9 * np.cos(angles), 2.9 * np.sin(angles)], axis=-1)
    assert {FAMILIES[i] for i in family_index(tinted).ravel()} == {"white", "grey", "black"}
    assert names()[int(name_index(np.array([24.3, 0.3, -2.1])))] in ("bluish black", "dark bluish grey")
    # A hue across neutral is not named either.
    assert "brown" not in hue_name_of(np.array([24.0, 0.0, -3.3]))
    # Beyond the limit hues are still named.
    assert family_of(np.array([30.0, 2.0, -8.0])) == "blue"


def test_any_leading_shape():
    colours = np.random.default_rng(8).uniform(0, 60, (2, 300, 3))
    found = family_index(colours)
    assert found.shape == (2, 300)
    assert FAMILIES[found[1, 7]] == family_of(colours[1, 7])


def test_a_family_is_drawn_in_a_colour_of_that_family():
    for family in FAMILIES:
        assert family_of(family_swatch(family)) == family
    with pytest.raises(ValueError, match="No hue family is called 'teal': choose from red"):
        family_swatch("teal")


def test_families_are_what_people_say():
    """People's names: the XKCD colour survey, R. Munroe 2010, CC0, as carried by matplotlib.

    Taken are the names that contain exactly one of the nine words. Measured: see the printed line.
    """
    people = []
    for name, text in matplotlib_colors.XKCD_COLORS.items():
        said = [word for word in name.removeprefix("xkcd:").replace("/", " ").split() if word in WORDS]
        if len(said) == 1:
            people.append((said[0], text))
    colours = srgb_to_lab(np.stack([parse_hex(text) for _, text in people]))
    ours = [FAMILIES[i] for i in family_index(colours)]
    alike = [word in ALIKE.get(family, {family}) for (word, _), family in zip(people, ours, strict=True)]
    strictly = [word == family for (word, _), family in zip(people, ours, strict=True)]
    unlike = Counter(
        f"{word}→{family}" for (word, _), family, same in zip(people, ours, alike, strict=True) if not same
    )
    print(
        f"\n{np.mean(alike):.1%} of {len(people)} named alike ({np.mean(strictly):.1%} by the very word); "
        f"else {dict(unlike.most_common())}"
    )
    assert np.mean(alike) > 0.78


def test_names_do_not_depend_on_how_many_are_asked():
    colours = xyz_to_lab(np.random.default_rng(9).uniform(0, 1, (600, 3)))
    together = name_index(colours)
    assert [int(name_index(one)) for one in colours[::50]] == together[::50].tolist()
