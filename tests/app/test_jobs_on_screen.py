"""Jobs: new, open, save, drafts; whatever happens, no work is lost and no file overwritten."""

import pytest
from waiting import until

from planner.app.dialogs import LeavingScreen, TextScreen
from planner.app.drafts import Drafts, taken_up
from planner.app.job_app import KEEP
from planner.app.start import StartScreen
from planner.app.state import new_state, state_of
from planner.catalogue import Refusal
from planner.job import Job, read_job_file


def notes(app):
    return " ".join(note.message for note in app._notifications)


def test_save_writes_what_is_on_the_screen_and_keeps_comments(make_app, play, saved):
    saved.path.write_text("# For the second half.\n" + saved.path.read_text())
    app = make_app()
    app.state = state_of(saved.job, app.palette, read_job_file(saved.path), saved.path).at_line(1)

    async def story(pilot, settle):
        await pilot.press("down", "right", "ctrl+s")
        await settle()
        text = saved.path.read_text()
        assert text.startswith("# For the second half.\n")
        assert read_job_file(saved.path).job == app.state.job
        assert not app.state.unsaved
        assert app.drafts.path is None

    play(app, story)


def test_a_file_changed_by_another_program_is_not_overwritten(make_app, play, saved):
    app = make_app()

    async def story(pilot, settle):
        await pilot.press("down", "right")
        theirs = saved.path.read_text().replace("Hoop act", "Their act")
        saved.path.write_text(theirs)
        await pilot.press("ctrl+s")
        await settle()
        assert saved.path.read_text() == theirs
        assert "changed by someone else" in notes(app)
        assert app.state.unsaved
        app.keep()
        assert read_job_file(app.drafts.path).job == app.state.job

    play(app, story)


def test_a_new_job_is_asked_for_its_name_and_never_overwrites(make_app, play, saved, tmp_path, few):
    app = make_app()
    app.state = new_state(few)

    async def story(pilot, settle):
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, TextScreen)
        app.screen.query_one("Input").value = str(saved.path)
        before = saved.path.read_text()
        await pilot.press("enter")
        await settle()
        assert saved.path.read_text() == before
        assert "already" in notes(app)
        await pilot.press("ctrl+s")
        await pilot.pause()
        app.screen.query_one("Input").value = str(tmp_path / "mine")
        await pilot.press("enter")
        await settle()
        assert read_job_file(tmp_path / "mine.toml").job == app.state.job

    play(app, story)


def test_the_root_of_all_folders_is_no_name_of_a_job(make_app, play, few):
    app = make_app()
    app.state = new_state(few)

    async def story(pilot, settle):
        await pilot.press("ctrl+s")
        await pilot.pause()
        app.screen.query_one("Input").value = "/"
        await pilot.press("enter")
        await settle()
        assert "/: " in notes(app)
        assert app.state.file is None

    play(app, story)


