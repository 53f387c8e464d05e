"""The other look: in the hand by the window."""

import numpy as np
import pytest
from made_readings import asked, told

from planner.reading.drift import difference
from planner.reading.hand import in_hand
from planner.reading.matter import QUICK
from planner.reading.read import read


def hand(stone, coating, swatch="leotard-blue"):
    return told(stone, coating, swatch, "noon").hand


def test_the_stone_in_the_hand_is_read_like_any_other():
    question = asked("pulley-blue", "halyard-aurora", "leotard-blue", "theatre")
    plain = read(in_hand(question), QUICK)
    found = read(question, QUICK).hand
    assert plain.seen_of == "stone"
    assert found.seen.lab == pytest.approx(plain.seen.lab, abs=1e-3)
    assert found.drift == difference(np.array(found.swatch.lab), np.array(found.seen.lab))


def test_without_a_film_tables_and_rims_are_of_one_hue():
    """Common practice, no source."""
    assert {hand("tackle-clear", "none").table, hand("tackle-clear", "none").rim} == {"white"}
    assert {hand("tackle-jet", "none").table, hand("tackle-jet", "none").rim} == {"white"}
    assert {hand("pulley-blue", "none").table, hand("pulley-blue", "none").rim} == {"blue"}


def test_a_film_that_lies_thinner_on_the_slopes_gives_tables_and_rims_a_hue_each():
    """Seen on any jet with an aurora (common practice, no source): the slope's film is thinner, so bluer."""
    jet = hand("tackle-jet", "halyard-aurora")
    assert jet.table != jet.rim
    circle = ("yellow", "yellow green", "green", "blue green", "blue", "violet", "purple")
    assert circle.index(jet.table) < circle.index(jet.rim)
