"""Warnings accepted on the screen: with who and why, taken back, undone, saved; `planner check` agrees."""

import asyncio

import pytest
from fumbling import press_at_once
from textual.widgets import OptionList

from planner.app.concerns import ConcernsScreen
from planner.app.form.screen import FormScreen, Line
from planner.app.state import state_of
from planner.assess import assess
from planner.job import Acceptance, read_job_file
from planner.job import Line as JobLine
from planner.reading.matter import QUICK


@pytest.fixture
def job(job):
    """Return the job with a second line that is far off whatever is judged: red beside a blue swatch."""
    red = JobLine(stone="shackle-red", coating="halyard-aurora", size="SS20")
    return job.model_copy(update={"lines": (job.lines[0], red)})


def standing(app):
    return [one.code for one, by in app.main.answer.concerns if by is None]


async def accept(pilot, who, why):
    """Accept the first warning of the list by keys alone."""
    await pilot.press("a", *([] if who is None else who), "down", *why, "enter")
    await pilot.pause()


def test_enter_held_down_asks_once_who_accepts(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("e")
        press_at_once(app, ["enter"] * 8)
        await pilot.pause(0.3)
        assert [type(one) for one in app.screen_stack].count(FormScreen) == 1

    play(app, story)


def test_by_keys_alone_warnings_are_accepted_saved_and_told_so(make_app, play, saved, screen_text, few):
    app = make_app()

    async def story(pilot, settle):
        worst = app.main.answer.concerns[0][0]
        assert worst.severity == "severe"
        serial = app.main.serial
        await pilot.press("e")
        await accept(pilot, "Ana", "Seen")
        assert app.state.pairing.accept == (Acceptance(code=worst.code, who="Ana", why="Seen"),)
        assert "accepted by Ana: Seen" in screen_text(app)
        await pilot.press("escape")
        assert "accepted" in screen_text(app).casefold()
        await pilot.press("e")
        # The next one: whoever accepted last probably accepts again.
        while any(one.severity == "severe" for one, by in app.main.answer.concerns if by is None):
            await accept(pilot, None, "Too")
        await pilot.press("escape")
        assert "▲ severe:" not in screen_text(app)
        assert any(by is not None for _, by in app.main.answer.concerns)
        assert app.main.serial == serial, "an acceptance asks for no other answer"
        await pilot.press("ctrl+s")
        await settle()

    play(app, story)
    file = read_job_file(saved.path)
    assert file.job.lines[1].accept == app.state.pairing.accept
    assert {one.who for one in file.job.lines[1].accept} == {"Ana"}
    before, after = (assess(one.job, few, QUICK).lines[1] for one in (saved, file))
    assert before.standing
    assert not after.standing
    assert not after.unused


def test_by_the_mouse_alone_one_is_accepted_and_taken_back(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("e")
        codes = standing(app)
        await pilot.click("#concerns", offset=(5, 0))
        assert isinstance(app.screen, FormScreen)
        # A name and a reason can only be typed or pasted.
        who, why = app.screen.query(Line)
        who.value, why.value = "Ben", "The client asked for it"
        await pilot.click("#keep")
        await pilot.pause()
        assert standing(app) == codes[1:]
        app.screen.query_one(OptionList).highlighted = len(codes) - 1
        await pilot.pause()
        await pilot.click("#take-back")
        await pilot.pause()
        assert standing(app) == codes
        assert app.state.pairing.accept == ()

    play(app, story, size=(120, 40))


def test_it_is_undone_and_done_again(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        codes = standing(app)
        await pilot.press("e")
        await accept(pilot, "Ana", "Seen")
        await pilot.press("escape", "u")
        assert standing(app) == codes
        await pilot.press("U")
        assert standing(app) == codes[1:]

    play(app, story)


def test_without_a_name_or_a_reason_it_is_refused_in_place(make_app, play, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("e")
        for who, why, found in (("", "Seen", "a person's name"), ("Ana", "", "a reason")):
            await accept(pilot, who, why)
            assert isinstance(app.screen, FormScreen)
            assert f"{found} must be" in screen_text(app).casefold()
            await pilot.press("escape", "escape")
            assert isinstance(app.screen, ConcernsScreen)
            assert app.state.pairing.accept == ()

    play(app, story)


def test_what_was_accepted_of_one_pairing_does_not_count_for_another(few, saved):
    state = state_of(saved.job, few, saved, saved.path).at_line(1)
    by = Acceptance(code="glow-drifts", who="Ana", why="Seen")
    accepted = state.with_line(accept=(by,))
    assert accepted.with_line(note="x").pairing.accept == (by,)
    assert accepted.with_job(title="x").pairing.accept == (by,)
    for change in ({"stone": "treadle-blue"}, {"coating": "none"}, {"size": "SS30"}, {"wish": "contrast"}):
        assert accepted.with_line(**change).pairing.accept == ()


def test_what_is_accepted_in_vain_is_listed_and_can_be_taken_back(make_app, play, few, saved, screen_text):
    by = Acceptance(code="sizes-differ", who="Cleo", why="Far apart")
    app = make_app()
    app.state = state_of(saved.job, few, saved, saved.path).at_line(1).with_line(accept=(by,))

    async def story(pilot, _settle):
        await pilot.press("e", "end", "x")
        await pilot.pause()
        assert app.state.pairing.accept == ()
        assert "Cleo" not in screen_text(app)

    play(app, story)


def test_an_answer_that_comes_while_the_screen_is_made_is_shown_once_it_is_there(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await settle()
        worst, _ = app.main.answer.concerns[0]
        app.main.action_concerns()
        opened = app.screen
        for step in range(1000):
            opened.show([worst] * (1 + step % 2))
            if opened.is_mounted:
                break
            await asyncio.sleep(0)
        opened.show([worst] * 3)
        await pilot.pause()
        assert len(opened.query_one(OptionList).options) == 3

    play(app, story)
