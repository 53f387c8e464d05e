"""Choosing a swatch: from the palette, by digits, by words and by eye; keyboard only and mouse only."""

import asyncio

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.app import App
from textual.widgets import Input, OptionList, Static

from planner.app.choose import SwatchScreen
from planner.app.choose.by_eye import Hues
from planner.app.choose.steps import COARSE, FINE, fault, neighbours, start, stepped
from planner.catalogue.palette import load
from planner.colour.cielab import lab_to_lch
from planner.colour.names import FAMILIES, family_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.data import demo
from planner.swatch.resolve import from_hex

PALETTE = load(demo())
LEFT = object()


class Host(App):
    """Opens the screen and keeps what it was left with."""

    def __init__(self, current, palette=PALETTE):
        super().__init__()
        self.current, self.palette, self.result = current, palette, LEFT

    def on_mount(self):
        self.push_screen(SwatchScreen(self.palette, self.current), self.keep)

    def keep(self, result):
        self.result = result


def run(story, current="leotard-blue", size=(80, 24)):
    async def main():
        app = Host(current)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            return await story(app, pilot)

    return asyncio.run(main())


def said(app, selector):
    return str(app.screen.query_one(selector, Static).content)


def test_the_present_swatch_stands_under_the_cursor_and_enter_takes_it():
    async def story(app, pilot):
        assert "Leotard blue" in said(app, "#offer")
        assert "deep blue" in said(app, "#offer")
        await pilot.press("enter")
        return app.result

    assert run(story) == "leotard-blue"


def test_a_swatch_is_found_by_typing():
    async def story(app, pilot):
        await pilot.press(*"sash", "enter")
        return app.result

    assert run(story) == "sash-orange"


def test_arrow_keys_move_through_the_list_while_typing():
    async def story(app, pilot):
        await pilot.press("down", "down", "up", "enter")
        return app.result

    assert run(story, "bodice-red") == list(PALETTE.swatches)[1]


def test_typing_what_nothing_is_called_says_so_and_takes_nothing():
    async def story(app, pilot):
        await pilot.press(*"zzz", "enter")
        return app.result, said(app, "#say"), app.screen.query_one("#take").disabled

    result, sentence, disabled = run(story)
    assert result is LEFT
    assert sentence.startswith("No swatch is called that")
    assert disabled


def test_a_click_looks_and_a_second_one_on_the_button_takes():
    async def story(app, pilot):
        await pilot.click(OptionList, offset=(5, 1))
        await pilot.pause()
        looked = app.result is LEFT and "Sash orange" in said(app, "#offer")
        await pilot.click("#take")
        return looked, app.result

    assert run(story) == (True, "sash-orange")


@pytest.mark.parametrize(
    ("typed", "result"), [("#2a4b9c", "#2a4b9c"), ("24C", "#2244cc"), ("#1a4c32", "#1a4c32")]
)
def test_digits_are_named_as_they_are_typed_and_taken_in_full(typed, result):
    async def story(app, pilot):
        await pilot.press("ctrl+n", *("number_sign" if one == "#" else one for one in typed))
        await pilot.pause()
        named = said(app, "#offer")
        await pilot.press("enter")
        return named, app.result

    named, taken = run(story)
    assert taken == result
    assert result in named


def test_wrong_digits_get_one_sentence_and_are_not_taken():
    async def story(app, pilot):
        await pilot.press("ctrl+n", *"12gg", "enter")
        return app.result, said(app, "#say")

    result, sentence = run(story)
    assert result is LEFT
    assert sentence.count(". ") == 0
    assert "12gg" in sentence


def test_a_colour_that_was_typed_before_stands_there_again():
    async def story(app, pilot):
        value = app.screen.query_one("#digits Input", Input).value
        await pilot.press("enter")
        return value, app.result

    assert run(story, "#a02040") == ("#a02040", "#a02040")


def test_by_eye_with_keys_a_hue_and_steps_lead_to_a_colour():
    async def story(app, pilot):
        await pilot.press("ctrl+n", "ctrl+n")
        before = app.screen.query_one(Hues).family
        await pilot.press("right", "right", "d", "g", "comma", "L")
        await pilot.pause()
        after, note = app.screen.query_one(Hues).family, said(app, "#night")
        await pilot.press("enter")
        return before, after, note, app.result

    before, after, note, result = run(story)
    assert (before, after) == ("blue", "purple")
    assert "night mode" in note
    expected = start("purple")
    for step, fine in (("darker", False), ("greyer", False), ("back", False), ("lighter", True)):
        expected = stepped(expected, step, fine=fine).lab
    assert result == to_hex(lab_to_srgb(expected)[0])


