"""How a new costume is begun: her stones, the swatch, where and by whom it is worn, then the best match."""

from collections.abc import Sequence
from dataclasses import replace

from planner.app import begin
from planner.app.choose.screen import SwatchScreen
from planner.app.drawer.screen import DrawerScreen
from planner.app.form.screen import FormScreen
from planner.app.palette_app import PaletteApp
from planner.app.photo import own_swatches
from planner.app.state import State
from planner.app.stones.screen import StonesScreen
from planner.app.venues import understood
from planner.app.venues.making import MakingScreen
from planner.assess.begin import Begun, has_own_stones
from planner.catalogue.coating import Coating
from planner.catalogue.own import with_kept
from planner.catalogue.stone import Stone
from planner.lighting.halls import hall_said
from planner.order.drawer import drawer_file


async def new_costume(app: PaletteApp) -> State | None:
    """Ask what must be known of a new costume; None where that was left."""
    if not has_own_stones(app.palette):
        answer = await app.push_screen_wait(begin.NoStonesScreen())
        if answer == "add":
            await show_stones(app, adding=True)
        elif answer != "demo":
            return None
    swatch = next(iter(app.palette.offered.swatches), "")
    texts: dict[str, str] = {}
    venue = None
    while venue is None:  # whoever leaves the form is back at the swatch that was chosen
        screen = SwatchScreen(app.palette, swatch, keep_in=own_swatches.own_file(app.palettes))
        chosen = await app.push_screen_wait(screen)
        app.know(screen.palette)
        if chosen is None:
            return None
        swatch = chosen
        asked = [replace(one, text=texts.get(one.name, one.text)) for one in begin.entries(app.palette)]
        answers = await app.push_screen_wait(FormScreen("New costume", asked))
        if answers is not None:
            texts = dict(answers)
            venue = await _venue(app, texts["venue"])
    found = await app.push_screen_wait(begin.working(app.palette, swatch, venue, texts, app.depth))
    if isinstance(found, str):
        app.notify(found, severity="error", timeout=10)
    if not isinstance(found, Begun):
        return None
    app.notify(begin.told(found), timeout=10)
    return begin.state_of_begun(found, app.palette)


async def _venue(app: PaletteApp, said: str) -> str | None:
    """Return the id of a venue, or of one made from words, which is kept."""
    if (known := begin.venue_of(said, app.palette)) is not None:
        return known
    path = understood.own_file(app.palettes)
    if said.lower() == begin.NEW_VENUE:
        venue = await app.push_screen_wait(MakingScreen(app.palette.venues, path))
    else:
        venue = hall_said(said, app.palette.venues).venue
        understood.keep(venue, path)
    if venue is None:
        return None
    app.know(with_kept(app.palette, path))
    return venue.id


async def show_drawer(app: PaletteApp) -> None:
    """Show what she owns, lot by lot."""
    await app.push_screen_wait(DrawerScreen(app.palette, drawer_file(), app.depth))


async def show_stones(
    app: PaletteApp, used: Sequence[tuple[str, str]] = (), *, adding: bool = False
) -> Stone | Coating | None:
    """Show her stones and coatings; return the one to be taken, if one is."""
    screen = StonesScreen(app.palette, app.palettes, app.depth, used=used, adding=adding)
    found = await app.push_screen_wait(screen)
    app.know(screen.palette)
    return found
