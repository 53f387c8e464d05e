"""The screen of venues on a small stage: what the tests of it share."""

import asyncio
from dataclasses import replace

from textual.app import App
from textual.widgets import Static

from planner.app.venues import VenuesScreen
from planner.app.venues.card import Card
from planner.assess.venues import judge
from planner.catalogue.palette import load
from planner.data import demo
from planner.reading.question import Question, coating_called, colour_called

OPEN = object()
WHOLE = load(demo())
SHOWN = ("rink", "theatre", "noon")
PALETTE = replace(
    WHOLE, venues={name: WHOLE.venues[name] for name in (*SHOWN, "gym", "ballroom", "followspot")}
)
LAMPS = "halogen 3200 front 400 lx; LED 5600 overhead array 300 lx"


def question(stone="pulley-blue", coating="halyard-aurora", venue="rink"):
    one, place = PALETTE.stones[stone], PALETTE.venues[venue]
    swatch = colour_called("leotard-blue", PALETTE)
    film = coating_called(coating, PALETTE)
    return Question(one, PALETTE.cuts[one.cut], film, "SS20", swatch, swatch, place, place.distance)


JOB = (question(), question("treadle-blue", "none"))


class Host(App):
    """Opens the screen and notes what it is left with."""

    def __init__(self, path, venues):
        super().__init__()
        self.path, self.venues, self.result = path, venues, OPEN

    def on_mount(self):
        screen = VenuesScreen(PALETTE, question(), JOB, venues=self.venues, keep_in=self.path)
        self.push_screen(screen, self.keep)

    def keep(self, result):
        self.result = result


_JUDGED = {}


def judged(asked):
    """Judge a pairing in a venue once for all stories."""
    # A venue made in words has the same id in every story, so its lamps count as well.
    key = asked.stone.id, asked.coating.id if asked.coating else "none", repr(asked.venue)
    if key not in _JUDGED:
        _JUDGED[key] = judge(asked)
    return _JUDGED[key]


def stage(tmp_path, monkeypatch):
    """Return a function that plays a story on the screen and returns what it found."""
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setattr("planner.app.venues.worker.judge", judged)

    def played(story, size=(80, 24), venues=("theatre",)):
        async def main():
            app = Host(tmp_path / "own" / "venues.toml", venues)
            async with app.run_test(size=size) as pilot:
                await settle(app, pilot)
                return await story(app, pilot)

        return asyncio.run(main())

    return played


async def settle(app, pilot):
    """Wait until the screen of venues shows all that it wants."""
    worker = next(one for one in app.screen_stack if isinstance(one, VenuesScreen)).worker
    for _ in range(1500):
        await pilot.pause(0.01)
        if worker.idle:
            await pilot.pause()
            if worker.idle:
                return
    raise AssertionError("no answer after 15 seconds")


def said(app, number):
    return str(list(app.screen.query(Card))[number].query_one(".said", Static).render())


def of_job(app):
    return str(app.screen.query_one("#job-lines-text", Static).render())


def names(app):
    return [one.venue.id for one in app.screen.query(Card)]
