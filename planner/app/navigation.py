"""How each screen of `planner.app.places` is opened on the app's job, and what becomes of its answer."""

from collections.abc import Awaitable, Callable
from dataclasses import replace
from typing import Final

from textual import work

from planner.app.fields import FIELDS, MAIN_VENUE
from planner.app.job_app import JobApp
from planner.app.places import COVER_KEY
from planner.catalogue.coating import NONE
from planner.catalogue.stone import Stone
from planner.reading.looks import nearest_size
from planner.reading.of_job import line_question
from planner.refusal import Refusal


class Navigation(JobApp):
    """An app that can go to every place. Screens are imported when they are gone to."""

    @work
    async def action_go(self, name: str) -> None:
        """Go to a place; what cannot be is said in one sentence."""
        try:
            await _OPEN[name](self)
        except Refusal as problem:
            self.notify(str(problem), severity="warning")


async def _costume(app: JobApp) -> None:
    from planner.app.costume_form import answered, entries
    from planner.app.form.screen import FormScreen

    texts = await app.push_screen_wait(FormScreen("The costume", entries(app.state)))
    if texts is not None:
        app.apply(answered(app.state, texts))


async def _pairings(app: JobApp) -> None:
    from planner.app.pairings.screen import PairingsScreen

    found = await app.push_screen_wait(PairingsScreen(app.palette, app.state.question(), app.second))
    if found is not None:
        coating = found.coating.id if found.coating else NONE
        app.apply(app.state.with_line(stone=found.stone.id, coating=coating, size=found.size))


async def _stones(app: JobApp) -> None:
    from planner.app.new_costume import show_stones

    lines = app.state.job.lines
    used = [("stone", one.stone) for one in lines] + [("coating", one.coating) for one in lines]
    found = await show_stones(app, used)
    state = replace(app.state, palette=app.palette)
    if found is not None:
        key = "s" if isinstance(found, Stone) else "c"
        state = next(field for field in FIELDS if field.key == key).choose(state, found.id)
    if isinstance(found, Stone):
        state = state.with_line(size=nearest_size(found, state.pairing.size))
    app.apply(state)


async def _drawer(app: JobApp) -> None:
    from planner.app.new_costume import show_drawer

    await show_drawer(app)


async def _hues(app: JobApp) -> None:
    from planner.app.plots.screen import PlotScreen

    if app.main.answer is None:
        raise Refusal("This pairing is still being worked out; press the key again in a moment.")
    await app.push_screen_wait(PlotScreen(app.main.answer.reading))


async def _venues(app: JobApp) -> None:
    from planner.app.venues.screen import VenuesScreen
    from planner.app.venues.understood import own_file

    job, palette = app.state.job, app.state.palette
    lines = [line_question(job, line, palette) for line in job.lines]
    screen = VenuesScreen(
        palette, lines[app.state.line], lines, venues=job.venues, distance=job.distance,
        keep_in=own_file(app.palettes),
    )  # fmt: skip
    found = await app.push_screen_wait(screen)
    app.know(screen.palette)
    state = replace(app.state, palette=app.palette)
    app.apply(state if found is None else MAIN_VENUE.choose(state, found))


async def _by_eye(app: JobApp) -> None:
    from planner.app.choose.screen import SwatchScreen
    from planner.app.photo.own_swatches import own_file

    screen = SwatchScreen(app.palette, app.state.job.swatch, keep_in=own_file(app.palettes))
    found = await app.push_screen_wait(screen)
    app.know(screen.palette)
    if found is not None:
        app.apply(replace(app.state, palette=app.palette).with_job(swatch=found))


async def _samples(app: JobApp) -> None:
    from planner.app.samples.screen import SamplesScreen
    from planner.app.samples.worker import Pairing

    question = app.state.question()
    ordered = Pairing(question.stone, question.cut, question.coating, question.size)
    screen = SamplesScreen(app.palette, ordered, app.palettes)
    await app.push_screen_wait(screen)
    app.know(screen.palette)


async def _cover(app: JobApp) -> None:
    from planner.app.cover.screen import CoverScreen

    await app.push_screen_wait(CoverScreen(app, app.depth, app.begun, lambda: _costume(app)))


async def _order(app: JobApp) -> None:
    from planner.app.order.screen import OrderScreen
    from planner.order.compare import beside
    from planner.order.drawer import drawer_beside
    from planner.order.heard import heard_file

    palettes = app.palettes
    screen = OrderScreen(
        app, app.second.reserved(), app.depth, bands=beside(palettes), words=heard_file(palettes),
        drawer=drawer_beside(palettes), cover_key=COVER_KEY,
    )  # fmt: skip
    await app.push_screen_wait(screen)


async def _brief(app: JobApp) -> None:
    from planner.app.brief.screen import BriefScreen

    await app.push_screen_wait(BriefScreen(app, app.second.reserved()))


async def _drafts(app: JobApp) -> None:
    await app.recover_a_draft()


async def _messages(app: JobApp) -> None:
    from planner.app.sheets import MessagesScreen

    await app.push_screen_wait(MessagesScreen(app.told))


_OPEN: Final[dict[str, Callable[[JobApp], Awaitable[None]]]] = {
    "pairings": _pairings, "stones": _stones, "drawer": _drawer, "hues": _hues, "venues": _venues,
    "by_eye": _by_eye, "samples": _samples, "cover": _cover, "order": _order, "brief": _brief,
    "costume": _costume, "drafts": _drafts, "messages": _messages,
}  # fmt: skip
