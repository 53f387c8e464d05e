"""The room that stones mirror: its lighter and darker parts, and the head of whoever looks closely.

A venue's surround is even, and so is the light that a reading takes: only its mean counts there. A
picture of a stone near by would look like plastic in it, since what an eye takes for glass is a room in
its facets. So a picture's surround is a made-up room of the same mean. Real places have log luminances
whose spectrum falls with about the square of the angular frequency (R. Dror, A. Willsky & E. Adelson,
"Statistical characterization of real-world illumination", Journal of Vision 4, 2004; from memory), which
is equal variance in every octave of size; ours is made so, from waves of five lengths.
"""

from functools import cache

import numpy as np

from planner.optics.arrays import Floats
from planner.optics.beams import even_points

UNEVEN = 0.55
"""Standard deviation of the natural logarithm of the room's luminance, its lamps left out (our choice)."""

UPPER = 0.35
"""How much lighter the log luminance is straight up than level, and darker straight down (our choice)."""

HEAD = np.radians(12.0)
"""Half angle of the viewer's head: 17 cm across, hair and all, at 40 cm (common measures, no source)."""

FACE = 0.35
"""Luminance of the viewer's face and hair beside that of the room's mean (our choice)."""

_WIDTHS = (1.0, 0.5, 0.25, 0.125, 0.0625)
"""Radians by which a wave's phase turns by one: sizes of what is lighter or darker, an octave apart."""

_WAVES = 24
"""Waves of each length, running every way."""

_CELLS = 96
"""Cells along each edge of the map of all directions."""


def lit(directions: Floats, *, head: bool) -> Floats:
    """Return (R,) luminance of the room in (R, 3) directions beside its mean; (0, 0, 1) is the viewer's.

    With `head` the viewer is near enough for the own head to be mirrored.
    """
    x, y = _folded(directions)
    place = (np.stack([y, x]) * (0.5 * _CELLS) + 0.5 * _CELLS).astype(np.int32).clip(0, _CELLS - 1)
    return _map(head)[place[0], place[1]]


def _folded(directions: Floats) -> tuple[Floats, Floats]:
    """Return where directions lie on a square from -1 to 1: the octahedron, its lower faces turned out."""
    size = np.abs(directions).sum(axis=-1)
    x, y = directions[..., 0] / size, directions[..., 1] / size
    behind = directions[..., 2] < 0.0
    out_x, out_y = np.copysign(1.0 - np.abs(y), x), np.copysign(1.0 - np.abs(x), y)
    return np.where(behind, out_x, x), np.where(behind, out_y, y)


@cache
def _map(head: bool) -> Floats:
    at = (np.arange(_CELLS) + 0.5) / (0.5 * _CELLS) - 1.0
    x, y = np.meshgrid(at, at)
    z = 1.0 - np.abs(x) - np.abs(y)
    under = np.maximum(-z, 0.0)
    way = np.stack([x - np.copysign(under, x), y - np.copysign(under, y), z], axis=-1)
    way /= np.linalg.norm(way, axis=-1, keepdims=True)
    # A cell near a corner of the octahedron covers more of the sky than one amid a face.
    solid = np.abs(way).sum(axis=-1) ** 3
    room = np.exp(UNEVEN * _uneven(way) + UPPER * way[..., 1])
    room /= (room * solid).sum() / solid.sum()
    if head:
        away = np.arccos(np.clip(way[..., 2], -1.0, 1.0))
        edge = ((away - HEAD) / np.radians(1.5)).clip(-0.5, 0.5) + 0.5
        room = FACE + edge * (room - FACE)
    return room.astype(np.float32)


def _uneven(way: Floats) -> Floats:
    """Return a made-up field over directions with mean 0, variance 1 and as much of it in every octave."""
    total = np.zeros(way.shape[:-1])
    first, second = even_points(_WAVES)
    for octave, width in enumerate(_WIDTHS):
        up, turn = 2.0 * first - 1.0, 2.0 * np.pi * (second + 0.37 * octave)
        level = np.sqrt(1.0 - up**2)
        along = np.stack([level * np.cos(turn), up, level * np.sin(turn)], axis=1) / width
        phase = 2.0 * np.pi * ((np.arange(_WAVES) * 0.7548776662 + 0.31 * octave) % 1.0)
        field = np.cos(way @ along.T + phase).sum(axis=-1)
        total += (field - field.mean()) / field.std()
    return total / np.sqrt(len(_WIDTHS))
