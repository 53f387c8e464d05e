"""A photographed sample card, or what came, on the screen: marked, named, read, kept."""

import asyncio

import numpy as np
import pytest
from PIL import Image, ImageDraw
from textual.app import App
from textual.widgets import Input, Static
from waiting import until

from planner.app.photo.view import PhotoView
from planner.app.samples.marks import WHITE, proposed
from planner.app.samples.screen import SamplesScreen
from planner.app.samples.worker import Came, Card, Pairing
from planner.catalogue.palette import load
from planner.data import demo
from planner.fitting.record import own_log, read_log
from planner.swatch.photo_file import Area

PALETTE = load(demo())
RED = PALETTE.stones["shackle-red"]
ORDERED = Pairing(RED, PALETTE.cuts[RED.cut], PALETTE.coatings["halyard-aurora"], "SS20")
# What the planner foretells for jet and red under 160 nm of titania, as a good photograph shows it.
PAINTED = {"tackle jet": (60, 107, 148), "shackle red": (191, 106, 149)}
SIDE = 44


@pytest.fixture
def photo(tmp_path, monkeypatch):
    """Return a painted card: white paper, and a row of round stones of each kind."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    image = Image.new("RGB", (480, 260), (120, 118, 115))
    draw = ImageDraw.Draw(image)
    draw.rectangle((20, 40, 120, 220), fill=(216, 214, 212))
    for row, colour in enumerate(PAINTED.values()):
        for column in range(3):
            x, y = 180 + 90 * column, 50 + 100 * row
            draw.ellipse((x, y, x + SIDE, y + SIDE), fill=colour)
    noisy = np.asarray(image) + np.random.default_rng(1).normal(0, 2, (260, 480, 3))
    path = tmp_path / "card.png"
    Image.fromarray(noisy.clip(0, 255).astype(np.uint8)).save(path)
    return path


class Host(App):
    def on_mount(self):
        self.samples = SamplesScreen(PALETTE, ORDERED)
        self.push_screen(self.samples)


def run(story, size=(100, 32)):
    async def main():
        app = Host()
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            return await story(app, pilot)

    return asyncio.run(main())


async def settle(app, pilot):
    await until(pilot, lambda: app.samples.idle)


async def opened(app, pilot, path):
    app.samples.query_one("#card-path", Input).value = str(path)
    await pilot.press("enter")
    await settle(app, pilot)
    return app.samples.query_one(PhotoView)


async def named(app, pilot, view, stone, signs):
    for sign in signs:
        view.choose(sign)
        await pilot.press("enter")
        app.samples.query_one("#card-stone", Input).value = stone
        await pilot.pause()
        await pilot.press("enter")
        await settle(app, pilot)


def said(app):
    return str(app.samples.query_one("#card-said", Static).content)


def test_a_card_is_marked_named_fitted_and_kept(photo):
    async def story(app, pilot):
        view = await opened(app, pilot, photo)
        assert view.frames.names == (*"123456", WHITE)
        assert "6 stones are made out" in said(app)
        await named(app, pilot, view, "tackle jet", "123")
        assert isinstance(app.samples.answer, Card)
        await named(app, pilot, view, "shackle red", "456")
        card = app.samples.answer
        assert {one: kind.stones for one, kind in card.read.kinds.items()} == {
            "tackle-jet": 3, "shackle-red": 3,
        }  # fmt: skip
        assert "films fit" in said(app)
        await pilot.press("k")
        await pilot.pause()
        app.screen.query_one("#keep-name", Input).value = "box-film"
        await pilot.press("enter")
        await pilot.pause()
        return app.samples.palette, card

    palette, card = run(story)
    new = set(palette.coatings) - set(PALETTE.coatings)
    assert len(new) == sum(one.share >= 0.01 for one in card.fitted.orders)
    assert all(one.startswith("box-film") for one in new)
    kept = load(demo(), photo.parent / "own" / "coated-stone-planner" / "palettes")
    assert new <= set(kept.coatings)


def test_what_came_is_held_beside_its_prediction_and_logged(photo):
    async def story(app, pilot):
        view = await opened(app, pilot, photo)
        for sign in "123":
            view.choose(sign)
            await pilot.press("x")
        await pilot.press("c")
        await settle(app, pilot)
        came = app.samples.answer
        assert isinstance(came, Came)
        assert came.read.kinds["shackle-red"].stones == 3
        assert "Predicted: " in said(app)
        await pilot.press("k")
        await pilot.pause()
        await pilot.press("ctrl+o")
        await pilot.pause()
        return came

    came = run(story)
    (line,) = read_log(own_log())
    assert line.dE00 == pytest.approx(came.arrived.apart.dE00, abs=0.01)


def test_frames_are_added_and_a_picture_that_is_none_is_told(photo, tmp_path):
    (tmp_path / "text.jpg").write_text("no picture")

    async def story(app, pilot):
        await opened(app, pilot, tmp_path / "text.jpg")
        assert "no picture that can be read" in said(app)
        view = await opened(app, pilot, photo)
        await pilot.press("a")
        assert view.frames.names == (*"1234567", WHITE)
        assert view.which == "7"
        await pilot.press("k")
        assert app.screen is app.samples

    run(story)


def test_frames_keep_what_they_are_called():
    marks = proposed(Area(0, 0, 50, 50), (Area(60, 0, 30, 30), Area(100, 0, 30, 30)))
    marks = marks.called("1", "tackle-jet")
    assert marks.next_unsaid("1") == "2"
    assert [one.stone for one in marks.marks()] == ["tackle-jet"]
    assert len(marks.marks("pulley-blue")) == 2
    more, sign = marks.put("1", Area(5, 5, 40, 40)).another("1", 60, 60)
    assert more.of("1") == Area(5, 5, 40, 40)
    area = more.of(sign)
    assert area.x + area.width <= 60
    assert more.without(sign) == marks.put("1", Area(5, 5, 40, 40))
