"""The costume on a form: every field is filled in, refused in place, kept as one change and undone."""

from datetime import date

import pytest

from planner.app.costume_form import ITEMS, answered, day_of, entries
from planner.app.form.screen import FormScreen, Line
from planner.app.state import state_of
from planner.job import read_job_file


@pytest.fixture
def state(few, saved):
    return state_of(saved.job, few, saved, saved.path).at_line(1)


def test_by_keys_alone_title_day_and_note_are_kept_and_undone_as_one(make_app, play, saved, screen_text):
    app = make_app()

    async def story(pilot, settle):
        serial = app.main.serial
        await pilot.press("j", *" 2", "down", *"3 april 2027")
        assert "Saturday, 3 April 2027" in screen_text(app)
        await pilot.press("down", "down", *"Lent", "down", *"Straps", "enter")
        await pilot.pause()
        assert app.screen is app.main
        assert (app.state.job.title, app.state.job.event) == ("Hoop act 2", date(2027, 4, 3))
        assert (app.state.job.note, app.state.pairing.note) == ("Lent", "Straps")
        assert "Hoop act 2" in screen_text(app)
        assert app.main.serial == serial, "none of it changes an answer"
        app.keep()
        assert read_job_file(app.drafts.path).job == app.state.job
        await pilot.press("u")
        assert app.state.job == saved.job
        await pilot.press("U", "ctrl+s")
        await settle()
        assert read_job_file(saved.path).job == app.state.job

    play(app, story)


def test_the_mouse_opens_it_at_the_title_and_keeps_it(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.click("#bar", offset=(4, 0))
        await pilot.pause()
        assert isinstance(app.screen, FormScreen)
        await pilot.click("#entry-job-title")
        await pilot.press("end", *"!")
        await pilot.click("#keep")
        await pilot.pause()
        assert app.state.job.title == "Hoop act!"

    play(app, story)


def test_what_is_refused_is_said_under_its_line_and_nothing_is_kept(make_app, play, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        kept = app.state
        await pilot.press("j", "down", *"3/4/2027", "up", "enter")
        assert isinstance(app.screen, FormScreen)
        assert "14 March 2027 or 14.3.2027" in screen_text(app)
        assert app.focused.id == "entry-job-event"
        # What was typed is not thrown away by one key.
        await pilot.press("escape")
        assert "Esc once more" in screen_text(app)
        await pilot.press("escape")
        assert app.screen is app.main
        assert app.state is kept

    play(app, story)


def test_leaving_untouched_asks_nothing(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("j", "escape")
        assert app.screen is app.main

    play(app, story)


def test_what_stands_there_at_first_is_good_and_changes_nothing(state):
    lines = entries(state)
    assert len({one.name for one in lines}) == len(ITEMS)
    assert not [one.label for one in lines if one.fault(one.text)[1]]
    assert answered(state, {one.name: one.text for one in lines}).history is state.history


@pytest.mark.parametrize(
    ("name", "typed", "field", "value"),
    [
        ("job-wearer", "12 Or Younger", "wearer", "12 or younger"),
        ("job-use", "ice, floor", "use", ("ice", "floor")),
        ("job-fibre", "silk", "fibre", "silk"),
        ("job-currency", "chf", "currency", "CHF"),
        ("job-budget", "250,50", "budget", "250.50"),
        ("job-spares", "7,5 %", "spares", 0.075),
        ("job-repair", "12", "repair", 12),
        ("job-stones_by", "1.2.2027", "stones_by", date(2027, 2, 1)),
    ],
)
def test_a_field_takes_what_a_maker_writes(name, typed, field, value, state):
    lines = {one.name: one for one in entries(state)}
    assert not lines[name].fault(typed)[1]
    after = answered(state, {one.name: one.text for one in lines.values()} | {name: typed})
    assert str(getattr(after.job, field)) == str(value)


@pytest.mark.parametrize(
    ("name", "typed", "part"),
    [
        ("job-title", "", "a title must be"),
        ("job-title", "x" * 121, "120 characters"),
        ("job-note", "x" * 401, "400 characters"),
        ("job-event", "soon", "a day must be"),
        ("job-event", "31.2.2027", "there is no such day"),
        ("job-wearer", "cat", "adult, 12 or younger or under 3"),
        ("job-use", "swim", "touch"),
        ("job-fibre", "tin", "cotton"),
        ("job-currency", "euros", "three capital letters"),
        ("job-budget", "lots", "an amount must be"),
        ("job-spares", "200", "at most 1"),
        ("job-repair", "-1", "whole number"),
    ],
)
def test_a_field_refuses_the_rest_in_one_sentence(name, typed, part, state):
    said, wrong = next(one for one in entries(state) if one.name == name).fault(typed)
    assert wrong
    assert part in said.casefold() or part in said
    assert said.endswith(".")
    assert "\n" not in said


@pytest.mark.parametrize("text", ["2027-03-14", "14 March 2027", "14 mar 2027", "14.3.2027", "14. 3. 2027"])
def test_a_day_is_understood_as_it_is_written(text):
    assert day_of(text) == date(2027, 3, 14)


def test_a_long_form_scrolls_and_its_buttons_stay(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("j", *["down"] * (len(ITEMS) - 1))
        await pilot.pause()
        last = list(app.screen.query(Line))[-1]
        assert last.has_focus
        assert app.screen.query_one("#keep").region.bottom < app.size.height
        assert last.region.bottom < app.screen.query_one("#keep").region.y

    play(app, story)
