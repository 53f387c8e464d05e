"""A painted photograph of cloth and paper, and the screen it is chosen on: what the tests of it share."""

import asyncio

import numpy as np
from PIL import Image
from textual.app import App
from textual.widgets import Static

from planner.app.choose import SwatchScreen
from planner.app.choose.by_photo import ByPhoto
from planner.app.photo.view import PhotoView
from planner.catalogue.palette import load
from planner.data import demo

PALETTE = load(demo())
LEFT = object()
TRUE_CLOTH, TRUE_WHITE = (125, 30, 220, 150), (20, 35, 90, 145)
"""Left, top, right, bottom of what is painted on the picture."""


def paint(path, cloth=(45, 70, 140), white=(215, 213, 208), fall=0.1, table=(120, 90, 60)):
    """Paint cloth and paper on a table."""
    random = np.random.default_rng(1)
    scene = np.full((180, 240, 3), np.array(table, float))
    for (left, top, right, low), colour in ((TRUE_WHITE, white), (TRUE_CLOTH, cloth)):
        scene[top:low, left:right] = colour
    scene *= (1 + fall * np.linspace(-0.5, 0.5, 240))[None, :, None]
    scene += random.normal(0, 2, scene.shape)
    Image.fromarray(scene.clip(0, 255).astype(np.uint8)).save(path)
    return path


def sash(tmp_path, monkeypatch):
    """Return a small photograph in a folder of its own, which is the present one."""
    folder = tmp_path / "pictures"
    folder.mkdir()
    (folder / "notes.txt").write_text("none")
    (folder / "older").mkdir()
    monkeypatch.chdir(folder)
    return paint(folder / "sash.png")


class Host(App):
    def __init__(self, keep_in):
        super().__init__()
        self.keep_in, self.result = keep_in, LEFT

    def on_mount(self):
        self.asked = SwatchScreen(PALETTE, "leotard-blue", keep_in=self.keep_in)
        self.push_screen(self.asked, self.keep)

    def keep(self, result):
        self.result = result


def run(story, keep_in=None, size=(80, 24)):
    async def main():
        app = Host(keep_in)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            return await story(app, pilot)

    return asyncio.run(main())


async def settle(app, pilot):
    for _ in range(1000):
        await pilot.pause()
        if app.asked.query_one(ByPhoto).idle:
            await pilot.pause()
            return
        await asyncio.sleep(0.01)
    raise AssertionError("no answer after 10 seconds")


async def opened(app, pilot):
    """Open the photograph by keys alone."""
    await pilot.press("ctrl+n", "ctrl+n", "ctrl+n", *"sash", "enter")
    await settle(app, pilot)
    return app.screen.query_one(PhotoView)


def said(app, selector):
    return str(app.screen.query_one(selector, Static).content)
