"""A hall in a few words: what a maker would say of it, and what she would expect of that."""

import pytest

from planner.lighting.halls import hall_said
from planner.lighting.places import floors, places, surrounds
from planner.refusal import InvalidValue

# What somebody who has been there expects (common practice, no source): the kind of lamp, whether it is light
# round about, and metres to the viewer.
EXPECTED = [
    ("rink, LED", "LED", True, 20),
    ("theatre, old lamps", "halogen", False, 15),
    ("School hall, light walls, stage lights", "halogen", True, 12),
    ("gym", "tube", True, 10),
    ("outdoors at noon", "daylight", True, 5),
    ("ballroom", "halogen", True, 8),
    ("church hall with LED spots, dark walls, 18 m", "LED", False, 18),
    ("stage lights", "halogen", True, 12),
    ("a big top with followspot", "halogen", False, 12),
]


@pytest.mark.parametrize(("said", "lamp", "light", "metres"), EXPECTED)
def test_a_hall_is_what_a_maker_means_by_it(said, lamp, light, metres):
    venue = hall_said(said, ()).venue
    assert lamp in venue.lights[0].name
    assert (venue.surround.lux >= 60) == light
    assert venue.distance == metres
    assert venue.basis == "estimated"
    assert venue.name.lower() == said.lower()


def test_what_is_not_understood_is_told_and_nothing_understood_is_asked_about():
    assert "gala night" in " ".join(hall_said("Town hall, gala night", ()).notes)
    with pytest.raises(InvalidValue, match="kind of place"):
        hall_said("Aunt Edith's", ())


def test_the_same_hall_twice_has_two_ids():
    assert hall_said("gym", {"gym"}).venue.id == "gym-2"


def test_every_kind_of_place_is_made_of_words_that_are_there():
    for one in places().values():
        assert one.surround in surrounds()
        assert one.floor in floors()
        assert hall_said(one.words[0], ()).venue.distance == one.distance
