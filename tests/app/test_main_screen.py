"""The main screen, by keyboard alone and by mouse alone: what is asked is what is answered."""

from dataclasses import replace
from itertools import pairwise

import pytest
from fumbling import press_at_once
from textual.command import CommandList
from textual.widgets import OptionList
from waiting import until

from planner.app.answer import answer_of
from planner.app.answer_content import VerdictLine, Words
from planner.app.answer_worker import Answered
from planner.app.colours import Patches, Sparkle
from planner.app.concerns import ConcernsScreen
from planner.app.depth import BRIEFLY, as_shown
from planner.app.fields import FIELDS
from planner.app.instead import InsteadList, InsteadScreen
from planner.app.second_process import SameProcess
from planner.app.sheets import FiguresScreen, HelpScreen
from planner.app.sight import Picture, Sight
from planner.app.ticket import Row
from planner.catalogue.cloth import Cloth
from planner.reading.matter import QUICK
from planner.reading.read import read
from planner.reading.sentence import sentence

PICTURES = True


def said(app):
    return " ".join(app.main.query_one(Words).told.answer.sentences)


def test_the_answer_is_that_of_the_reading_room(make_app, play):
    app = make_app()

    async def story(_pilot, _settle):
        expected = sentence(read(app.state.question(), QUICK))
        assert said(app).casefold() in expected.casefold()
        for part in (Patches, Sparkle):
            assert app.main.query_one(part).answer.reading is app.main.answer.reading

    play(app, story)


