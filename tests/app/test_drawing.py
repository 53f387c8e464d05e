"""Pictures drawn in a process of their own are the same pictures, and nobody waits for one that is gone."""

import asyncio

import numpy as np
import pytest
from textual.app import App

from planner.app.parts import drawing
from planner.app.parts.drawing import Drawing, OfCostume, OfQuestion
from planner.app.parts.stage import Stage
from planner.app.second_process import ProcessLostError, SameProcess, SecondProcess, parcel
from planner.catalogue import load
from planner.data import demo
from planner.job import read_job_file
from planner.picture.costume import costume_seen
from planner.picture.view import view
from planner.reading.question import Question, coating_called, typed_colour
from planner.refusal import Refusal

PICTURES = True

PALETTE = load(demo())


@pytest.fixture(scope="module")
def question():
    stone, venue, colour = PALETTE.stones["tackle-clear"], PALETTE.venues["ballroom"], typed_colour("#10131c")
    film = coating_called("halyard-aurora", PALETTE)
    return Question(stone, PALETTE.cuts[stone.cut], film, "SS20", colour, colour, venue, venue.distance, 0.4)


@pytest.fixture(scope="module")
def painter():
    process = SecondProcess()
    process.begin()
    yield process
    process.close()


@pytest.mark.parametrize("kind", ["seats", "stone"])
def test_a_frame_drawn_elsewhere_is_the_frame_drawn_here(question, painter, kind):
    drawn = Drawing(painter, OfQuestion(question, kind), (12, 8), 2)
    here = view(question, 12, 8, kind, finer=2)
    for tilt, nod in ((0.0, 0.0), (9.0, -4.0)):
        np.testing.assert_array_equal(drawn.frame(tilt, nod), here.frame(tilt, nod))


def test_so_is_a_whole_costume_and_what_it_is_refused_for(painter):
    file = read_job_file(demo() / "jobs" / "hoop-second-half.toml")
    folder = file.path.parent
    drawn = Drawing(painter, OfCostume(file.job, parcel(PALETTE), folder), (10, 12), 2)
    np.testing.assert_array_equal(drawn.frame(), costume_seen(file.job, PALETTE, folder, 10, 12).frame())
    wrong = file.job.model_copy(update={"outline": "cape"})
    with pytest.raises(Refusal, match="cape"):
        Drawing(painter, OfCostume(wrong, parcel(PALETTE), folder), (10, 12), 2).frame()


def test_a_few_pictures_are_kept_ready(question, monkeypatch):
    made = []

    class Counted:
        def __init__(self, *size):
            made.append(size)

        def frame(self, tilt, nod):
            return np.full((1, 1, 3), tilt + nod, np.uint8)

    monkeypatch.setattr(drawing, "_ready", type(drawing._ready)())
    several = [Drawing(SameProcess(), Counted, (number, 1), 2) for number in range(drawing.READY + 1)]
    for one in several:
        one.frame(), one.frame()
    assert len(made) == len(several), "a second frame of one picture needs nothing made ready again"
    assert len(drawing._ready) == drawing.READY
    several[0].frame()
    assert len(made) == len(several) + 1


class _Shown(App):
    def __init__(self, painter):
        super().__init__()
        self.stage = Stage("true", "stone", painter=painter)

    def compose(self):
        yield self.stage


def test_a_painter_that_is_gone_leaves_the_screen_standing(question):
    class Gone(SameProcess):
        asked = 0

        def call(self, *_given):
            self.asked += 1
            raise ProcessLostError("killed")

    async def story():
        gone = Gone()
        app = _Shown(gone)
        async with app.run_test(size=(10, 5)) as pilot:
            app.stage.show(question)
            await pilot.pause()
            await app.workers.wait_for_complete()
            assert gone.asked
            await pilot.press("right", "t")
            await pilot.pause(0.1)
            assert app.is_running
            assert app._exception is None

    asyncio.run(story())
