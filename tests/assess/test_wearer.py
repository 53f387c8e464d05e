"""What is told of the wearer: of the lines asked for, and who accepted it for all of them."""

import pytest

from planner.assess import guarded
from planner.catalogue import load
from planner.data import demo
from planner.job import Acceptance, Job, Line


@pytest.fixture(scope="module")
def palette():
    return load(demo())


def job(*accept):
    lines = (
        Line(stone="pulley-blue", size="SS20"),
        Line(stone="treadle-blue", size="SS10", accept=accept),  # lead crystal
        Line(stone="treadle-blue", size="SS10"),
    )
    return Job(title="x", swatch="leotard-blue", venues=("rink",), wearer="12 or younger", lines=lines)


def told(palette, asked, *wanted):
    return {one.caution.code: one.accepted for one in guarded(asked, palette, wanted)}


def test_a_caution_counts_for_lines_that_are_asked_for(palette):
    assert told(palette, job()) == {}
    assert "lead-12-or-younger" not in told(palette, job(), 1)
    assert told(palette, job(), 1, 2)["lead-12-or-younger"] is None


def test_it_is_accepted_where_every_line_that_is_asked_for_says_so(palette):
    yes = Acceptance(code="lead-12-or-younger", who="Head of wardrobe", why="Worn over a lining.")
    assert told(palette, job(yes), 1, 2)["lead-12-or-younger"] == yes
    assert told(palette, job(yes), 2, 3)["lead-12-or-younger"] is None