def test_by_eye_with_the_mouse_alone():
    async def story(app, pilot):
        await pilot.click("#ways", offset=(40, 0))
        await pilot.pause()
        await pilot.click(Hues, offset=(1, 1))
        await pilot.click("#step-darker")
        await pilot.click("#step-greyer")
        await pilot.pause()
        await pilot.click("#take")
        return app.result

    expected = stepped(stepped(start("yellow green"), "darker").lab, "greyer").lab
    assert run(story) == to_hex(lab_to_srgb(expected)[0])


def test_by_eye_starts_from_the_present_colour():
    async def story(app, pilot):
        await pilot.press("ctrl+n", "ctrl+n", "enter")
        return app.result

    assert run(story, "net-teal") == to_hex(lab_to_srgb(np.array(PALETTE.swatches["net-teal"].lab))[0])


def test_a_step_beyond_the_screen_is_refused_in_a_sentence_and_leaves_the_colour():
    async def story(app, pilot):
        await pilot.press("ctrl+n", "ctrl+n", *("v" * 25))
        await pilot.pause()
        reached = said(app, "#offer")
        await pilot.press("v")
        await pilot.pause()
        return said(app, "#say"), reached == said(app, "#offer")

    sentence, same = run(story)
    assert sentence.startswith("No screen shows a more vivid")
    assert same


def test_escape_leaves_without_a_choice():
    async def story(app, pilot):
        await pilot.press("escape")
        return app.result

    assert run(story) is None


@pytest.mark.parametrize(
    ("colours", "banner"), [("truecolor", ""), ("256", "256 colours"), ("standard", "16 colours")]
)
def test_a_console_with_few_colours_is_owned_up_to(monkeypatch, colours, banner):
    monkeypatch.setattr("textual.constants.COLOR_SYSTEM", colours)

    async def story(app, _pilot):
        return said(app, "#caveat"), app.screen.query_one("#caveat").display

    sentence, shown = run(story)
    assert banner in sentence
    assert shown == bool(banner)


def test_without_colour_words_carry_the_swatch(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")

    async def story(app, _pilot):
        return said(app, "#caveat"), said(app, "#offer")

    sentence, offer = run(story)
    assert "NO_COLOR" in sentence
    assert "deep blue" in offer


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_begins_with_a_colour_that_can_be_had_and_bears_its_name(family):
    assert fault(start(family)) == ""
    assert family_of(start(family)) == family


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(FAMILIES),
    st.lists(st.tuples(st.sampled_from(sorted(COARSE)), st.booleans()), max_size=12),
)
def test_no_steps_lead_to_a_colour_that_cannot_be_had(family, steps):
    lab = start(family)
    for step, fine in steps:
        tried = stepped(lab, step, fine=fine)
        assert bool(tried.complaint) == bool(np.array_equal(tried.lab, lab))
        lab = tried.lab
    assert fault(lab) == ""
    assert from_hex(to_hex(lab_to_srgb(lab)[0])).lab.shape == (3,)


@pytest.mark.parametrize("step", sorted(COARSE))
def test_a_step_does_what_it_says_and_a_small_one_less_of_it(step):
    lab = stepped(stepped(start("blue"), "greyer").lab, "greyer").lab
    whole, small = (lab_to_lch(stepped(lab, step, fine=fine).lab) - lab_to_lch(lab) for fine in (False, True))
    np.testing.assert_allclose(whole, COARSE[step], atol=1e-9)
    np.testing.assert_allclose(small, FINE * np.array(COARSE[step]), atol=1e-9)


def test_the_hues_to_turn_to_are_those_on_either_side():
    assert neighbours(start("blue")) == ("blue green", "violet")
    assert neighbours(start("red")) == ("pink", "orange")


def test_a_swatch_that_no_cloth_can_be_is_shown_and_cannot_be_taken(tmp_path):
    path = tmp_path / "glaring.palette.toml"
    path.write_text('[[swatch]]\nid = "glare"\nname = "Glare"\nlab = [95, -90, 90]\nbasis = "invented"\n')
    palette = load(path)

    async def main():
        app = Host("glare", palette)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            await pilot.press("enter")
            return app.result, said(app, "#say")

    result, sentence = asyncio.run(main())
    assert result is LEFT
    assert "No reflecting surface" in sentence
