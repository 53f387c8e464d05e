"""Her stones and coatings on the screen: made from words, found, changed, undone; the demo's apart."""

import threading
from dataclasses import replace

import pytest
from textual.widgets import Input
from waiting import until

from planner.app.choose.screen import SwatchScreen
from planner.app.fields import FIELDS
from planner.app.form.screen import FormScreen, Line
from planner.app.stones.form import CutForm, StoneForm
from planner.app.stones.form_screen import EntryScreen
from planner.app.stones.rows import rows
from planner.app.stones.screen import StonesScreen
from planner.app.working import WorkingScreen
from planner.catalogue.keep import own_file
from planner.catalogue.own import is_own
from planner.catalogue.palette import load
from planner.catalogue.settings import demo_hidden
from planner.data import demo
from planner.refusal import Refusal


@pytest.fixture
def bare(monkeypatch):
    """Leave the patches out: what is done is tried here, and they take a second each."""
    monkeypatch.setattr("planner.app.stones.screen.hexes", lambda *_: ("#2a4b9c",))
    monkeypatch.setattr("planner.app.stones.form_screen.hexes", lambda *_: ("#2a4b9c",))


async def typed(pilot, app, **texts):
    """Fill in the form, and keep it; a guess is confirmed."""
    for name, text in texts.items():
        app.screen.query_one(f"#entry-{name}", Line).value = text
    await pilot.pause()
    form = app.screen
    await pilot.press("enter")
    await pilot.pause()
    if app.screen is form:
        await pilot.press("enter")
    await until(pilot, lambda: app.screen is not form)


def test_a_stone_is_added_changed_copied_renamed_deleted_and_every_step_taken_back(
    make_app, play, bare, screen_text
):
    app = make_app()
    app.palette = load(demo())
    path = own_file("stone")

    async def story(pilot, settle):
        await pilot.press("S")
        await until(pilot, lambda: isinstance(app.screen, StonesScreen))
        stones = app.screen
        assert "no stones of your own yet: press a" in screen_text(app)
        await pilot.press("a")
        await pilot.pause()
        await typed(pilot, app, name="Röyal [b]blue", colour="royal blue", sizes="ss12 16, 20")
        one = stones.palette.stones["royal-b-blue"]
        assert (one.name, one.sizes, one.basis) == ("Röyal [b]blue", ("SS12", "SS16", "SS20"), "estimated")
        assert is_own(stones.palette, "stone", one.id)
        assert "Röyal [b]blue" in screen_text(app)
        await pilot.press("d")
        await pilot.pause()
        app.screen.query_one(Input).value = "Navy twin"
        await pilot.press("enter")
        await until(pilot, lambda: "navy-twin" in stones.palette.stones)
        await pilot.press("r")
        await pilot.pause()
        app.screen.query_one(Input).value = "Dark twin"
        await pilot.press("enter")
        await until(pilot, lambda: stones.palette.stones["navy-twin"].name == "Dark twin")
        await pilot.press("delete")
        assert "navy-twin" not in load(path).stones
        for name in ("Dark twin", "Navy twin"):
            await pilot.press("u")
            assert load(path).stones["navy-twin"].name == name
        await pilot.press("u")
        assert list(load(path).stones) == ["royal-b-blue"]
        # With the first stone of hers the demo's were hidden, and it is kept.
        assert [row.entry.id for row in stones._rows] == ["royal-b-blue"]
        assert demo_hidden() is True
        await pilot.press("h")
        assert len(stones._rows) > 50
        await pilot.press("h")
        assert len(stones._rows) == 1
        await pilot.press("enter")
        await settle()
        assert app.state.pairing.stone == "royal-b-blue"
        by_key = {field.key: field for field in FIELDS}
        assert [one.value for one in by_key["s"].choices(app.state)] == ["royal-b-blue"]
        assert {one.value for one in by_key["c"].choices(app.state)} <= {
            "none",
            "ab",
            app.state.pairing.coating,
        }
        await pilot.press("S")
        await until(pilot, lambda: isinstance(app.screen, StonesScreen))
        await pilot.press("delete")
        assert "royal-b-blue" in app.screen.palette.stones

    play(app, story)


def test_what_is_shown_meanwhile_changes_nothing_of_what_was_asked_for(make_app, play, bare):
    """A key typed before the line for a name is there may show the coatings instead."""
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("S")
        await until(pilot, lambda: isinstance(app.screen, StonesScreen))
        stones = app.screen
        for key, name in (("d", "A twin"), ("r", "A sister")):
            await pilot.press(key)
            await pilot.pause()
            stones.action_kind()
            app.screen.query_one(Input).value = name
            await pilot.press("enter")
            await until(pilot, lambda: app.screen is stones)
            assert stones.palette.stones["a-twin"].name == name
            while stones._kind != "stone":
                stones.action_kind()
                await pilot.pause()

    play(app, story)