def test_keyboard_alone_steps_filters_keeps_and_undoes(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        before = said(app)
        await pilot.press("down", "right")
        await settle()
        assert app.state.pairing.coating == "bobbin-aurora"
        assert said(app) != before
        await pilot.press("c", "h", "a", "l", "enter")
        await settle()
        assert app.state.pairing.coating == "halyard-aurora"
        assert said(app) == before
        await pilot.press("u")
        assert app.state.pairing.coating == "bobbin-aurora"
        await pilot.press("U")
        await settle()
        assert app.state.pairing.coating == "halyard-aurora"
        assert said(app) == before

    play(app, story)


def test_moving_in_a_picker_shows_the_answer_and_escape_leaves_all_as_it_was(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        before, kept = said(app), app.state
        await pilot.press("s", "down")
        await settle()
        assert app.main.state.pairing.stone != kept.pairing.stone
        assert said(app) != before
        assert app.state is kept
        await pilot.press("escape")
        await settle()
        assert app.state is kept
        assert said(app) == before
        assert not app.main.picking

    play(app, story)


def test_mouse_alone_opens_chooses_steps_and_changes_the_line(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await pilot.click("#row-c")
        await pilot.click("#choices", offset=(3, 0))
        await settle()
        assert app.state.pairing.coating == "none"
        row = app.main.query_one("#row-c", Row)
        await pilot.click(row, offset=(row.size.width - 1, 0))
        await settle()
        assert app.state.pairing.coating == "halyard-aurora"
        await pilot.click("#lines", offset=(3, 0))
        await settle()
        assert app.state.line == 0

    play(app, story)


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.label)
def test_every_choice_of_every_field_is_a_state_or_one_sentence(field, make_app, play):
    app = make_app()
    from planner.app.fields import BY_EYE, chosen

    state = app.state
    for choice in field.choices(state):
        if choice.value != BY_EYE:
            after = chosen(field, state, choice.value)
            assert isinstance(after, str) or after.question()
    app.answer_worker.close()


def test_a_typed_value_is_taken(make_app, play):
    app = make_app()
    typed = (
        (["d", "1", "2", ".", "5"], lambda job: job.distance == 12.5),
        (["k", "4", "2"], lambda job: job.cover == 0.42),
        (["a", "7"], lambda job: job.tolerance == 7.0),
        (["m", *"#2a4b9c"], lambda job: job.swatch == "#2a4b9c"),
        (["z", "3", "0"], lambda job: job.lines[1].size == "SS30"),
    )

    async def story(pilot, settle):
        for keys, what in typed:
            await pilot.press(keys[0])
            press_at_once(app, [*keys[1:], "enter"])
            await pilot.pause()
            assert what(app.state.job), keys
        await settle()
        assert app.main.painted == app.main.serial

    play(app, story)


def test_what_nothing_is_called_is_said_and_changes_nothing(make_app, play, screen_text):
    app = make_app()

    async def story(pilot, _settle):
        kept = app.state
        await pilot.press("s", *"zzzz", "enter")
        assert "Nothing is called that." in screen_text(app)
        await pilot.press("escape")
        assert app.state is kept

    play(app, story)


def test_a_stale_answer_is_dropped(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        old = app.main.answer
        await pilot.press("down", "right")
        await settle()
        now = said(app)
        app.main.post_message(Answered(app.main.serial - 1, old))
        await pilot.pause()
        assert said(app) == now

    play(app, story)


def test_an_answer_that_is_remembered_is_shown_once(make_app, play, monkeypatch):
    """It is shown at once, and the worker brings it again."""
    app, shown, show = make_app(), [], Sight.show

    def noted(self, serial, answer, costume):
        shown.append(answer)
        show(self, serial, answer, costume)

    async def story(pilot, settle):
        first = app.main.answer.reading
        await pilot.press("down", "right")
        await settle()
        monkeypatch.setattr(Sight, "show", noted)
        await pilot.press("left")
        await settle()
        assert shown[0].reading is first
        assert all(one is not other for one, other in pairwise(shown))

    play(app, story)


@pytest.fixture
def hardly_refined(monkeypatch):
    """Let the full answer be the first look again: how fine it is worked out is no matter of the screen."""

    def fully(one):
        found = answer_of(one.question, QUICK)
        return replace(found, assessed=replace(found.assessed, fine=True))

    monkeypatch.setattr("planner.app.answer_worker.full", fully)


@pytest.mark.usefixtures("hardly_refined")
def test_instead_is_found_and_enter_swaps_it_in(make_app, play):
    app = make_app(second=SameProcess())
    app.state = app.state.with_line(stone="shackle-red")

    async def story(pilot, settle):
        assert app.main.offers
        assert app.main.answer.fine
        best = app.main.offers[0].reading.question
        await pilot.press("i")
        assert isinstance(app.screen, InsteadScreen)
        await pilot.press("enter")
        await settle()
        assert app.state.pairing.stone == best.stone.id
        await pilot.press("u")
        assert app.state.pairing.stone == "shackle-red"

    play(app, story)


@pytest.mark.usefixtures("hardly_refined")
def test_instead_stands_beside_the_answer_where_there_is_room(make_app, play):
    app = make_app(second=SameProcess())

    async def story(pilot, settle):
        await pilot.click("#offers", offset=(5, 1))
        await settle()
        assert (
            app.state.pairing.stone == app.main.state.pairing.stone != "pulley-blue" or app.main.offers == ()
        )
        assert app.main.query_one("#offers", InsteadList).display

    play(app, story, size=(120, 40))


def test_sheets_open_and_close(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        for key, screen in (("e", ConcernsScreen), ("n", FiguresScreen), ("question_mark", HelpScreen)):
            await pilot.press(key)
            assert isinstance(app.screen, screen)
            await pilot.press("escape")
            assert app.screen is app.main

    play(app, story)


def test_warnings_and_figures_are_all_there(make_app, play, screen_text):
    app = make_app()
    app.state = app.state.with_line(stone="shackle-red")

    async def story(pilot, _settle):
        worst = app.main.answer.concerns[0][0]
        assert worst.severity == "severe"
        assert "severe" in screen_text(app)
        await pilot.press("n")
        assert f"ΔE00 {app.main.answer.reading.drift.dE00:.0f}" in screen_text(app)

    play(app, story)


def test_what_is_known_of_the_cloth_is_told_with_the_figures(few, make_app, play, screen_text):
    blue = few.swatches["leotard-blue"]
    satin = blue.model_copy(update={"cloth": Cloth(kind="satin")})
    app = make_app(palette=replace(few, swatches={**few.swatches, blue.id: satin}))

    async def story(pilot, _settle):
        await pilot.press("n", "end")
        assert "Satin shines white" in screen_text(app)
        assert "not a measurement" in screen_text(app)

    play(app, story, size=(80, 24))


def test_lines_are_added_and_taken_off_and_the_last_one_stays(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("plus")
        assert len(app.state.job.lines) == 3
        await pilot.press("minus", "minus", "minus", "minus")
        assert len(app.state.job.lines) == 1
        await pilot.press("u", "u")
        assert len(app.state.job.lines) == 3

    play(app, story)


def test_pictures_turn_and_stop_and_are_shown_near_by(make_app, play, screen_text):
    app = make_app()

    async def story(pilot, settle):
        sight = app.main.query_one(Sight)
        await pilot.press("t")
        assert sight.moving
        await pilot.press("t")
        assert not sight.moving
        assert "From 20 m" in screen_text(app)
        await pilot.press("N")
        await settle()
        assert "Near by" in screen_text(app)
        assert app.main.query_one("#cloth", Picture).kind == "hand"

    play(app, story)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_the_first_things_are_on_the_screen_at_every_size(size, make_app, play, screen_text):
    app = make_app()

    async def story(_pilot, _settle):
        height = app.size.height
        for part in ("#cloth", "#stone", "#patches", "#sparkle", "#verdict", "#words", "#ticket", "#costume"):
            region = app.main.query_one(part).region
            assert region.height > 0, part
            assert region.bottom <= height - 1, part
        assert app.main.query_one("#cloth").size.height >= 12
        text = screen_text(app)
        assert app.main.answer.verdict.text in text
        assert "invented" in text
        assert "? Help" in text.splitlines()[-1]

    play(app, story, size=size)


@pytest.mark.parametrize("depth", ["true", "256", "16", "grey"])
def test_fewer_colours_are_told_of_and_words_stay(depth, make_app, play, screen_text):
    app = make_app(depth=depth)

    async def story(_pilot, _settle):
        text = screen_text(app)
        assert BRIEFLY[depth] in text
        assert app.main.query_one("#cloth").size.height >= 12, "saying so takes no row from the picture"
        reading = app.main.answer.reading
        assert reading.flash.main in text
        assert reading.swatch.name.split()[0] in text
        lines = app.main.query_one("#cloth", Picture)._lines
        assert bool(lines)
        if depth == "16":
            assert {segment.text[0] for line in lines for segment in line} <= set(" ░▒▓█")

    play(app, story)


def test_a_picture_without_colour_has_none_and_one_in_256_has_only_those():
    import numpy as np

    rgb = np.random.default_rng(7).integers(0, 256, (6, 5, 3), dtype=np.uint8)
    grey = as_shown(rgb, "grey")
    assert (np.ptp(grey.astype(int), axis=-1) <= 1).all()
    few = as_shown(rgb, "256").reshape(-1, 3)
    levels = {0, 95, 135, 175, 215, 255}
    assert all(set(map(int, one)) <= levels or len(set(map(int, one))) == 1 for one in few)
    assert (as_shown(few[None], "256") == few[None]).all()
    assert as_shown(rgb, "true") is rgb


def test_the_command_palette_runs_a_command(make_app, play):
    app = make_app()

    async def story(pilot, settle):
        await pilot.press("ctrl+p", *"numbers")
        await until(pilot, lambda: app.screen.query(CommandList))
        found = app.screen.query_one(CommandList)
        await until(pilot, lambda: found.options and "Numbers" in str(found.options[0].prompt))
        await pilot.press("enter")
        await settle()
        assert isinstance(app.screen, FiguresScreen)

    play(app, story)


def test_no_choice_is_lost_in_the_middle_of_a_list(make_app, play):
    app = make_app()

    async def story(pilot, _settle):
        await pilot.press("v")
        choices = app.main.query_one("#choices", OptionList)
        assert choices.option_count == len(app.palette.venues)
        await pilot.press("escape")
        assert app.main.query_one(VerdictLine).display

    play(app, story)
