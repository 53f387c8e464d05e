"""A picture that turns as its wearer does: a loop of frames, and how much of it flashes.

The wearer turns there and back, so each frame but the two furthest serves twice. Frames are drawn when
first wanted and kept; from the second swing on a frame costs nothing.

Flashing light can harm people. WCAG 2.2, success criterion 2.3.1 (W3C 2023, "Three flashes or below
threshold", with its definition of a general flash): a pair of opposing changes of relative luminance by a
tenth of the most or more, the darker below 0.80; no more than three in a second unless what flashes is
less than a quarter of any ten degrees of the view. A picture here is about that large.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from planner.colour.screen import linear_to_srgb, srgb_to_linear
from planner.optics.arrays import Floats
from planner.refusal import InvalidValue

RATE = 16
"""Frames a second: 15 are smooth, and a screen that is now and then late still has them."""

UNHURRIED = 6
"""Frames a second while a loop is not yet known to be calm: six cannot hold more than three flashes."""

SECONDS = 4.0
"""There and back."""

SWING, NOD = 18.0, 6.0
"""Degrees that a wearer turns to either side, and leans forwards and back (our choice)."""

MOST_FLASHING = 0.25
"""Largest share of a picture that may flash more than three times a second."""

_CHANGE, _DARKER = 0.1, 0.8
_LUMINANCE = np.array([0.2126, 0.7152, 0.0722], np.float32)
"""Of WCAG's relative luminance."""

Frames = NDArray[np.uint8]
"""(T, H, W, 3) sRGB."""


def angles(count: int) -> list[tuple[float, float]]:
    """Return (tilt, nod), degrees, of each of `count` frames of a loop."""
    turn = 2.0 * np.pi * np.arange(count) / count
    return [(SWING * float(np.sin(one)), NOD * float(np.cos(2.0 * one))) for one in turn]


class Loop:
    """The frames of one loop, drawn as they are wanted."""

    def __init__(
        self, draw: Callable[[float, float], NDArray[np.uint8]], count: int = int(RATE * SECONDS)
    ) -> None:
        """Take what draws a frame from tilt and nod, and how many frames there are, a multiple of 4."""
        if count < 4 or count % 4:
            raise InvalidValue(f"A loop has a multiple of 4 frames; found {count}.")
        self._draw, self.count = draw, count
        self._angles = angles(count)
        self._kept: dict[int, NDArray[np.uint8]] = {}
        self._calmed: Frames | None = None

    def frame(self, number: int) -> NDArray[np.uint8]:
        """Return a frame, counted round and round."""
        if self._calmed is not None:
            return self._calmed[number % self.count]
        place = self._place(number)
        if place not in self._kept:
            self._kept[place] = self._draw(*self._angles[place])
            if len(self._kept) == self.count // 2 + 1:
                self._calmed = calmed(np.stack([self._kept[self._place(i)] for i in range(self.count)]))
        return self._kept[place]

    def _place(self, number: int) -> int:
        """Return the one of two frames alike that is drawn: the way back is the way there."""
        number = (number + self.count // 4) % self.count
        half = min(number, self.count - number)
        return (half - self.count // 4) % self.count

    @property
    def whole(self) -> bool:
        """Whether all frames are drawn, and known not to flash too much."""
        return self._calmed is not None

    def angle(self, number: int) -> tuple[float, float]:
        """Return (tilt, nod) of a frame, degrees."""
        return self._angles[number % self.count]

    def frames(self) -> Frames:
        """Return all frames."""
        for number in range(self.count):
            self.frame(number)
        assert self._calmed is not None  # noqa: S101  # for the type checker: the last frame sets it
        return self._calmed


def flashing_share(frames: Frames, rate: float = RATE) -> float:
    """Return the largest share of the picture that flashes more than three times within a second.

    `frames` are a loop shown at `rate` frames a second.
    """
    light = srgb_to_linear(np.arange(256) / 255.0).astype(np.float32)[frames] @ _LUMINANCE
    twice = np.concatenate([light, light])
    second = round(rate)
    extreme, rising = twice[0].copy(), np.zeros(twice.shape[1:], int)
    changes = np.zeros(twice.shape, np.int16)
    for place, now in enumerate(twice):
        step = now - extreme
        counted = (np.abs(step) >= _CHANGE) & (np.minimum(now, extreme) < _DARKER)
        turned = counted & (np.sign(step).astype(int) != rising)
        changes[place] = turned
        rising = np.where(turned, np.sign(step).astype(int), rising)
        # Going on in the same way moves the extreme; so does any step in the way last counted.
        extreme = np.where(turned | (step * rising > 0), now, extreme)
    total = np.cumsum(changes, axis=0, dtype=np.int16)
    begun = np.concatenate([np.zeros((second, *total.shape[1:]), np.int16), total[:-second]])
    # More than three pairs of changes.
    return float((total - begun > 6).mean(axis=(1, 2)).max())


def calmed(frames: Frames, rate: float = RATE, most: float = MOST_FLASHING) -> Frames:
    """Return a loop of which no more than `most` flashes over three times a second.

    Where more would, neighbouring frames are run together in linear light, as many as it takes.
    """
    drawn = frames
    for width in range(3, len(frames) + 2, 2):
        if flashing_share(drawn, rate) <= most:
            return drawn
        drawn = _run_together(frames, width)
    return drawn


def _run_together(frames: Frames, width: int) -> Frames:
    light = srgb_to_linear(frames / 255.0).astype(np.float32)
    near = range(-(width // 2), width // 2 + 1)
    mean: Floats = sum((np.roll(light, shift, axis=0) for shift in near), np.zeros(1, np.float32)) / len(near)
    return np.rint(255.0 * linear_to_srgb(mean.clip(0.0, 1.0))).astype(np.uint8)
