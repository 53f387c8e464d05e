"""Venues side by side: what is said of each, and which are shown; by the keyboard and by the mouse alone."""

import asyncio
import time
from dataclasses import replace

import numpy as np
import pytest
from textual.widgets import Button, OptionList, Static
from venue_stage import JOB, OPEN, PALETTE, names, of_job, question, said, settle, stage

from planner.app.parts.find import FindLine
from planner.app.venues.card import Card
from planner.app.venues.choosing import MOST
from planner.app.venues.judged import lines_in_words
from planner.app.venues.worker import VenuesWorker, Wanted
from planner.assess.venues import in_venue, judge
from planner.picture.scatter import scatter
from planner.reading.fit import fit
from planner.reading.matter import QUICK
from planner.reading.rank import seen_in
from planner.reading.read import read
from planner.reading.verdict import MARKS


@pytest.fixture
def run(tmp_path, monkeypatch):
    return stage(tmp_path, monkeypatch)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_each_card_says_what_a_reading_says_and_the_main_venue_comes_first(run, size):
    async def story(app, _pilot):
        return names(app), [said(app, 0), said(app, 1)], of_job(app)

    shown, cards, job = run(story, size)
    assert shown == ["rink", "theatre"]
    for name, card in zip(shown, cards, strict=True):
        seen = read(in_venue(question(), PALETTE.venues[name], None), QUICK)
        words = " ".join(card.split())
        assert f"swatch: {seen.swatch.name}" in words
        assert f"result: {seen.seen.name}" in words
        assert "ΔE00" not in words
        assert f"{MARKS[fit(seen).outcome]} {fit(seen).outcome}" in words
        assert seen.flash.main in words
    assert "of 2 pairings of the costume work in all 2 venues shown" in job


def test_what_holds_agrees_with_the_ranking_of_the_same_glow():
    for line in JOB:
        for venue in PALETTE.venues.values():
            # Each from its own distance, as a card has it; then the same moments are drawn.
            asked = in_venue(line, venue, None)
            ((_, drift, holds),) = seen_in(asked, [venue])
            found = judge(asked)
            assert found.reading.drift.dE00 == pytest.approx(drift.dE00, abs=0.1)
            assert found.fit.fits == holds


def test_a_wish_to_stand_out_is_held_where_blending_in_is_not():
    asked = question("shackle-red", "none")
    away, near = judge(replace(asked, wish="contrast")), judge(asked)
    assert away.fit.fits is not near.fit.fits


def test_lines_name_the_venues_that_they_fail_in():
    places = [PALETTE.venues[name] for name in ("rink", "theatre")]
    good = judge(question("treadle-blue", "none"))
    rows = [
        [replace(good, fit=replace(good.fit, outcome=outcome)) for outcome in row]
        for row in (
            ("passes", "passes"), ("passes", "fails"), ("fails", "fails"), ("passes", "just about"),
            ("can't tell", "passes"),
        )
    ]  # fmt: skip
    assert [one.mark for row in rows[-2:] for one in row] == ["✓", "~", "?", "✓"]
    names = list("abcde")
    text = lines_in_words([*rows, [None, None]], [*names, "Net, SS20"], places).plain
    assert "✓ Treadle blue, uncoated, SS20: works" in text
    assert "SS20: not in Theatre" in text
    assert "SS20: in none of them" in text
    assert "… Net, SS20" in text
    assert "~ Treadle blue, uncoated, SS20: works, just about in Theatre" in text
    assert "? Treadle blue, uncoated, SS20: can't tell in Ice rink" in text
    assert "2 of 5 pairings" in lines_in_words(rows, names, places).plain


def test_a_fluorescent_swatch_under_lamps_has_no_answer_and_does_not_count_as_holding():
    asked = question("treadle-blue", "none")
    vague = replace(asked, swatch=replace(asked.swatch, fluorescent=True))
    found = judge(vague)
    assert (found.mark, found.outcome, found.holds) == ("?", "can't tell", False)


def test_all_pictures_show_the_same_stones():
    one, other = (scatter(60.0, 20.0, 4.7, 17.0, 0.3) for _ in range(2))
    assert np.array_equal(one.centre, other.centre)
    assert np.array_equal(one.pose, other.pose)


def test_pictures_are_drawn_and_differ_by_their_light(run):
    async def story(app, _pilot):
        screen = app.screen
        return [screen.worker.picture(one.venue, screen._pixels()) for one in screen.query(Card)]

    one, other = run(story)
    assert one.shape == other.shape
    assert (one != other).any()


