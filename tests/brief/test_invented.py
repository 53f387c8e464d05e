"""What a page calls invented: what is, by its name, and nothing of a person's own."""

from dataclasses import replace

import pytest

from planner.brief.content import ROOMS, content
from planner.brief.figures import Figures
from planner.brief.gather import gather
from planner.brief.messages import messages
from planner.brief.wording import Wording
from planner.catalogue import load
from planner.catalogue.own import named
from planner.data import demo
from planner.fitting.own_stone import own_stone
from planner.job import Job, Line
from planner.lighting.halls import hall_said
from planner.reading.matter import QUICK

DEMO = load(demo())


@pytest.fixture(scope="module")
def hers():
    """Return a palette of a maker's own: a stone, an AB, a hall; the cut is a common one."""
    stone = own_stone("Royal blue", ("SS20",), DEMO.cuts["twelve"], colour="royal blue").stone
    film = named(DEMO.coatings["ab"], "Market AB", "market-ab")
    hall = hall_said("school hall, stage lights", ()).venue
    return replace(
        DEMO, stones={stone.id: stone}, coatings={film.id: film}, venues={hall.id: hall}, swatches={}
    ), Job(title="Sash", swatch="#1838a4", venues=(hall.id,),
           lines=(Line(stone=stone.id, coating=film.id, size="SS20"),))  # fmt: skip


ENGLISH = Wording(messages("en"), Figures("en_GB"))


def mark(palette, job):
    return content(gather(job, palette, grade=QUICK), ENGLISH, ROOMS[0])["invented"]


def test_nothing_of_her_own_is_called_invented(hers):
    assert mark(*hers) is None


@pytest.mark.parametrize(
    ("kind", "word"), [("stones", "stones"), ("coatings", "coatings"), ("venues", "light"), ("cuts", "cut")]
)
def test_one_invented_thing_is_named_and_it_alone(hers, kind, word):
    palette, job = hers
    key = {"stones": job.lines[0].stone, "coatings": job.lines[0].coating, "venues": job.venues[0],
           "cuts": "twelve"}[kind]  # fmt: skip
    table = getattr(palette, kind)
    made_up = table[key].model_copy(update={"basis": "invented"})
    why = mark(replace(palette, **{kind: {**table, key: made_up}}), job)["why"]
    named_there = why.rpartition(":")[2]
    assert {one for one in ("stones", "coatings", "light", "cut") if one in named_there} == {word}
