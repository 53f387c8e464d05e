"""A person who presses, clicks, drags, pastes and resizes at random, faster than screens can be drawn.

Most of it comes in bursts that wait for nothing, as a key held down does; now and then the screen is waited
for. Nothing here sleeps until the machine is idle, as Textual's own pilot does after every key: on a busy
machine that takes a second each.
"""

import asyncio
import random

from textual import events
from textual.geometry import Size

KEYS = (
    *"abcdefghijklmnopqrstuvwxyzABDFNPRSUf", "up", "down", "down", "left", "right", "enter", "enter", "enter",
    "enter", "escape", "escape",
    "tab", "tab", "shift+tab", "plus", "minus", "comma", "full_stop", "question_mark", "ctrl+s", "ctrl+z",
    "ctrl+n", "ctrl+o", "ctrl+p", "ctrl+y", "ctrl+t", "ctrl+a", "ctrl+u", "ctrl+k", "ctrl+w",
    "f1", "f2", "f3", "1", "7", "0", "backspace", "delete",
    "space", "pageup", "pagedown", "home", "end", "left_square_bracket", "slash",
)  # fmt: skip

LEAVING = frozenset({"q", "ctrl+q", "ctrl+c"})

COMMANDS = (
    "stones", "drawer", "pairings", "hues", "venues", "by eye", "samples", "areas", "order", "page",
    "costume", "unsaved", "messages", "theme", "near", "turn", "undo", "redo", "save", "help", "add", "take",
    "[/]", "zzz",
)  # fmt: skip
"""What is looked for in the list of commands."""

TYPED = (
    "[/]", "[/AB] [red]", "Blue [AB]", "\x00\x1b[2J", "a\tb\nc", "ẞ" * 300, "1e999", "-0", "nan", "７,５",
    "../../..", "/" * 400, "~nobody/x", "#12", "#2a4b9c", "2027-02-30", "12,5 %", "$&{}", "\u202e\u200f",
    "🧵🧵", "x" * 6000,
    "NaN K phosphor LED 400 lx", "1,000,000,000", "spam.toml", "",
    "tungsten 3200 K 300 lx", "navy", "12", "0.5", "40", "1440", "EUR", "2031-05-01", "hoop", "stones.toml",
)  # fmt: skip

SIZES = ((20, 6), (80, 24), (100, 40), (300, 100), (40, 12), (1, 1), (133, 8))

_NAMED = {
    "enter": "\r",
    "escape": "\x1b",
    "space": " ",
    "tab": "\t",
    "left_square_bracket": "[",
    "slash": "/",
}
_WAITING = 300
"""Messages of the app that may wait before the screen is waited for."""


class Fumbler:
    """Does things at random; with `leave` the ways out of the planner are tried too."""

    def __init__(self, seed, *, sizes=SIZES, leave=False):
        self._chance = random.Random(seed)  # noqa: S311 - no secret hangs on it
        self._keys = [one for one in KEYS if leave or one not in LEAVING]
        self._sizes = sizes
        self.done = 0
        """Keys pressed so far; a click, a turn of the wheel, a paste or a size counts as one."""

    async def once(self, app, pilot):
        """Do one thing, and return what."""
        chance = self._chance
        (what,) = chance.choices(
            (self._keys_at_once, self._held, self._command, self._click, self._drag, self._paste, self._size),
            (40, 10, 5, 22, 4, 12, 3),
        )
        did = what(app)
        self.done += len(did) if isinstance(did, list) else 1
        if app._message_queue.qsize() > _WAITING or chance.random() < 0.15:
            await pilot.pause(0)
        else:
            for _ in range(chance.choice((0, 1, 3, 10, 30))):
                await asyncio.sleep(0)
        return did

    def _keys_at_once(self, app):
        return press_at_once(app, self._chance.choices(self._keys, k=self._chance.choice((1, 1, 2, 4, 8))))

    def _held(self, app):
        return press_at_once(app, [self._chance.choice(self._keys)] * self._chance.randrange(2, 12))

    def _command(self, app):
        name = self._chance.choice(COMMANDS)
        return press_at_once(
            app, ["escape", "ctrl+p", *name, self._chance.choice(("enter", "down")), "enter"]
        )

    def _click(self, app):
        at = self._place(app)
        for _ in range(self._chance.choice((1, 1, 2, 3))):
            _mouse(app, events.MouseMove, at, 0)
            _mouse(app, events.MouseDown, at)
            _mouse(app, events.MouseUp, at)
        return at

    def _drag(self, app):
        at, to = self._place(app), self._place(app)
        if self._chance.random() < 0.5:
            _mouse(app, self._chance.choice((events.MouseScrollDown, events.MouseScrollUp)), at, 0)
            return at
        _mouse(app, events.MouseDown, at)
        for _ in range(3):
            _mouse(app, events.MouseMove, self._place(app))
        _mouse(app, events.MouseUp, to)
        return at, to

    def _paste(self, app):
        text = self._chance.choice(TYPED)
        app.post_message(events.Paste(text))
        if text and self._chance.random() < 0.5:
            press_at_once(app, [self._chance.choice(("enter", "tab", "down"))])
        return text

    def _size(self, app):
        size = self._chance.choice(self._sizes)
        # As the driver does it, which keeps no more than the newest.
        app._driver._size = size
        app.post_message(events.Resize(Size(*size), Size(*size)))
        return size

    def _place(self, app):
        width, height = app.size
        return self._chance.randrange(max(1, width)), self._chance.randrange(max(1, height))


async def fumble(app, pilot, rounds, seed, *, leave=False):
    """Do `rounds` things at random, and return how many keys that were."""
    fumbler = Fumbler(seed, leave=leave)
    for _ in range(rounds):
        if app._exit or app._exception is not None:
            break
        await fumbler.once(app, pilot)
    return fumbler.done


def press_at_once(app, keys):
    """Press keys, wait for nothing, and return them."""
    for key in keys:
        app.post_message(events.Key(key, _NAMED.get(key, key if len(key) == 1 else None)))
    return keys


def _mouse(app, kind, at, button=1):
    """Let the mouse do something, as the driver tells it."""
    x, y = at
    app.post_message(kind(None, x, y, 0, 0, button, False, False, False, x, y))