def test_what_is_stale_is_not_begun_and_what_is_known_not_done_again(monkeypatch):
    asked, done = [], []
    worker = VenuesWorker(question(), JOB, None, done.append)

    def counted(one):
        asked.append(one.venue.id)
        if len(asked) == 1:
            worker.ask(Wanted((PALETTE.venues["noon"],), (0, 0)))
        return judge(one)

    monkeypatch.setattr("planner.app.venues.worker.judge", counted)

    def wait():
        until = time.monotonic() + 20
        while not worker.idle and time.monotonic() < until:
            time.sleep(0.01)

    worker.ask(Wanted((PALETTE.venues["rink"], PALETTE.venues["theatre"]), (0, 0)))
    wait()
    assert asked == ["rink", *["noon"] * (1 + len(JOB))]
    worker.ask(Wanted((PALETTE.venues["noon"],), (0, 0)))
    wait()
    assert len(asked) == len(done) == 2 + len(JOB)
    worker.close()


def test_a_fault_is_one_sentence_on_its_card(run, monkeypatch):
    def broken(_question):
        raise RuntimeError("no such light")

    monkeypatch.setattr("planner.app.venues.worker.judge", broken)

    async def story(app, pilot):
        await pilot.press("right", "enter")
        return said(app, 0) if app.result is OPEN else app.result

    assert run(story) == "theatre"


def test_keys_alone_add_a_venue_take_one_away_and_take_the_main_one(run):
    async def story(app, pilot):
        await pilot.press("a", *"gym", "enter", "escape")
        await settle(app, pilot)
        added = names(app)
        await pilot.press("right", "x")
        await settle(app, pilot)
        left = names(app)
        await pilot.press("right")
        await pilot.press("enter")
        await pilot.pause()
        return added, left, app.result

    assert run(story) == (["rink", "theatre", "gym"], ["rink", "gym"], "gym")


def test_the_mouse_alone_does_the_same(run):
    async def story(app, pilot):
        await pilot.click("#choose")
        await pilot.pause()
        await pilot.click("#venues", offset=(12, 3))
        await pilot.pause()
        await pilot.click("#done")
        await settle(app, pilot)
        added = names(app)
        cards = list(app.screen.query(Card))
        await pilot.click(cards[1].query_one(".remove", Button))
        await settle(app, pilot)
        left = names(app)
        await pilot.click(list(app.screen.query(Card))[1].query_one(".take", Button))
        await pilot.pause()
        return added, left, app.result

    assert run(story, size=(120, 40)) == (["rink", "theatre", "gym"], ["rink", "gym"], "gym")


def test_escape_leaves_without_a_venue(run):
    async def story(app, pilot):
        await pilot.press("escape")
        await pilot.pause()
        return app.result

    assert run(story) is None


def test_no_more_than_four_are_shown_and_never_none(run):
    async def story(app, pilot):
        await pilot.press("a", *"spot", "enter")
        await pilot.pause()
        refused = str(app.screen.query_one("#says", Static).render())
        app.screen.query_one(FindLine).value = ""
        await pilot.pause()
        for row in range(len(PALETTE.venues)):
            app.screen.query_one("#venues", OptionList).highlighted = row
            if app.screen._listed[row].id in app.screen._shown:
                await pilot.press("enter")
        await pilot.pause()
        return refused, str(app.screen.query_one("#says", Static).render()), len(app.screen._shown)

    refused, stays, left = run(story, venues=("theatre", "noon", "gym"))
    assert refused.startswith(f"{MOST} venues are shown already")
    assert stays.startswith("One venue has to stay")
    assert left == 1


def test_venues_put_up_twice_at_once_are_put_up_once(run):
    async def story(app, _pilot):
        screen = app.screen
        many, one = ("rink", "theatre", "noon"), ("rink",)
        await asyncio.gather(screen.show_venues(many, "noon"), screen.show_venues(one))
        return names(app), screen.focused.venue.id

    assert run(story) == (["rink"], "rink")


def test_nothing_found_is_said(run):
    async def story(app, pilot):
        await pilot.press("a", *"xyz", "enter")
        await pilot.pause()
        return app.screen.query_one(FindLine).value, str(app.screen.query_one("#says", Static).render())

    typed, told = run(story)
    assert typed == "xyz"
    assert told.startswith("No venue is called that")


@pytest.mark.parametrize("colours", ["256", "grey"])
def test_without_true_colours_words_carry_everything(run, monkeypatch, colours):
    monkeypatch.setenv("TERM", "xterm-256color")
    if colours == "grey":
        monkeypatch.setenv("NO_COLOR", "1")
    else:
        monkeypatch.setenv("COLORTERM", "")

    async def story(app, _pilot):
        return str(app.screen.query_one("#caveat", Static).render()), said(app, 0)

    caveat, words = run(story)
    assert ("NO_COLOR" if colours == "grey" else "256 colours") in caveat
    assert any(f"{mark} {outcome}" in words for outcome, mark in MARKS.items())
    assert "blue" in words
