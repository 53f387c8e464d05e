"""A swatch chosen from a photograph: its name, its kind of cloth, and the file it lies in."""

from pathlib import Path

import numpy as np
import pytest
from photo_stage import LEFT, opened, run, said, sash
from textual.widgets import Input

from planner.app.choose.by_photo import ByPhoto
from planner.app.photo.own_swatches import own_file, suggested
from planner.catalogue.palette import load
from planner.catalogue.palette_file import read_palette_file
from planner.data import demo

photo = pytest.fixture(sash)


async def kept_with(app, pilot, line, text):
    """Open the photograph unless it is open, and keep its colour with one line of the question filled in."""
    if not app.screen.query(line):
        await opened(app, pilot)
        await pilot.press("enter")
        await pilot.pause()
    app.screen.query_one(line, Input).value = text
    await pilot.press("enter")
    await pilot.pause()


def test_a_kept_swatch_lies_in_the_own_file_and_its_id_is_what_is_left_with(photo, tmp_path):
    own = tmp_path / "new" / "own.toml"

    async def story(app, pilot):
        await opened(app, pilot)
        sure = app.asked.query_one(ByPhoto).swatch.colour
        await pilot.press("enter")
        await pilot.pause()
        suggestion = app.screen.query_one("#keep-name", Input).value
        await pilot.press("enter")
        await pilot.pause()
        return suggestion, sure, app.result, app.asked.palette

    suggestion, sure, result, palette = run(story, own)
    (entry,) = read_palette_file(own).entries
    assert suggestion == entry.name
    assert result == entry.id
    assert palette.swatches[result] == entry
    assert entry.uncertainty == pytest.approx(sure.uncertainty, abs=0.006)
    np.testing.assert_allclose(entry.lab, sure.lab, atol=0.006)
    assert load(demo(), own).swatches[result] == entry


def test_with_the_mouse_the_colour_alone_is_taken_and_nothing_written(photo, tmp_path):
    async def story(app, pilot):
        await opened(app, pilot)
        await pilot.click("#take")
        await pilot.pause()
        await pilot.click("#instead")
        await pilot.pause()
        return app.result

    assert run(story, tmp_path / "own.toml").startswith("#")
    assert not (tmp_path / "own.toml").exists()


def test_a_name_that_cannot_be_is_refused_in_a_sentence_and_nothing_written(photo, tmp_path):
    async def story(app, pilot):
        for name, word in (("leotard BLUE", "already"), ("!", "letters or digits")):
            await kept_with(app, pilot, "#keep-name", name)
            assert word in said(app, "#keep-say")
        await pilot.press("escape")
        await pilot.pause()
        return app.result, app.screen is app.asked

    result, back = run(story, tmp_path / "own.toml")
    assert result is LEFT
    assert back
    assert not (tmp_path / "own.toml").exists()


def test_a_name_is_suggested_that_no_swatch_has():
    known = load(demo()).swatches
    assert suggested(Path("velvet_front.jpg"), "Blue", known) == "Velvet front"
    assert suggested(Path("IMG_2041.jpg"), "Blue", known) == "Blue"
    assert suggested(Path("sail-blue.png"), "Blue", known) == "Sail blue 2"
    assert suggested(None, "Leotard blue", known) == "Leotard blue 2"


def test_capitals_and_accents_stay_in_a_name_and_its_id_is_made_from_it(photo, tmp_path):
    async def story(app, pilot):
        await kept_with(app, pilot, "#keep-name", "Überrock, links")
        return app.result, app.asked.palette

    result, palette = run(story, tmp_path / "own.toml")
    assert result == "uberrock-links"
    assert palette.swatches[result].name == "Überrock, links"


def test_the_own_file_follows_the_palettes_that_are_read(tmp_path):
    assert own_file(tmp_path) == tmp_path / "swatches.toml"
    (tmp_path / "one.toml").touch()
    assert own_file(tmp_path / "one.toml") == tmp_path / "one.toml"


@pytest.mark.parametrize(
    ("words", "cloth"),
    [
        ("", None),
        ("Satin", {"kind": "satin"}),
        ("sheer over fair skin", {"kind": "sheer", "backing": "fair-skin"}),
        ("two-tone with 802060", {"kind": "two-tone", "second": "#802060"}),
        ("two-tone", {"kind": "two-tone"}),
    ],
)
def test_the_kind_of_cloth_is_kept_with_it(photo, tmp_path, words, cloth):
    async def story(app, pilot):
        await kept_with(app, pilot, "#keep-kind", words)

    run(story, tmp_path / "own.toml")
    (entry,) = read_palette_file(tmp_path / "own.toml").entries
    assert (entry.cloth and entry.cloth.model_dump(exclude_none=True)) == cloth


def test_a_kind_of_cloth_that_is_none_is_refused_in_a_sentence(photo, tmp_path):
    wrong = {"wool": "no kind of cloth", "sheer": "no backing", "sheer over bark": "a backing must be"}

    async def story(app, pilot):
        for words, says in wrong.items():
            await kept_with(app, pilot, "#keep-kind", words)
            assert says in said(app, "#keep-say")

    run(story, tmp_path / "own.toml")
    assert not (tmp_path / "own.toml").exists()
