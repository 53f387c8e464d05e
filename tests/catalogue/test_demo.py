"""The demo palettes: they load, are called invented, and offer enough to plan a costume with."""

import tomllib

import numpy as np
import pytest

from planner.catalogue import load, size
from planner.catalogue.palette_file import kind_of
from planner.catalogue.toml_text import split
from planner.colour.cielab import lab_to_lch, xyz_to_lab
from planner.colour.grid import WAVELENGTHS, resample
from planner.colour.observer import illuminant
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tristimulus import weights
from planner.data import demo
from planner.optics.cut import build_cut
from planner.optics.glass import GLASSES, absorption_from_transmittance, body_absorption


@pytest.fixture(scope="module")
def palette():
    return load(demo())


def test_there_is_enough_of_everything(palette):
    assert len(palette.stones) >= 40
    assert len(palette.coatings) >= 12
    assert len(palette.cuts) >= 4
    assert len(palette.venues) >= 8
    assert len(palette.swatches) >= 8
    assert len({stone.material for stone in palette.stones.values()}) >= 3
    # Two rows of eight are common, and left to a person's own stones.
    assert {cut.id for cut in palette.cuts.values()} - {"sixteen"} == {
        stone.cut for stone in palette.stones.values()
    }


def test_few_cuts_of_few_glasses_need_tracing(palette):
    assert len({(stone.cut, stone.material) for stone in palette.stones.values()}) <= 8


def test_every_entry_says_it_is_invented_and_every_file_too(palette):
    for kind in ("stone", "coating", "cut", "venue", "swatch"):
        told = {entry.basis for file in palette.files for entry in file.entries if kind_of(entry) == kind}
        assert told <= {"invented"}
    for file in [*demo().glob("*.toml"), *demo().glob("jobs/*.toml")]:
        assert "INVENTED" in file.read_text(encoding="utf-8").split("\n\n")[0]


def test_every_entry_can_be_edited_in_place(palette):
    for file in palette.files:
        kinds = {"stone", "coating", "cut", "venue", "swatch"}
        blocks = split(file.source.text, kinds)
        assert len(blocks.blocks) == len(file.entries) == sum(map(len, tomllib.loads(blocks.text).values()))


def test_kinds_of_coating_and_stone(palette):
    coatings, stones = palette.coatings.values(), palette.stones.values()
    assert any(coating.where == "foil" for coating in coatings)
    assert any(coating.lay.kind == "off axis" for coating in coatings)
    assert sum(len(coating.layers) > 1 for coating in coatings) >= 2
    used = {layer.material for coating in coatings for layer in coating.layers}
    assert {"Au", "Cr", "Ag", "Fe2O3"} <= used
    assert any(stone.opaque for stone in stones)
    assert any(stone.foil == "none" for stone in stones)
    assert any(stone.spectrum for stone in stones)
    assert any(stone.colour for stone in stones)
    assert {stone.material for stone in stones} <= set(GLASSES)


def test_names_are_short_and_told_apart(palette):
    for kind in ("stone", "coating", "cut", "venue", "swatch"):
        names = [entry.name for entry in palette.entries(kind).values()]
        assert len(names) == len({name.lower() for name in names})
        for name in names:
            assert len(name) <= 45
            assert name[0].isupper()
            assert "  " not in name


def test_cuts_are_solids_of_usual_height(palette):
    for cut in palette.cuts.values():
        facets = build_cut([(row.facets, row.angle, row.inner) for row in cut.rows], cut.girdle)
        assert facets.height == pytest.approx(cut.height)
        assert 0.15 < cut.height < 0.4


def stone_colour(stone, diameter):
    """CIELAB (D65) of light that went once through 0.9 diameters, about the mean path of these cuts."""
    if stone.colour:
        return srgb_to_lab(parse_hex(stone.colour))
    if stone.spectrum:
        nm, kept = zip(*stone.spectrum, strict=True)
        absorption = absorption_from_transmittance(resample(nm, kept), stone.depth_mm)
    else:
        absorption = body_absorption(stone.colourants or {}, WAVELENGTHS)
    kept = np.exp(-absorption * 0.9 * diameter)
    return xyz_to_lab(kept @ weights(illuminant("D65")))


def test_stones_go_round_the_hue_circle_from_pale_to_deep(palette):
    clear = [stone for stone in palette.stones.values() if not stone.opaque]
    lch = lab_to_lch(np.array([stone_colour(stone, size("SS20").nominal_mm) for stone in clear]))
    hues = np.sort(lch[lch[:, 1] > 10, 2])
    gaps = np.diff(np.append(hues, hues[0] + 360))
    assert gaps.max() < 60  # no sixth of the circle is empty
    assert (lch[:, 0] < 45).sum() >= 5
    assert (lch[:, 0] > 80).sum() >= 8


def test_swatches_go_round_the_hue_circle_and_include_a_nude_and_a_near_black(palette):
    labs = [
        np.array(one.lab) if one.lab else srgb_to_lab(parse_hex(one.colour))
        for one in palette.swatches.values()
        if not one.spectrum
    ]
    lch = lab_to_lch(np.array(labs))
    hues = np.sort(lch[lch[:, 1] > 20, 2])
    assert np.diff(np.append(hues, hues[0] + 360)).max() < 75
    assert lch[:, 0].min() < 20
    assert (
        (lch[:, 1] > 10) & (lch[:, 1] < 30) & (lch[:, 0] > 60) & (lch[:, 2] > 40) & (lch[:, 2] < 80)
    ).any()


def test_venues_differ_in_what_makes_sparkles(palette):
    venues = palette.venues.values()
    # The sun's disc is 0.53° wide (mean angular diameter; common knowledge, no source needed).
    assert any(light.size == 0.53 for venue in venues for light in venue.lights)
    assert any(
        len(v.lights) == v.lights[0].number == 1 and v.surround.lux < v.lights[0].lux / 100 for v in venues
    )
    assert any(venue.floor.reflectance > 0.6 for venue in venues)
    assert any(light.spectrum.illuminant == "FL2" for venue in venues for light in venue.lights)
