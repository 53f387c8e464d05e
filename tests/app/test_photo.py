"""Choosing a swatch from a photograph: the file, the frames and the result."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from photo_stage import LEFT, TRUE_CLOTH, TRUE_WHITE, opened, paint, run, said, sash, settle
from PIL import Image
from textual.widgets import Button, OptionList

from planner.app.choose.by_photo import ByPhoto
from planner.app.photo.files import above, meant, within_reach
from planner.app.photo.frames import LEAST, Frames, fit, moved, resized
from planner.app.photo.reading import neighbours, read_cloth
from planner.app.photo.view import PhotoView
from planner.colour.difference import delta_e
from planner.swatch.photo import measure
from planner.swatch.photo_file import Area, open_picture

photo = pytest.fixture(sash)


def inside(area, true):
    left, top, right, low = true
    return left <= area.x and area.x + area.width <= right and top <= area.y and area.y + area.height <= low


def test_pictures_and_folders_of_the_present_folder_are_listed(photo):
    async def story(app, pilot):
        await pilot.press("ctrl+n", "ctrl+n", "ctrl+n")
        files = app.screen.query_one("#photo-files", OptionList)
        return [str(files.get_option_at_index(at).prompt) for at in range(files.option_count)]

    assert run(story) == ["older/", "sash.png"]


def test_a_path_is_completed_as_it_was_begun(photo):
    assert within_reach(f"{photo.parent}/sa") == [str(photo)]
    assert within_reach("./SA") == ["./sash.png"]
    assert within_reach(f"{photo.parent}/none/x") == []
    assert within_reach("~nobody-of-that-name/") == []
    assert within_reach(f"/somewhere/{photo.parent}/sa") == [str(photo)], "pasted behind a folder"
    assert above(f"{photo.parent}/") == [f"{photo.parent.parent}/"]
    assert above("") == [f"{Path.cwd().parent}/"]
    assert above(f"{photo.parent}/sa") == above("/") == [], "while a name is typed, and above all"


@pytest.mark.parametrize(
    ("typed", "path"),
    [
        ("/media/a/b.csv", "/media/a/b.csv"),
        ("/srv//media/a b.csv", "/media/a b.csv"),
        ("/srv/'/media/a b.csv'", "/media/a b.csv"),
        ('"/media/a b.csv" ', "/media/a b.csv"),
        ("./a.csv", "./a.csv"),
        ("/srv/~/a.csv", "~/a.csv"),
    ],
)
def test_a_path_pasted_behind_a_folder_or_in_quotes_is_the_one_meant(typed, path):
    assert meant(typed) == path


def test_with_keys_alone_the_proposal_is_shown_and_its_colour_taken(photo):
    async def story(app, pilot):
        view = await opened(app, pilot)
        frames, told, offer = view.frames, said(app, "#said"), said(app, "#offer")
        await pilot.press("enter")
        return frames, told, offer, app.result

    frames, told, offer, result = run(story)
    assert inside(frames.cloth, TRUE_CLOTH)
    assert inside(frames.white, TRUE_WHITE)
    expected = read_cloth(open_picture(photo), frames, "unknown")
    assert f"known to ±{expected.colour.uncertainty:.1f}" in offer
    assert "from the seats, but not at arm's length" in told
    assert result in offer
    assert result.startswith("#")


def test_keys_move_and_resize_each_frame_and_the_colour_follows(photo):
    async def story(app, pilot):
        view = await opened(app, pilot)
        first = view.frames
        await pilot.press("right", "down", "shift+left")
        await pilot.press("tab", "left", "shift+up")
        await settle(app, pilot)
        return first, view.frames, view.grid, app.asked.query_one(ByPhoto).swatch

    first, after, grid, swatch = run(story)
    across, down = grid.step(1, 1)
    assert after.cloth == Area(
        first.cloth.x + across, first.cloth.y + down, first.cloth.width - across, first.cloth.height
    )
    assert after.white == Area(
        first.white.x - across, first.white.y, first.white.width, first.white.height - down
    )
    expected = measure(open_picture(photo), cloth=after.cloth, white=after.white)
    np.testing.assert_array_equal(swatch.colour.lab, expected.lab)


def test_with_the_mouse_alone_a_frame_is_dragged_and_resized_and_taken(photo):
    async def story(app, pilot):
        await pilot.click("#ways", offset=(60, 0))
        await pilot.pause()
        await pilot.click("#photo-files", offset=(2, 1))
        await settle(app, pilot)
        view = app.screen.query_one(PhotoView)
        first = view.frames
        left, _, top, _ = view.grid.cells(first.cloth)
        await pilot.mouse_down(PhotoView, offset=(left + 2, top + 1))
        await pilot.hover(PhotoView, offset=(left + 3, top + 1))
        await pilot.mouse_up(PhotoView, offset=(left + 3, top + 1))
        dragged = view.frames
        _, right, _, low = view.grid.cells(dragged.cloth)
        await pilot.mouse_down(PhotoView, offset=(right, low))
        await pilot.hover(PhotoView, offset=(right - 2, low - 1))
        await pilot.mouse_up(PhotoView, offset=(right - 2, low - 1))
        await settle(app, pilot)
        after = view.frames
        await pilot.click("#take")
        await pilot.pause()
        return first, dragged, after, view.grid, app.result

    first, dragged, after, grid, result = run(story)
    assert dragged == first.put("C", first.cloth._replace(x=first.cloth.x + grid.step(1, 0)[0]))
    across, down = grid.step(2, 1)
    assert (after.cloth.width, after.cloth.height) == (
        dragged.cloth.width - across, dragged.cloth.height - down
    )  # fmt: skip
    assert result.startswith("#")


def test_saying_that_it_was_daylight_makes_the_colour_surer(photo):
    async def story(app, pilot):
        await opened(app, pilot)
        way = app.asked.query_one(ByPhoto)
        before = way.swatch.colour.uncertainty
        await pilot.press("l")
        await settle(app, pilot)
        by_key = way.swatch.colour.uncertainty
        await pilot.click("#photo-light")
        await settle(app, pilot)
        return before, by_key, str(app.screen.query_one("#photo-light", Button).label)

    before, by_key, label = run(story)
    assert by_key < before
    assert "lamps" in label


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (lambda path: paint(path, white=(255, 255, 255), fall=0.0, table=(150, 70, 10)), "burnt out"),
        (lambda path: paint(path, cloth=(20, 215, 10), white=(130, 130, 130)), "planner swatch photo"),
        (lambda path: path.write_bytes(b"no picture"), "no picture that can be read"),
        (lambda path: Image.new("L", (100, 100)).save(path), "grey picture"),
        (lambda path: Image.new("RGB", (100, 100), (90, 30, 30)).save(path), "put frame C on the cloth"),
    ],
)
def test_what_a_photograph_cannot_say_is_one_sentence_and_nothing_is_taken(photo, change, word):
    change(photo)

    async def story(app, pilot):
        await opened(app, pilot)
        await pilot.press("enter")
        await pilot.pause()
        return said(app, "#say"), app.result, app.screen.query_one("#take").disabled

    sentence, result, disabled = run(story)
    assert word in sentence
    assert "--" not in sentence
    assert sentence.endswith(".")
    assert result is LEFT
    assert disabled


def test_uneven_light_is_said(photo):
    paint(photo, fall=0.7)

    async def story(app, pilot):
        await opened(app, pilot)
        return said(app, "#said")

    assert "The light is uneven" in run(story)


@pytest.mark.parametrize("colours", ["256", "standard", None])
def test_with_few_colours_or_none_the_frames_and_words_remain(photo, monkeypatch, colours):
    if colours is None:
        monkeypatch.setenv("NO_COLOR", "1")
    else:
        monkeypatch.setattr("textual.constants.COLOR_SYSTEM", colours)

    async def story(app, pilot):
        view = await opened(app, pilot)
        text = "".join(segment.text for y in range(view.size.height) for segment in view.render_line(y))
        styles = {
            segment.style.bgcolor.triplet
            for y in range(view.size.height) for segment in view.render_line(y) if segment.style.bgcolor
        }  # fmt: skip
        return text, styles, said(app, "#offer"), said(app, "#caveat")

    text, styles, offer, caveat = run(story)
    assert "C" in text
    assert "W" in text
    assert "blue" in offer
    assert caveat
    if colours is None:
        assert all(one is None or len(set(one)) == 1 for one in styles)


def test_neighbours_are_as_far_off_as_the_colour_is_unsure(photo):
    picture = open_picture(photo)
    found = measure(picture).swatch
    around = neighbours(found).reshape(-1, 3)
    np.testing.assert_allclose(around[4], found.colour.lab)
    # CIEDE2000 bends over such distances, so it agrees with its metric only roughly.
    sides = delta_e(found.colour.lab, around[[1, 3, 5, 7]])
    np.testing.assert_allclose(sides, found.colour.uncertainty, rtol=0.35)


SIDES = st.integers(30, 6000)
STEPS = st.tuples(st.booleans(), st.booleans(), st.integers(-3, 3), st.integers(-3, 3))


@given(SIDES, SIDES, st.integers(2, 200), st.integers(2, 60), st.lists(STEPS, max_size=30))
def test_frames_stay_on_the_picture_whatever_is_done(width, height, columns, lines, steps):
    grid = fit(width, height, columns, lines)
    assert grid.columns <= columns
    assert grid.lines <= lines
    frames = Frames(Area(0, 0, LEAST, LEAST), Area(5, 5, LEAST, LEAST))
    for first, resize, across, down in steps:
        which = "C" if first else "W"
        change = resized if resize else moved
        frames = frames.put(which, change(frames.of(which), *grid.step(across, down), width, height))
        for area in frames:
            assert area.x >= 0
            assert area.y >= 0
            assert area.x + area.width <= width
            assert area.y + area.height <= height
            assert min(area.width, area.height) >= LEAST
            left, right, top, low = grid.cells(area)
            assert 0 <= left <= right < grid.columns
            assert 0 <= top <= low < grid.lines
