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
    "ctrl+n", "ctrl+o", "ctrl+p", "ctrl+y", "ctrl+t", "f1", "f2", "f3", "1", "7", "0", "backspace", "delete",
    "space", "pageup", "pagedown", "home", "end", "left_square_bracket", "slash",
)  # fmt: skip

TYPED = (
    "[/]", "[/AB] [red]", "Blue [AB]", "\x00\x1b[2J", "a\tb\nc", "ẞ" * 300, "1e999", "-0", "nan", "７,５",
    "../../..", "/" * 400, "~nobody/x", "#12", "#2a4b9c", "2027-02-30", "12,5 %", "$&{}", "\u202e\u200f",
    "🧵🧵", "x" * 6000,
    "NaN K phosphor LED 400 lx", "1,000,000,000", "spam.toml", "",
)  # fmt: skip

SIZES = ((20, 6), (80, 24), (100, 40), (300, 100), (40, 12), (1, 1), (133, 8))


class Fumbler:
    """Does things at random; with `leave` the ways out of the planner are tried too."""

    def __init__(self, seed, *, sizes=SIZES, leave=False):
        self._chance = random.Random(seed)  # noqa: S311 - no secret hangs on it
        self._keys = [one for one in KEYS if leave or one not in {"q", "ctrl+q", "ctrl+c"}]
        self._sizes = sizes
        self.done = 0
        """Keys pressed so far; a click, a paste or a size counts as one."""

    async def once(self, app, pilot):
        """Do one thing, and return what."""
        what, chance = self._chance.random(), self._chance
        self.done += 1
        if what < 0.45:
            did = chance.choice(self._keys)
            await pilot.press(did)
        elif what < 0.70:
            keys = self._keys
            did = [chance.choice(keys)] * 5 if chance.random() < 0.4 else chance.choices(keys, k=4)
            self.done += len(did) - 1
            press_at_once(app, did)
            await asyncio.sleep(0)
        elif what < 0.88:
            did = chance.randrange(max(1, app.size.width)), chance.randrange(max(1, app.size.height))
            # Where the screen just grew smaller, nothing lies under the pointer.
            with contextlib.suppress(NoWidget, OutOfBounds):
                await pilot.click(offset=did, times=chance.choice((1, 1, 2)))
        elif what < 0.96:
            did = chance.choice(TYPED)
            app.screen.post_message(events.Paste(did))
            await pilot.pause()
        else:
            did = chance.choice(self._sizes)
            await pilot.resize_terminal(*did)
        return did


async def fumble(app, pilot, rounds, seed, *, leave=False):
    """Do `rounds` things at random."""
    fumbler = Fumbler(seed, leave=leave)
    for _ in range(rounds):
        if app._exit or app._exception is not None:
            return
        await fumbler.once(app, pilot)


def press_at_once(app, keys):
    """Press keys and wait for nothing."""
    named = {"enter": "\r", "escape": "\x1b", "space": " ", "tab": "\t"}
    for key in keys:
        app.post_message(events.Key(key, named.get(key, key if len(key) == 1 else None)))
