"""Real pixels where a terminal has them: found out, asked for, shown, and left without a word where not."""

import asyncio
import sys
from functools import wraps
from types import SimpleNamespace

import numpy as np
import pytest
from textual.app import App

from planner.app.half_blocks import LETTERS, strips
from planner.app.parts import pixels
from planner.app.parts.stage import Stage
from planner.refusal import Refusal

DRAWN_AT_ONCE = True


def test_the_environment_decides_instead_of_the_terminal(monkeypatch):
    for way in ("kitty", "sixel", "blocks"):
        monkeypatch.setenv(pixels.VARIABLE, way)
        assert pixels.way_of() == way
    monkeypatch.setenv(pixels.VARIABLE, "oils")
    with pytest.raises(Refusal, match="'oils'; allowed are auto, kitty, sixel, blocks"):
        pixels.way_of()


def test_no_terminal_or_one_without_pixels_or_a_library_that_fails_leaves_half_blocks(monkeypatch):
    monkeypatch.delenv(pixels.VARIABLE, raising=False)
    monkeypatch.setattr(sys, "__stdout__", SimpleNamespace(isatty=lambda: False))
    with monkeypatch.context() as patch:
        patch.setattr(pixels, "_asked", lambda: pytest.fail("asked for pixels"))
        assert pixels.way_of() == "blocks"
    monkeypatch.setattr(sys, "__stdout__", SimpleNamespace(isatty=lambda: True, fileno=lambda: 1))
    assert pixels.way_of() == "blocks"
    monkeypatch.setitem(sys.modules, "textual_image", None)
    assert pixels.way_of() == "blocks"


@pytest.mark.parametrize(
    ("name", "places"),
    [("kitty(0.26.5)", False), ("kitty(0.28.0)", True), ("kitty(1.0.0)", True), ("ghostty 1.1.3", True),
     ("Elsewhere 20240203", False), ("", False)],
)  # fmt: skip
def test_pictures_are_sent_where_the_terminal_knows_how_they_are_placed(name, places):
    assert pixels._places(name) is places


def test_a_picture_is_as_wide_to_its_height_as_its_cells_and_no_larger_than_is_drawn_soon():
    from textual_image.widget import get_cell_size

    cell = get_cell_size()
    assert pixels.pixels_of(4, 2) == (4 * cell.width, 2 * cell.height)
    wide, high = pixels.pixels_of(150, 40)
    assert wide * high == pytest.approx(pixels.MOST, rel=0.01)
    assert wide / high == pytest.approx(150 * cell.width / (40 * cell.height), rel=0.01)


def test_the_row_with_the_caption_is_left_off():
    rgb = np.arange(12 * 3 * 3, dtype=np.uint8).reshape(12, 3, 3)
    assert (np.asarray(pixels.below(rgb, 4, 1)) == rgb[3:]).all()


def test_without_colour_a_picture_is_letters_by_lightness():
    rgb = np.repeat(np.linspace(0, 255, 10).astype(np.uint8)[None, :, None], 2, axis=0).repeat(3, axis=2)
    (line,) = strips(rgb, "grey")
    inked = [LETTERS.index(one) for one in line.text]
    assert inked == sorted(inked)
    assert (inked[0], inked[-1]) == (0, len(LETTERS) - 1)
    assert len({*inked}) >= 8
    plain = strips(np.full((4, 5, 3), 90, np.uint8), "grey")
    assert {one.text for one in plain} == {plain[0].text[0] * 5}


def alone(story):
    """Run a story from start to end in a loop of its own."""

    @wraps(story)
    def told(*args, **given):
        asyncio.run(story(*args, **given))

    return told


@pytest.mark.parametrize("way", ["kitty", "sixel"])
@alone
async def test_pixels_stand_still_and_half_blocks_move(way, monkeypatch):
    monkeypatch.delenv("NO_MOTION", raising=False)
    sent = []
    # What would go to the terminal beside the interface.
    monkeypatch.setattr("textual_image.renderable.tgp._send_tgp_message", lambda **given: sent.append(given))

    def made(wide, high, _finer):
        return SimpleNamespace(frame=lambda *_: np.full((high, wide, 3), 120, np.uint8))

    class Shown(App):
        def compose(self):
            yield Stage("true", "stone", way=way)

    app = Shown()
    async with app.run_test(size=(12, 5)) as pilot:
        stage = app.query_one(Stage)
        stage.show_made(made)

        async def until(holds):
            for _ in range(400):
                await pilot.pause(0.02)
                if holds():
                    return
            raise AssertionError("it never came")

        await until(lambda: stage._pixels is not None and stage._pixels.display)
        wide, high = pixels.pixels_of(12, 5)
        assert stage._pixels.image.size == (wide, high)
        if way == "kitty":
            await until(lambda: any(one.get("f") == 100 for one in sent))
        stage.focus()
        await pilot.press("t")
        assert not stage._pixels.display
        await pilot.press("t", "right")
        await until(lambda: stage._pixels.display)
        stage.show_in("blocks")
        await until(lambda: stage._fine is not None and not stage.children)
