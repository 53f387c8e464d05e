"""A script: takes the pictures of README and the handbook anew, out of a copy of the demo's costume.

    python tests/app/readme_pictures.py [NAME …]     such as turning or step-2-pairing; without a name, all

Look at them before they are kept. The first moves: some stones of the costume and one of them large, turning
as the wearer does. The screens are SVG, the client's page is a PNG of its first page.
"""

import asyncio
import os
import re
import sys
import tempfile
from pathlib import Path

os.environ |= {"COLORTERM": "truecolor", "TERM": "xterm-256color"}

import planner  # noqa: F401, I001 - before NumPy

import numpy as np
from PIL import Image

from planner.app.drafts import Drafts
from planner.app.places import PLACES
from planner.app.planner_app import PlannerApp
from planner.app.second_process import SameProcess
from planner.app.sight import Sight
from planner.app.state import state_of
from planner.app.tour.tour_app import copied
from planner.brief.gather import gather
from planner.brief.page import brief
from planner.catalogue import load
from planner.job import read_job_file
from planner.picture.motion import RATE, Loop
from planner.picture.view import view
from planner.reading.of_job import line_question

SCREENS = Path(__file__).with_name("screens")
SIZES = {"step-2-pairing.svg": (110, 40)}
SIZE = (110, 32)
PPI = 74.0
COLOURS = 160
STEADY = 4
"""Looks in a row, half a second apart, at which nothing is being worked out."""
FILMED = {"hand": (360, 240), "stone": (240, 240)}
QUALITY = 72


def ready(app):
    """Return whether everything is answered, and every picture drawn."""
    waiting = any(one.waiting for one in app.main.query(Sight))
    drawing = any(one.group == "stage" and not one.is_finished for one in app.workers)
    return app.answer_worker.idle and not waiting and not drawing


def ranking(app):
    """Return whether pairings are being worked out, or looked at one by one."""
    return any(one.group in {"rank", "look"} and not one.is_finished for one in app.workers)


async def taken(app, name, keys, seconds):
    async with app.run_test(size=SIZES.get(name, SIZE)) as pilot:
        await pilot.pause(2)
        quiet = 0
        while quiet < STEADY:
            quiet = quiet + 1 if ready(app) else 0
            await pilot.pause(0.5)
        for key in keys:
            await pilot.press(key)
            await pilot.pause(seconds)
        while not getattr(app.screen, "idle", True) or ranking(app):
            await pilot.pause(0.5)
        svg = app.export_screenshot()
    # Whoever reads it has a font of equal widths; none is fetched.
    svg = re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)
    (SCREENS / name).write_text(re.sub(r"Fira Code", "ui-monospace, monospace", svg), encoding="utf-8")


def turning(question):
    """Write some stones and one of them large as they turn, as an endless film."""
    drawn = [view(question, *size, kind, finer=2) for kind, size in FILMED.items()]
    loop = Loop(lambda tilt, nod: np.concatenate([one.frame(tilt, nod) for one in drawn], axis=1))
    first, *rest = (Image.fromarray(one) for one in loop.frames())
    first.save(
        SCREENS / "turning.webp", save_all=True, append_images=rest, duration=round(1000 / RATE), loop=0,
        quality=QUALITY, method=6,
    )  # fmt: skip


def main(names):
    keys = {place.name: place.key for place in PLACES}
    with tempfile.TemporaryDirectory() as folder:
        path = copied(Path(folder))
        palette = load(Path(folder) / "palette")
        file = read_job_file(path)

        def app(job=file.job, line=1):
            state = state_of(job, palette, file, path).at_line(line)
            drafts = Drafts(Path(folder) / "drafts")
            return PlannerApp(palette, state, second=SameProcess(), drafts=drafts, depth="true")

        # What was found holds: it is taken for the body, in a size that is offered, and is the only one.
        held = file.job.lines[0].model_copy(update={"stone": "marlinspike-navy", "size": "SS16"})
        job = file.job.model_copy(update={"lines": (held, *file.job.lines[2:])})

        def page():
            found = brief(gather(job, palette, full=[1])).images(PPI)[0]
            found.quantize(COLOURS).save(SCREENS / "step-5-page.png", optimize=True)

        def screen(name, keys=(), seconds=0, **given):
            return lambda: asyncio.run(taken(app(**given), f"{name}.svg", keys, seconds))

        steps = {
            "turning": lambda: turning(line_question(file.job, file.job.lines[1], palette)),
            "step-1-swatch": screen("step-1-swatch", [keys["by_eye"]], 1),
            "step-2-pairing": screen("step-2-pairing"),
            "step-3-pairings": screen("step-3-pairings", [keys["pairings"]], 12),
            "step-4-order": screen("step-4-order", [keys["order"], "3"], 6, job=job, line=0),
            "step-5-page": page,
        }
        for name in names or steps:
            steps[name]()


if __name__ == "__main__":
    main(sys.argv[1:])
