"""What stones are judged beside: a clear one of their own glass and cut, seen along the same beams."""

from dataclasses import replace
from typing import get_args

import numpy as np
import pytest
from made_readings import asked, palette

from planner.catalogue.stone import Material
from planner.reading.among import AMONG, clear_stone, taken_for, white_of
from planner.reading.eye import sights
from planner.reading.matter import FINE, QUICK, absorption, gem
from planner.reading.scene import perceived, scene
from planner.reading.states import states

MATERIALS = get_args(Material)


def seen_xyz(question, grade):
    """Return XYZ (3,) of an uncoated stone as it is seen on grey cloth, in cd/m²."""
    stone, of = question.stone, question.viewer.judged(question.millimetres)
    found = sights(
        gem(stone, question.cut, grade, question.lean), None, states(None, full=False),
        absorption(stone, question.cut)[None], question.millimetres, scene(question.venue),
        np.full(81, 0.2), question.viewer, (of,),
    )  # fmt: skip
    return found.seen[of][0, 0]


@pytest.mark.parametrize("grade", [QUICK, FINE], ids=["a first look", "a reading"])
@pytest.mark.parametrize("material", MATERIALS)
def test_a_clear_stone_is_white_among_its_like_however_finely_it_is_followed(material, grade):
    """In a lone followspot, where one way of following it differs most from another."""
    base = asked("pulley-blue", "none", "leotard-blue", "followspot", size="SS20")
    question = replace(base, stone=clear_stone(base.cut, material=material))
    place, found = scene(question.venue), seen_xyz(question, grade)
    white = white_of(question, place, grade)
    beside_cloth = perceived(found, place)
    lab = taken_for(found, place, white, question.distance)
    share = 2.0 * (lab[0] - beside_cloth[0]) / (100.0 - beside_cloth[0])
    assert share == pytest.approx(2.0 * AMONG, rel=0.01)  # from 15 m hardly any of it is the cloth's


def test_stones_of_all_materials_are_judged_beside_about_the_same_white():
    """A material buys little: in venues with more than one lamp clear stones differ by some in L*."""
    for name in ("rink", "gym", "noon", "ballroom"):
        base = asked("pulley-blue", "none", "leotard-blue", name, size="SS20")
        place = scene(base.venue)
        whites = [
            white_of(replace(base, stone=clear_stone(base.cut, material=one)), place, FINE)
            for one in MATERIALS
        ]
        lightness = 116.0 * np.cbrt(whites) - 16.0
        assert np.ptp(lightness) < 2.5


def test_no_stone_is_judged_beside_a_white_of_another_cut():
    cuts = {one.cut for one in palette().stones.values() if one.foil != "none"}
    base = asked("pulley-blue", "none", "leotard-blue", "theatre", size="SS20")
    place = scene(base.venue)
    found = {white_of(replace(base, cut=palette().cuts[one]), place, QUICK) for one in cuts}
    assert len(found) == len(cuts)
