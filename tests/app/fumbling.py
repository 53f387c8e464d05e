"""A person who presses, clicks, pastes and resizes at random, faster than screens can be drawn.

Half of what is done waits for the screen, half comes in bursts that do not, as a key held down does.
"""

import asyncio
import contextlib
import random

from textual import events
from textual.errors import NoWidget
from textual.pilot import OutOfBounds

KEYS = (
    *"sczmlvodwakienthubpjygxAfBrRqNFP", "U", "up", "down", "left", "right", "enter", "enter", "enter",
    "escape", "escape",
    "tab", "shift+tab", "plus", "minus", "comma", "full_stop", "question_mark", "ctrl+s", "ctrl+z",
    "ctrl+n", "ctrl+o", "ctrl+p", "f1", "1", "7", "0", "backspace", "delete", "space", "pageup", "pagedown",
    "home", "end", "left_square_bracket", "slash",
)  # fmt: skip

TYPED = (
    "[/]", "[/AB] [red]", "Blue [AB]", "\x00\x1b[2J", "a\tb\nc", "ẞ" * 300, "1e999", "-0", "nan", "７,５",
    "../../..", "/" * 400, "~nobody/x", "#12", "#2a4b9c", "2027-02-30", "12,5 %", "$&{}", "\u202e\u200f",
    "🧵🧵", "x" * 6000,
    "NaN K phosphor LED 400 lx", "1,000,000,000", "spam.toml", "",
)  # fmt: skip

SIZES = ((20, 6), (80, 24), (100, 40), (300, 100), (40, 12), (1, 1), (133, 8))


async def fumble(app, pilot, rounds, seed, *, sizes=SIZES, leave=False):
    """Do `rounds` things at random; with `leave` the ways out of the planner are tried too."""
    chance = random.Random(seed)  # noqa: S311 - no secret hangs on it
    keys = [one for one in KEYS if leave or one not in {"q", "ctrl+q", "ctrl+c"}]
    for _ in range(rounds):
        if app._exit or app._exception is not None:
            return
        await _once(app, pilot, chance, keys, sizes)


async def _once(app, pilot, chance, keys, sizes):
    what = chance.random()
    if what < 0.45:
        await pilot.press(chance.choice(keys))
    elif what < 0.70:
        burst = [chance.choice(keys)] * 5 if chance.random() < 0.4 else chance.choices(keys, k=4)
        press_at_once(app, burst)
        await asyncio.sleep(0)
    elif what < 0.88:
        at = chance.randrange(max(1, app.size.width)), chance.randrange(max(1, app.size.height))
        # Where the screen just grew smaller, nothing lies under the pointer.
        with contextlib.suppress(NoWidget, OutOfBounds):
            await pilot.click(offset=at, times=chance.choice((1, 1, 2)))
    elif what < 0.96:
        app.screen.post_message(events.Paste(chance.choice(TYPED)))
        await pilot.pause()
    else:
        await pilot.resize_terminal(*chance.choice(sizes))


def press_at_once(app, keys):
    """Press keys and wait for nothing."""
    named = {"enter": "\r", "escape": "\x1b", "space": " ", "tab": "\t"}
    for key in keys:
        app.post_message(events.Key(key, named.get(key, key if len(key) == 1 else None)))
