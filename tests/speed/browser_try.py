"""The interface in a real browser: first paint, a key, a click, and whether colours are exact.

    python tests/speed/browser_try.py [PICTURE.png]

Needs playwright (pip install playwright) and a Chromium: the system's, or one that playwright has installed.
"""

import asyncio
import io
import shutil
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image
from playwright.async_api import async_playwright

import planner  # noqa: F401 - before NumPy
from planner.app.browser import serve
from planner.app.browser.door import Door
from planner.app.browser.server import WindowServer
from planner.app.tour.tour_app import copied
from planner.catalogue import load
from planner.colour.screen import parse_hex
from planner.job import read_job_file
from planner.reading.matter import QUICK
from planner.reading.of_job import line_question
from planner.reading.read import read

SIZE = {"width": 1200, "height": 800}
COATING = (150, 431)
"""Where the second row of the ticket is in a window of that size."""
PATIENCE = 100.0


async def looked(page):
    """Return the window as pixels, (H, W, 3)."""
    return np.asarray(Image.open(io.BytesIO(await page.screenshot())).convert("RGB"))


def share_of(pixels, colour):
    return float((pixels == colour).all(axis=-1).mean())


async def until(page, holds):
    """Look until something holds, and return the pixels and the seconds it took."""
    begun = time.perf_counter()
    while time.perf_counter() - begun < PATIENCE:
        pixels = await looked(page)
        if holds(pixels):
            return pixels, time.perf_counter() - begun
        await asyncio.sleep(0.1)
    raise SystemExit("It never came.")


async def settled(page):
    """Return the pixels once pictures have stopped changing by themselves."""
    before = await looked(page)
    while True:
        await asyncio.sleep(1.5)
        now = await looked(page)
        if (now != before).any(axis=-1).mean() < 0.001:
            return now
        before = now


async def tried(page, door, wanted, picture):
    """Open the link; press, click and look."""
    begun = time.perf_counter()
    await page.goto(door.link)
    await page.wait_for_selector("body.-first-byte", timeout=1e3 * PATIENCE)
    print(f"first paint after {time.perf_counter() - begun:.1f} s; the address is {page.url}")
    pixels, _ = await until(page, lambda now: all(share_of(now, one) > 0.005 for one in wanted.values()))
    print(f"the first answer after {time.perf_counter() - begun:.1f} s")
    for name, colour in wanted.items():
        print(f"{name} {colour.tolist()}: exactly that in {share_of(pixels, colour):.2%} of the window")
    if picture:
        Image.fromarray(pixels).save(picture)
    await page.locator(".xterm-helper-textarea").focus()
    for what, do in (
        ("a key (?)", lambda: page.keyboard.type("?")),
        ("a key (Escape)", lambda: page.keyboard.press("Escape")),
        ("a click on the coating's row", lambda: page.mouse.click(*COATING)),
    ):
        before = await settled(page)
        await do()
        _, took = await until(page, lambda now, before=before: (now != before).any(axis=-1).mean() > 0.02)
        print(f"{what}: seen within {took:.2f} s")
    if picture:
        await asyncio.sleep(1)
        Image.fromarray(await looked(page)).save(Path(picture).with_stem(f"{Path(picture).stem}-clicked"))


async def main(picture):
    with tempfile.TemporaryDirectory() as folder, serve.bound(None) as listening:
        job = copied(Path(folder))
        file, palette = read_job_file(job), load(Path(folder) / "palette")
        reading = read(line_question(file.job, file.job.lines[0], palette), QUICK)
        wanted = {"the swatch": parse_hex(reading.swatch.hex), "the stones": parse_hex(reading.seen.hex)}
        door = Door("{}:{}".format(*listening.getsockname()))
        server = WindowServer(serve.command(job, Path(folder) / "palette"), door)
        ready = asyncio.Event()
        serving = asyncio.create_task(server.run(listening, ready.set))
        await ready.wait()
        async with async_playwright() as driver:
            browser = await driver.chromium.launch(
                executable_path=shutil.which("chromium"), args=["--force-color-profile=srgb"]
            )
            page = await browser.new_page(viewport=SIZE)
            page.on("request", lambda sent: door.place in sent.url or print(f"fetched elsewhere: {sent.url}"))
            await tried(page, door, wanted, picture)
            begun = time.perf_counter()
            await browser.close()
            await serving
            print(f"the server ended {time.perf_counter() - begun:.1f} s after the window")


if __name__ == "__main__":
    asyncio.run(main(sys.argv[1] if sys.argv[1:] else None))
