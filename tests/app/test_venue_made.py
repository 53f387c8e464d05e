"""A venue made in words: understood or refused in one sentence, kept, shown, and taken for the job."""

import pytest
from textual.widgets import Button, Input, Static
from venue_stage import LAMPS, names, said, settle, stage
from waiting import until

from planner.app.venues.understood import Words, keep, own_file, understood
from planner.catalogue.keep import free_id
from planner.catalogue.palette import load, sources
from planner.data import demo
from planner.refusal import Refusal


@pytest.fixture
def run(tmp_path, monkeypatch):
    return stage(tmp_path, monkeypatch)


def test_a_venue_is_made_in_words_kept_and_shown_by_keys_alone(run, tmp_path):
    async def story(app, pilot):
        await pilot.press("m", *"Hall", "tab", *"wobbly 9 lx")
        await pilot.pause()
        wrong = str(app.screen.query_one("#heard-text", Static).render())
        await pilot.press("enter")
        await pilot.pause()
        kept_early = app.path.exists()
        app.screen.query_one("#lamps", Input).value = LAMPS
        await pilot.press("enter")
        await settle(app, pilot)
        found = app.screen.palette.venues["hall"], names(app), app.focused.venue.id
        return wrong, kept_early, *found, said(app, 2)

    wrong, kept_early, venue, shown, focused, words = run(story)
    assert "✗" in wrong
    assert "wobbly" in wrong
    assert not kept_early
    assert (shown, focused) == (["rink", "theatre", "hall"], "hall")
    assert load(demo(), tmp_path / "own").venues["hall"] == venue
    assert [one.lux for one in venue.lights] == [400.0, 300.0]
    assert "result:" in words


def test_the_mouse_alone_keeps_a_venue_and_leaves_one_unmade(run):
    async def story(app, pilot):
        await pilot.click("#make")
        await pilot.pause()
        disabled = app.screen.query_one("#keep", Button).disabled
        # The words themselves can only be typed or pasted.
        app.screen.query_one("#name", Input).value = "Town hall"
        app.screen.query_one("#lamps", Input).value = LAMPS
        await pilot.pause()
        await pilot.click("#keep")
        await settle(app, pilot)
        kept = names(app)
        # The library takes no click on a button that still shows the last one, for a fifth of a second.
        await until(pilot, lambda: not app.screen.query_one("#make").has_class("-active"))
        await pilot.click("#make")
        await pilot.pause()
        await pilot.click("#leave")
        await settle(app, pilot)
        return disabled, kept, names(app)

    kept = ["rink", "theatre", "town-hall"]
    assert run(story) == (True, kept, kept)


@pytest.mark.parametrize(
    ("changed", "part"),
    [
        ({"lamps": f"{LAMPS}; wobble 3 lx"}, '"wobble" was not understood'),
        ({"surround": "brihgt"}, "surround: found"),
        ({"floor": "lava"}, "floor: found"),
        ({"distance": "far"}, "distance: found"),
        ({"distance": "-3"}, "distance"),
        ({"name": " "}, "A name is missing"),
    ],
)
def test_what_is_not_understood_is_one_sentence_and_nothing_is_made(changed, part):
    words = {"name": "Hall", "lamps": LAMPS, "surround": "dim", "floor": "wood", "distance": "9 m"}
    assert understood(Words(**words), {}).venue is not None
    found = understood(Words(**{**words, **changed}), {})
    assert found.venue is None
    wrong = [text for good, text in found.lines if not good]
    assert len(wrong) == 1
    assert part in wrong[0]


def test_a_hall_in_the_words_that_people_have_is_made_and_its_brightness_guessed():
    found = understood(Words("Hall", "stage lights; tubes overhead", "light walls", "wood", "9"), {})
    assert found.venue is not None
    assert [one.lux for one in found.venue.lights] == [400.0, 400.0]
    assert found.venue.basis == "estimated"
    assert "lamp 1: 400 lx is assumed" in " ".join(text for _, text in found.lines)


def test_lamps_that_are_understood_are_told_beside_one_that_is_not():
    found = understood(Words("Hall", f"{LAMPS}; wobble", "dim", "wood", "9"), {})
    assert [good for good, _ in found.lines] == [True, True, False]
    assert "halogen 3200 K front 400 lx" in found.lines[0][1]


def test_ids_are_made_of_names_and_no_name_is_taken_twice():
    assert free_id("Town hall, gala 2", (), "venue") == "town-hall-gala-2"
    assert free_id("Town hall", ("town-hall", "town-hall-2"), "venue") == "town-hall-3"
    assert free_id("7th stage", (), "venue") == "venue-7th-stage"
    hall = understood(Words("Hall", LAMPS, "dim", "wood", "9"), {}).venue
    again = understood(Words("HALL", LAMPS, "dim", "wood", "9"), {hall.id: hall})
    assert again.venue is None
    assert "already" in again.lines[-1][1]


def test_kept_venues_are_read_again_and_none_is_written_over(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    venue = understood(Words("Hall", LAMPS, "dim", "wood", "9"), {}).venue
    keep(venue, own_file())
    before = own_file().read_text()
    assert load(*sources()).venues["hall"] == venue
    with pytest.raises(Refusal, match="already"):
        keep(venue, own_file())
    assert own_file().read_text() == before
    assert own_file(tmp_path) == tmp_path / "venues.toml"


def test_r_opens_it_on_the_job_and_a_venue_made_there_can_be_its_main_one(make_app, play):
    app = make_app()

    async def story(pilot, done):
        before = app.state.job
        await pilot.press("r")
        await pilot.pause()
        await settle(app, pilot)
        assert names(app) == ["rink", "noon"]
        assert "of 2 pairings" in str(app.screen.query_one("#job-lines-text", Static).render())
        await pilot.press("m", *"Hall", "tab")
        app.screen.query_one("#lamps", Input).value = LAMPS
        await pilot.press("enter")
        await settle(app, pilot)
        await pilot.press("enter")
        await done()
        assert app.state.job.venues == ("hall", "noon")
        assert app.state.question().venue.name == "Hall"
        assert app.palette is app.state.palette
        assert own_file().is_file()
        await pilot.press("u")
        await done()
        assert app.state.job.venues == before.venues

    play(app, story, size=(120, 40))
