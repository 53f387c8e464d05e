"""Waiting for what goes on on a screen and beside it, without asking every widget all the time."""

import asyncio
from itertools import zip_longest
from time import monotonic

from textual._context import active_app
from textual.css.query import NoMatches
from textual.events import Key
from textual.pilot import WaitForScreenTimeout
from textual.widgets import Input

STEP = 0.01
"""Seconds between two looks."""
MOMENT = 0.001
"""Seconds in which a thread may send what it has done."""


async def until(pilot, holds, seconds=30.0, *, drawn=True):
    """Wait until `holds()` with every message answered, and draw; or say what screen it never held on."""
    await pilot.pause()
    for _ in range(round(seconds / STEP)):
        if holds():
            await pilot.pause()
            if holds():
                if drawn:
                    draw(pilot.app)
                return
        await asyncio.sleep(STEP)
    raise AssertionError(f"not after {seconds:g} seconds, on {pilot.app.screen}")


def draw(app):
    """Draw what has changed on the screen since it was last drawn; a fault in drawing is raised."""
    if app.screen_stack:
        app.screen._compositor.render_update(screen_stack=app._background_screens)


async def all_answered(pilot, timeout=30.0):  # noqa: ASYNC109 - as the library's own has it
    """Wait until every widget has dealt with what was sent to it by now; False where the app has failed.

    The library's pilot sends a message to every widget for that, some hundred with each key.
    """
    app = pilot.app
    try:
        waiting = [app, *app.screen.walk_children(with_self=True)]
    except Exception:  # noqa: BLE001 - the last screen was left, as the library takes it
        return False
    end = monotonic() + timeout
    while waiting := [one for one in waiting if _busy(one)]:
        if app._exception_event.is_set():
            return False
        if monotonic() > end:
            raise WaitForScreenTimeout(f"still busy: {waiting}")
        await asyncio.sleep(0)
    return True


async def at_rest(*_given):
    """Wait until nothing is left to be done at once, and the screen is laid out; a second at most.

    The library's pilot asks how busy the processor is, which takes it tens of milliseconds with each key, and
    longer where others are busy.
    """
    app, ready = active_app.get(), asyncio.get_running_loop()._ready
    end, still = monotonic() + 1.0, 0
    while still < 2 and monotonic() < end:
        await asyncio.sleep(0)
        if ready:
            still = 0
        elif not app._exit and app.screen_stack and app.screen._update_timer._active.is_set():
            still = 0
            await asyncio.sleep(MOMENT)
        else:
            still += 1
            await asyncio.sleep(MOMENT)


async def too_late():
    """Look for a list that is gone, as work does that was begun on a screen already left."""
    raise NoMatches("the list is gone")


async def press(pilot, *keys):
    """Press keys as the library's pilot does, but draw and wait once for letters typed into one line."""
    app = pilot.app
    for key, after in zip_longest(keys, keys[1:], fillvalue=""):
        if isinstance(app.focused, Input) and _is_letter(key) and _is_letter(after):
            app.post_message(Key(key, key))
            await all_answered(pilot)
        else:
            await app._press_keys([key])
    await all_answered(pilot)


def _is_letter(key):
    return len(key) == 1 and key.isalnum()


def _busy(pump):
    """Say whether a widget runs, and does anything but wait for its next message."""
    queue = pump._message_queue
    return pump._running and not pump._closing and (queue.qsize() > 0 or not queue.ready_event._waiters)
