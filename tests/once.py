"""Readings and pictures remembered from one test to the next, for tests of what is made of them."""

import sys
from dataclasses import fields
from functools import cache, wraps

import numpy as np

from planner.optics.store import fingerprint
from planner.picture.kinds import FINER
from planner.picture.view import view
from planner.reading.elsewhere import elsewhere
from planner.reading.matter import FINE, QUICK
from planner.reading.rank import rank
from planner.reading.read import read


class ReadOnce:
    """Does as the planner's `read`, `elsewhere`, `rank` and `view`, and while entered does nothing twice.

    While it is `quick` as well, readings are followed no finer than a first look; while `plain`, pictures are
    grey, for tests that look at none.
    """

    def __init__(self):
        self.entered = self.quick = self.plain = False
        self.known = {}

    def __enter__(self):
        self.entered = True

    def __exit__(self, *_):
        self.entered = self.quick = self.plain = False

    def install(self, patch):
        """Put them in the place of the planner's own, wherever these are used."""

        @wraps(read)
        def read_once(question, grade=FINE):
            grade = QUICK if self.quick else grade
            return self._once(("read", asked(question), grade), lambda: read(question, grade))

        @wraps(elsewhere)
        def elsewhere_once(question, venues, grade=QUICK):
            venues = tuple(venues)
            key = ("elsewhere", asked(question), venues, grade)
            return iter(self._once(key, lambda: tuple(elsewhere(question, venues, grade))))

        @wraps(rank)
        def rank_once(palette, question, **choices):
            if not {"keep", "told"}.isdisjoint(choices):
                return rank(palette, question, **choices)
            entries = (*palette.stones.values(), *palette.coatings.values(), *palette.cuts.values())
            key = ("rank", asked(question), entries, palette.own, palette.mine, *sorted(choices.items()))
            return self._once(key, lambda: rank(palette, question, **choices))

        @wraps(view)
        def view_once(question, width, height, kind, *, finer=FINER):
            make = lambda: view(question, width, height, kind, finer=finer)  # noqa: E731 - done when it is drawn
            return self._view((asked(question), width, height, kind, finer), make)

        once = {read: read_once, elsewhere: elsewhere_once, rank: rank_once, view: view_once}
        for module in [one for name, one in sys.modules.items() if name.startswith("planner.")]:
            for name, value in [*vars(module).items()]:
                for real, ours in once.items():
                    if value is real:
                        patch.setattr(module, name, ours)

    def _view(self, key, make):
        if self.plain:
            return _Grey(*key[1:3])
        return _DrawnOnce(self, key, make) if self.entered else make()

    def _once(self, key, make):
        if not self.entered:
            return make()
        if key not in self.known:
            self.known[key] = make()
        return self.known[key]


class _Grey:
    """A view without anything on it."""

    def __init__(self, width, height):
        self._size = height, width

    def frame(self, *_turned):
        return np.full((*self._size, 3), 128, np.uint8)


class _DrawnOnce:
    """A view whose frames are remembered, and which is made ready only where one has to be drawn."""

    def __init__(self, memory, key, make):
        self._memory, self._key, self._ready = memory, key, cache(make)

    def frame(self, tilt=0.0, nod=0.0):
        return self._memory._once(
            ("frame", *self._key, tilt, nod), lambda: self._ready().frame(tilt, nod)
        ).copy()

    def __getattr__(self, name):
        return getattr(self._ready(), name)


def asked(question):
    """Return everything that a question asks, as a key."""
    return tuple(
        tuple(_plain(getattr(value, part.name)) for part in fields(value))
        if one.name in {"swatch", "cloth"}
        else value
        for one in fields(question)
        for value in (getattr(question, one.name),)
    )


def _plain(value):
    return fingerprint(value) if isinstance(value, np.ndarray) else repr(value)
