"""Unsaved work left behind: all of it is listed, taken up, or thrown away once that was asked."""

import os

import pytest
from textual.widgets import OptionList

from planner.app import drafts
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


class Kernel:
    """Answers as Windows does by its documentation: process 7 lives, 8 has ended, 9 is somebody else's."""

    def OpenProcess(self, _right, _inherit, process):  # noqa: N802 - its name there
        return process if process in {7, 8} else 0

    def GetLastError(self):  # noqa: N802
        return 5 if self.asked == 9 else 87

    def GetExitCodeProcess(self, handle, code):  # noqa: N802
        code[0] = 259 if handle == 7 else 0
        return 1

    def CloseHandle(self, _handle):  # noqa: N802
        return 1


@pytest.mark.parametrize(("process", "alive"), [(7, True), (8, False), (9, True), (10, False)])
def test_on_windows_a_running_planners_draft_is_not_left_behind(process, alive):
    kernel = Kernel()
    kernel.asked = process
    assert drafts._alive_on_windows(process, kernel) is alive
