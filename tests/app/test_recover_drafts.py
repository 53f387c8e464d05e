"""Unsaved work left behind: all of it is listed, taken up, or thrown away once that was asked."""

import os

import pytest
from textual.widgets import OptionList

from planner.app.drafts import Drafts
from planner.app.recover_drafts import RecoverDraftsScreen
from planner.app.state import state_of
from planner.job import read_job_file

TITLES = ("Oldest", "Older", "Newest")


@pytest.fixture
def left(few, saved, tmp_path):
    """Leave three jobs behind, the last of them last."""
    for number, title in enumerate(TITLES):
        lost = state_of(saved.job, few, None, saved.path).with_job(title=title)
        path = Drafts(tmp_path / "drafts").keep(lost)
        aside = path.with_name(f"draft-99999999{number}-1.toml")
        path.rename(aside)
        os.utime(aside, (1_900_000_000 + number, 1_900_000_000 + number))
    return tmp_path / "drafts"


def jobs(folder):
    return {read_job_file(path).job.title for path in folder.glob("*.toml")}


def test_all_are_listed_with_title_and_pairings_the_newest_first(make_app, play, left, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("y")
        assert isinstance(app.screen, RecoverDraftsScreen)
        text = screen_text(app)
        assert text.index("Newest") < text.index("Older") < text.index("Oldest")
        assert text.count("2 pairings, not saved under a name") == len(TITLES)
        assert "2030" in text

    play(app, story)


def test_an_old_one_is_taken_up_from_the_start_screen(make_app, play, left):
    app = make_app(start=True)

    async def story(pilot, settle):
        await pilot.press("down", "enter", "end", "enter")
        await pilot.pause()
        await settle()
        assert app.state.job.title == "Oldest"
        assert app.state.unsaved

    play(app, story)
    assert jobs(left) == set(TITLES)


def test_nothing_is_thrown_away_unasked_and_no_means_no(make_app, play, left, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("y", "down", "y")
        assert jobs(left) == set(TITLES)
        await pilot.press("x")
        assert 'Throw "Older" away?' in screen_text(app)
        await pilot.press("escape")
        assert jobs(left) == set(TITLES)
        # The question is about one of them: moving on takes it back.
        await pilot.press("x", "down", "y")
        assert jobs(left) == set(TITLES)
        await pilot.press("up", "x", "y")
        assert jobs(left) == {"Oldest", "Newest"}
        await pilot.press("escape")
        assert app.screen is app.main

    play(app, story)


def test_the_mouse_alone_throws_one_away_and_takes_one_up(make_app, play, left):
    app = make_app()

    async def story(pilot, settle):
        await pilot.press("y")
        await pilot.click("#throw")
        await pilot.pause()
        await pilot.click("#sure")
        await pilot.pause()
        assert jobs(left) == {"Oldest", "Older"}
        assert app.screen.query_one(OptionList).option_count == len(TITLES) - 1
        await pilot.click("#take")
        await pilot.pause()
        await settle()
        assert app.state.job.title == "Older"

    play(app, story)


def test_without_any_it_says_so(make_app, play, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("y")
        assert "No unsaved work is left." in screen_text(app)
        await pilot.press("x", "y", "enter", "escape")
        assert app.screen is app.main

    play(app, story)