def test_a_coating_of_hers_begins_as_ab(make_app, play, bare):
    app = make_app()
    app.palette = load(demo())

    async def story(pilot, _settle):
        await pilot.press("S")
        await until(pilot, lambda: isinstance(app.screen, StonesScreen))
        screen = app.screen
        await pilot.press("tab", "a")
        await pilot.pause()
        await typed(pilot, app, name="Market AB")
        assert load(own_file("coating")).coatings["market-ab"].basis == "estimated"
        assert screen.palette.coatings["market-ab"].name == "Market AB"

    play(app, story)


def test_a_cut_of_hers_is_made_and_a_name_is_not_taken_twice(make_app, play, bare):
    app = make_app()
    app.palette = load(demo())

    async def story(pilot, _settle):
        await pilot.press("S")
        await until(pilot, lambda: isinstance(app.screen, StonesScreen))
        screen = app.screen
        await pilot.press("tab", "tab", "a")
        await pilot.pause()
        await typed(pilot, app, name="Zehn Flächen", facets="10", table="55")
        assert load(own_file("cut")).cuts["zehn-flachen"].rows[0].inner == 0.55
        await pilot.press("u")
        await pilot.pause()
        assert "zehn-flachen" not in screen.palette.cuts

    play(app, story)
    told, wrong = CutForm(load(demo())).asked()[0].fault("TWELVE")
    assert wrong
    assert "such as My TWELVE" in told


def test_words_find_and_each_wrong_answer_says_what_is_allowed():
    palette = load(demo())
    assert [row.entry.id for row in rows(palette, "stone", "PULLEY blue ss20")] == ["pulley-blue"]
    assert rows(replace(palette, mine=True), "stone") == []
    form = StoneForm(palette)
    asked = {one.name: one for one in form.asked()}
    for name, text, said in (
        ("colour", "qzx", "colour"), ("sizes", "ss13", "nearest known"),
        ("foil", "gold", "silver, aluminium or none"), ("cut", "twelf", "did you mean"),
        ("name", "", "filled in"),
    ):  # fmt: skip
        told, wrong = asked[name].fault(text)
        assert wrong, name
        assert said in told
    assert asked["sizes"].fault("5 mm")[0] == "SS20"
    with pytest.raises(Refusal, match="sizes"):
        form.made({**form.first, "name": "Navy"})


def test_a_change_of_name_and_sizes_leaves_the_body_alone():
    old = load(demo()).stones["pulley-blue"]
    form = StoneForm(load(demo()), old)
    new = form.made({**form.first, "name": "Mine", "sizes": "SS20"}).entry
    assert (new.colourants, new.id, new.sizes) == (old.colourants, old.id, ("SS20",))


@pytest.fixture
def gate(monkeypatch):
    """Hold the work of a new costume until the gate is set, so that its sheet can be looked at."""
    gate, make = threading.Event(), WorkingScreen.__init__

    def held(self, first, *more):
        make(self, lambda: first() if gate.wait(30.0) else None, *more)

    monkeypatch.setattr(WorkingScreen, "__init__", held)
    yield gate
    gate.set()


def test_a_new_costume_asks_for_a_stone_and_opens_on_it(make_app, play, bare, screen_text, gate):
    app = make_app(start=True, palette=load(demo()))

    async def story(pilot, settle):
        await pilot.press("n")
        await pilot.pause()
        assert "no stones of your own yet" in screen_text(app)
        await pilot.press("a")
        await until(pilot, lambda: isinstance(app.screen, EntryScreen))
        await typed(pilot, app, name="Royal blue", sizes="SS16")
        assert "Tab shows coatings such as AB" in screen_text(app)
        await pilot.press("tab")
        await pilot.pause()
        assert "press a to add one, beginning as AB" in screen_text(app)
        await pilot.press("a")
        await until(pilot, lambda: isinstance(app.screen, EntryScreen))
        await typed(pilot, app, name="Market AB")
        assert "Esc goes on with the costume" in screen_text(app)
        await pilot.press("enter")
        assert isinstance(app.screen, StonesScreen)
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, SwatchScreen))
        await pilot.press(*["space" if one == " " else one for one in "Dusty rose"], "enter")
        await until(pilot, lambda: isinstance(app.screen, FormScreen))
        app.screen.query_one("#entry-venue", Line).value = "sports hall"
        await pilot.pause()
        assert "A gym lit by three-band tube 4000 K, as is usual there" in " ".join(screen_text(app).split())
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WorkingScreen))
        assert "Working it out" in screen_text(app)
        gate.set()
        await until(pilot, lambda: app.main in app.screen_stack)
        line = app.state.job.lines[0]
        assert (line.stone, line.size, app.state.job.venues) == ("royal-blue", "SS16", ("sports-hall",))
        assert app.state.palette.venues["sports-hall"].basis == "estimated"
        assert line.coating in {"none", "market-ab"}
        assert app.state.unsaved
        assert app.palette.swatches[app.state.job.swatch].name == "Dusty rose"
        assert any("nearest of your own stones" in one.text for one in app.told)
        await settle()

    play(app, story)
