"""How fast pictures come and move: first frames, frames a second, share of a processor, bytes a frame.

Run it by itself: ``python tests/speed/motion_speed.py``. Processor time is the process's own, so another
program on the machine tells less; it still counts for more on a busy one.
"""

import asyncio
import sys
import time

from rich.color import ColorSystem
from textual.app import App

from planner.app.half_blocks import strips
from planner.app.parts.stage import Stage
from planner.catalogue import load
from planner.data import demo
from planner.picture.motion import Loop, flashing_share
from planner.picture.view import view
from planner.reading.question import Question, coating_called, typed_colour

CELLS = (40, 20)
SECONDS = 4.0


def asked():
    palette = load(demo())
    stone, venue, colour = palette.stones["tackle-clear"], palette.venues["ballroom"], typed_colour("#15306e")
    film = coating_called("halyard-aurora", palette)
    return Question(stone, palette.cuts[stone.cut], film, "SS20", colour, colour, venue, venue.distance, 0.35)


def spent(work):
    """Return what some work gives, and its processor time and time by the clock, milliseconds."""
    own, clock = time.process_time(), time.perf_counter()
    found = work()
    return found, 1e3 * (time.process_time() - own), 1e3 * (time.perf_counter() - clock)


def first_frames(question):
    for kind in ("seats", "hand", "stone"):
        view(question, 8, 4, kind).frame()
        for finer in (2, 4):
            _, own, clock = spent(
                lambda kind=kind, finer=finer: view(question, 80, 40, kind, finer=finer).frame()
            )
            took = f"{own:4.0f} ms of processor, {clock:4.0f} ms by the clock"
            print(f"{kind:6} 80 × 40 pixels, {finer * finer:2} samples each: {took}")


class _Moving(App):
    def __init__(self, question):
        super().__init__()
        self.stage, self.question = Stage("true", "stone"), question

    def compose(self):
        yield self.stage

    def on_mount(self):
        self.stage.show(self.question)


async def on_screen(question):
    app = _Moving(question)
    async with app.run_test(size=CELLS) as pilot:
        stage = app.stage
        while stage._fine is None:
            await pilot.pause(0.05)
        own, clock = time.process_time(), time.perf_counter()
        stage.action_swing()
        while stage._loop is None or len(stage._kept) < stage._loop.count or not stage._loop.whole:
            await pilot.pause(0.05)
        share = (time.process_time() - own) / (time.perf_counter() - clock)
        took = time.perf_counter() - clock
        print(f"first swing, drawn as it plays: {took:.0f} s, {share:.0%} of a processor")
        begun, own, clock = stage._number, time.process_time(), time.perf_counter()
        await asyncio.sleep(SECONDS)
        took = time.perf_counter() - clock
        rate, share = (stage._number - begun) / took, (time.process_time() - own) / took
        wide, high = CELLS
        print(
            f"from then on: {rate:.1f} frames a second at {wide} × {high} cells, {share:.0%} of a processor"
        )
        stage.action_swing()
        own = time.process_time()
        await asyncio.sleep(1.0)
        print(f"while it stands: {time.process_time() - own:.0%} of a processor")


def bytes_a_frame(question):
    loop = Loop(view(question, CELLS[0], 2 * CELLS[1], "stone", finer=2).frame)
    sizes = []
    for frame in loop.frames()[::6]:
        lines = strips(frame, "true")
        sent = (
            part.style.render(part.text, color_system=ColorSystem.TRUECOLOR)
            for line in lines
            for part in line
        )
        sizes.append(sum(len(one.encode()) for one in sent))
    print(f"a frame is {sum(sizes) / len(sizes) / 1e3:.0f} kB when all of it is sent")
    share = flashing_share(loop.frames())
    print(f"{share:.1%} of the picture flashes more than three times a second (limit 25 %)")


if __name__ == "__main__":
    one = asked()
    first_frames(one)
    bytes_a_frame(one)
    asyncio.run(on_screen(one))
    sys.exit(0)
