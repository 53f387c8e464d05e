"""Waiting for what is worked out beside the screen, without asking every widget all the time."""

import asyncio

STEP = 0.01
"""Seconds between two looks."""


async def until(pilot, holds, seconds=30.0):
    """Wait until `holds()` with every message answered, or say what screen it never held on."""
    await pilot.pause()
    for _ in range(round(seconds / STEP)):
        if holds():
            await pilot.pause()
            if holds():
                return
        await asyncio.sleep(STEP)
    raise AssertionError(f"not after {seconds:g} seconds, on {pilot.app.screen}")
