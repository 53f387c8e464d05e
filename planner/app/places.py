"""Where else one can go: every screen beside the main one, with its key and how it is opened.

A screen is added by a function that opens it and a line in `PLACES`; the keys of the main screen, the
command palette and the help are made from that table.
"""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from planner.catalogue.coating import NONE

if TYPE_CHECKING:
    from planner.app.planner_app import PlannerApp


@dataclass(frozen=True)
class Place:
    """A screen that can be gone to."""

    name: str
    """What `PlannerApp.action_go` calls it."""

    key: str
    """The key on the main screen; empty where there is none."""

    label: str

    help: str
    """One line on what it is for."""

    opened: Callable[["PlannerApp"], Awaitable[None]]
    """Opens it, waits until it is left and takes what was chosen; raises ValueError with a sentence."""

    footer: bool = False
    """Whether its key stands in the footer, which at 80 columns is full."""

    then: bool = False
    """Whether it is a step after the pairings: those stand under them, to be pressed or clicked."""


async def _costume(app: "PlannerApp") -> None:
    from planner.app.costume.items import answered, entries
    from planner.app.form.screen import FormScreen

    texts = await app.push_screen_wait(FormScreen("The costume", entries(app.state)))
    if texts is not None:
        app.main.apply(answered(app.state, texts))


async def _pairings(app: "PlannerApp") -> None:
    from planner.app.pairings.screen import PairingsScreen

    found = await app.push_screen_wait(PairingsScreen(app.palette, app.state.question()))
    if found is not None:
        coating = found.coating.id if found.coating else NONE
        app.main.apply(app.state.with_line(stone=found.stone.id, coating=coating, size=found.size))


async def _hues(app: "PlannerApp") -> None:
    from planner.app.plots.screen import PlotScreen

    if app.main.look is not None:
        await app.push_screen_wait(PlotScreen(app.main.look.reading))


async def _venues(app: "PlannerApp") -> None:
    from planner.app.venues.opened import opened, taken

    screen = opened(app.state, app.palettes)
    found = await app.push_screen_wait(screen)
    app.know(screen.palette)
    app.main.apply(taken(app.state, app.palette, found))


async def _by_eye(app: "PlannerApp") -> None:
    from planner.app.choose.screen import SwatchScreen
    from planner.app.photo.keep import own_file

    screen = SwatchScreen(app.palette, app.state.job.swatch, keep_in=own_file(app.palettes))
    found = await app.push_screen_wait(screen)
    app.know(screen.palette)
    if found is not None:
        app.main.apply(replace(app.state, palette=app.palette).with_job(swatch=found))


async def _samples(app: "PlannerApp") -> None:
    from planner.app.samples.bench import Pairing
    from planner.app.samples.screen import SamplesScreen

    asked = app.state.question()
    ordered = Pairing(asked.stone, asked.cut, asked.coating, asked.size)
    screen = SamplesScreen(app.palette, ordered, app.palettes)
    await app.push_screen_wait(screen)
    app.know(screen.palette)


async def _cover(app: "PlannerApp") -> None:
    from planner.app.cover.opened import opened

    await app.push_screen_wait(opened(app, _costume))


async def _order(app: "PlannerApp") -> None:
    from planner.app.order.opened import opened

    cover = next((one.key for one in PLACES if one.name == "cover"), "")
    await app.push_screen_wait(opened(app, cover))


async def _brief(app: "PlannerApp") -> None:
    from planner.app.brief.opened import opened

    await app.push_screen_wait(opened(app))


async def _left_behind(app: "PlannerApp") -> None:
    await app.go_on_with_a_draft()


async def _messages(app: "PlannerApp") -> None:
    from planner.app.messages import MessagesScreen

    await app.push_screen_wait(MessagesScreen(app.told))


PLACES: Final = (
    Place("pairings", "p", "Pairings", "all stones with all coatings", _pairings, footer=True),
    Place("hues", "h", "Hues", "how the hue travels, and the spectra", _hues, footer=True),
    Place("venues", "r", "Several venues", "the same in several venues; make a venue from plain words",
          _venues),
    Place("by_eye", "b", "Swatch by eye", "choose the swatch by eye, in words or from a photograph", _by_eye),
    Place("samples", "x", "Samples", "a photographed card of coated stones, or what came of an order",
          _samples),
    Place("cover", "A", "Areas", "where the stones go: how many, from above, weight, hours, how to fix them",
          _cover, then=True),
    Place("order", "f", "Offers and order", "offers side by side, what to ask, and the packs to buy",
          _order, then=True),
    Place("brief", "B", "Client's page", "what the client reads and signs: see it, choose, save it", _brief,
          then=True),
    Place("costume", "j", "Costume", "the job itself: title, days, notes, who wears it, money", _costume),
    Place("left_behind", "y", "Left behind", "unsaved work of earlier: take it up or throw it away",
          _left_behind),
    Place("messages", "g", "Messages", "what was told so far", _messages),
)  # fmt: skip
"""Every place in the order of the help."""
