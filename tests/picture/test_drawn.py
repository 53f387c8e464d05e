"""A picture found from an earlier run is the picture that would be drawn, and is found for nothing else."""

from dataclasses import replace

import numpy as np
import pytest

from planner.catalogue import load
from planner.data import demo
from planner.optics import store
from planner.picture.drawn import drawn
from planner.picture.view import view
from planner.reading.question import Question, coating_called, typed_colour

PALETTE = load(demo())
SIZE = (9, 7)


@pytest.fixture
def question(tmp_path, monkeypatch):
    monkeypatch.setattr(store, "folder", lambda: tmp_path / "kept")
    stone, venue, colour = PALETTE.stones["pulley-blue"], PALETTE.venues["ballroom"], typed_colour("#20305c")
    film = coating_called("halyard-aurora", PALETTE)
    return Question(stone, PALETTE.cuts[stone.cut], film, "SS20", colour, colour, venue, venue.distance, 0.4)


def fresh(question):
    return view(question, *SIZE, "hand", finer=1).frame()


def never():
    raise AssertionError("it was kept, and drawn again")


def test_it_is_found_again_as_it_was(question):
    first = drawn([question], SIZE, lambda: fresh(question))
    np.testing.assert_array_equal(first, fresh(question))
    np.testing.assert_array_equal(drawn([question], SIZE, never), first)
    other_wish = replace(question, wish="tone", tolerance=3.0)
    np.testing.assert_array_equal(drawn([other_wish], SIZE, never), first)


def test_it_is_not_found_for_anything_else(question):
    drawn([question], SIZE, lambda: fresh(question))
    nearly = question.cloth.reflectance.copy()
    nearly[40] += 1e-12
    others = [
        replace(question, size="SS16"),
        replace(question, coating=None),
        replace(question, cover=0.41),
        replace(question, distance=question.distance + 0.1),
        replace(question, cloth=replace(question.cloth, reflectance=nearly)),
        replace(question, venue=PALETTE.venues["theatre"]),
        replace(question, stone=question.stone.model_copy(update={"foil": "aluminium"})),
    ]
    blank = np.zeros((1, 1, 3), np.uint8)
    for one in others:
        np.testing.assert_array_equal(drawn([one], SIZE, lambda: blank), blank)
    np.testing.assert_array_equal(drawn([question], (9, 8), lambda: blank), blank)