def test_a_home_of_nobody_is_one_sentence_and_the_app_stays(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await pilot.press("ctrl+o")
        await pilot.pause()
        app.screen.query_one("Input").value = "~nobody-of-that-name/hoop.toml"
        await pilot.press("enter")
        await settle()
        assert "~nobody-of-that-name/hoop.toml" in notes(app)

    play(app, story)


@pytest.mark.parametrize(
    ("key", "leaves", "drafts"),
    [("s", True, 0), ("k", True, 1), ("x", True, 0), ("escape", False, 1)],
)
def test_leaving_asks_what_becomes_of_changes(key, leaves, drafts, make_app, play, saved, tmp_path):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("down", "right", "q")
        await until(pilot, lambda: isinstance(app.screen, LeavingScreen))
        await pilot.press(key)
        await until(pilot, lambda: app._exit if leaves else app.screen is app.main)
        assert app._exit is leaves

    play(app, story)
    assert len(list((tmp_path / "drafts").glob("*.toml"))) == drafts
    changed = read_job_file(saved.path).job.lines[1].coating == "bobbin-aurora"
    assert changed is (key == "s")


def test_leaving_without_changes_asks_nothing(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("q")
        await until(pilot, lambda: app._exit)

    play(app, story)


def test_a_job_left_by_a_crash_is_offered_and_goes_on(make_app, play, few, saved, tmp_path):
    lost = state_of(saved.job, few, saved, saved.path).with_job(title="Almost lost")
    drafts = Drafts(tmp_path / "drafts")
    path = drafts.keep(lost)
    path.rename(path.with_name("draft-999999999-1.toml"))
    app = make_app(start=True)

    async def story(pilot, settle):
        assert isinstance(app.screen, StartScreen)
        await pilot.press("enter")
        await pilot.pause()
        await settle()
        assert app.state.job == lost.job
        assert app.state.unsaved
        await pilot.press("ctrl+s")
        await settle()
        assert read_job_file(saved.path).job.title == "Almost lost"

    play(app, story)
    assert not list((tmp_path / "drafts").glob("*.toml"))


def test_a_draft_does_not_overwrite_a_file_that_changed_since(few, saved, tmp_path):
    drafts = Drafts(tmp_path / "drafts")
    path = drafts.keep(state_of(saved.job, few, saved, saved.path).with_job(title="Mine"))
    path.rename(path.with_name("draft-999999999-1.toml"))
    saved.path.write_text(saved.path.read_text().replace("Hoop act", "Theirs"))
    (left,) = Drafts(tmp_path / "drafts").left()
    state = taken_up(left, few)
    with pytest.raises(Refusal, match="changed by someone else"):
        state.file.with_job(state.job).save()


def test_a_broken_draft_is_left_alone(few, tmp_path):
    folder = tmp_path / "drafts"
    folder.mkdir()
    (folder / "draft-999999999-1.toml").write_text("what is this")
    assert Drafts(folder).left() == ()
    assert (folder / "draft-999999999-1.toml").exists()


def test_a_bad_file_is_told_in_a_sentence_and_the_present_job_stays(make_app, play, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text('title = "x"\nswatch = 3\n')
    app = make_app()

    async def story(pilot, settle):
        kept = app.state
        await pilot.press("ctrl+o")
        await pilot.pause()
        app.screen.query_one("Input").value = str(bad)
        await pilot.press("enter")
        await settle()
        assert app.state is kept
        assert "bad.toml" in notes(app)

    play(app, story)


def test_a_demo_is_opened_as_a_copy(make_app, play, few):
    app = make_app(start=True)

    async def story(pilot, settle):
        # The demo job needs a venue that these tests leave out: one sentence, and a new job instead.
        await pilot.press("down", "down", "down", "down", "enter")
        await pilot.pause()
        await settle()
        assert app.state.file is None
        # What was told stays, however long the answer takes.
        assert any("followspot" in one.text for one in app.told)

    play(app, story)


def test_a_new_costume_left_at_its_swatch_is_none(make_app, play):
    app = make_app(start=True)

    async def story(pilot, settle):
        # There are no stones of one's own here, and the demo's are taken.
        await pilot.press("n", "d")
        await pilot.pause()
        assert type(app.screen).__name__ == "SwatchScreen"
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)

    play(app, story)


def test_whoever_leaves_the_form_of_a_new_costume_is_back_at_the_swatch_that_was_chosen(make_app, play):
    app = make_app(start=True)

    async def story(pilot, settle):
        await pilot.press("n", "d")
        await pilot.pause()
        first = app.screen
        await pilot.press("down", "enter")
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        again = app.screen
        assert type(again).__name__ == "SwatchScreen"
        assert again is not first
        assert again._current != first._current, "the one that was chosen"
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)

    play(app, story)


def test_a_job_without_lines_gets_one_to_try(few, tmp_path):
    job = Job(title="Empty", swatch="leotard-blue", venues=("rink",))
    state = state_of(job, few, None, tmp_path)
    assert len(state.job.lines) == 1
    assert not state.unsaved
    assert state.question().size in state.question().stone.sizes


def test_a_fault_of_our_own_keeps_the_work_and_is_one_sentence(make_app, play, monkeypatch, capfd):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("down", "right")
        monkeypatch.setattr(app.main, "action_undo", lambda: 1 / 0)
        await pilot.press("u")
        await pilot.pause()

    with pytest.raises(ZeroDivisionError):
        play(app, story)
    assert app.state.job == read_job_file(app.drafts.path).job
    said = capfd.readouterr().err
    assert "wrong in the planner itself (ZeroDivisionError" in said
    assert app.drafts.path.name in said.replace("\n", "")
    assert "Traceback" not in said


def test_a_key_for_a_new_costume_pressed_twice_asks_once(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await pilot.press("ctrl+n", "ctrl+n")
        await pilot.pause()
        # On the start screen the same key means the same.
        assert [type(one).__name__ for one in app.screen_stack].count("StartScreen") <= 1
        while type(app.screen).__name__ == "StartScreen":
            await pilot.press("n")
            await pilot.pause()
        assert type(app.screen).__name__ == "NoStonesScreen"
        await pilot.press("escape")
        await pilot.pause()
        await settle()
        assert app.screen is app.main
        assert app.state.job.title == "Hoop act"

    play(app, story)


def test_keys_typed_faster_than_leaving_asks_break_nothing(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("down", "right", "q", "s", "e", "s", "q")
        await pilot.pause(0.2)

    play(app, story)
    assert app._exit


def test_a_fault_in_keeping_a_draft_is_told_and_the_edit_stays(make_app, play, monkeypatch):
    app = make_app()

    async def story(pilot, settle):
        monkeypatch.setattr(app.drafts, "keep", lambda _state: int("no number"))
        await pilot.press("plus")
        await settle()
        app.keep()
        await pilot.pause()
        assert "wrong in the planner itself (ValueError" in notes(app)
        assert len(app.state.job.lines) == 3

    play(app, story)


def test_work_kept_as_the_planner_is_ended_is_kept_once(make_app, play, tmp_path):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("plus")
        app._keep_for_later()
        app._keep_for_later()  # a second signal
        app.keep()  # its time had come when the signal was heard
        await pilot.pause(1.5 * KEEP)

    play(app, story)
    assert len(list((tmp_path / "drafts").glob("draft-*.toml"))) == 1
