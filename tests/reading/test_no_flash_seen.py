"""Lamps of which nothing is ever seen, and light from small lamps alone: there is an answer all the same."""

from dataclasses import replace

import numpy as np
import pytest
from made_readings import asked

from planner.catalogue.venue import Floor, Light, Spectrum, Surround, Venue
from planner.reading.matter import QUICK
from planner.reading.read import read


def lit_by_one(azimuth, surround, floor):
    """Return a venue with one small lamp."""
    return Venue(
        id="one", name="One lamp", basis="invented", distance=15.0,
        lights=(
            Light(
                name="lamp", spectrum=Spectrum(illuminant="A"), lux=800, elevation=0, azimuth=azimuth,
                size=0.5,
            ),
        ),
        surround=Surround(lux=surround, spectrum=Spectrum(illuminant="A")), floor=Floor(reflectance=floor),
    )  # fmt: skip


@pytest.mark.parametrize("stone", ["pulley-blue", "tackle-jet", "pelmet-clear"])
@pytest.mark.parametrize("azimuth", [130, 160, 180])
def test_a_lamp_behind_the_stones_is_never_seen_in_them(stone, azimuth):
    start = asked(stone, "none", "leotard-blue", "theatre")
    found = read(replace(start, venue=lit_by_one(azimuth, 100, 0.2)), QUICK)
    assert np.isfinite(found.seen.lab).all()
    if azimuth == 180:
        assert found.flash is None


@pytest.mark.parametrize("stone", ["pulley-blue", "pelmet-clear"])
def test_where_only_a_small_lamp_sheds_light_stones_are_dark_between_their_flashes(stone):
    start = asked(stone, "none", "leotard-blue", "theatre")
    found = read(replace(start, venue=lit_by_one(20, 0, 0.0)), QUICK)
    assert np.isfinite(found.seen.lab).all()
    assert stone == "pelmet-clear" or found.seen_stone.lab[0] < 5.0  # through a glued one its lit cloth shows
