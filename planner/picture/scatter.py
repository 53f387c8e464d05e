"""Where stones sit on the cloth and how each is turned: the same every time, and in every window.

Stones stand in rows, every second row half a step along, and each is moved at random as far as the
gaps allow. What is random about a stone follows from its place in the rows alone, so a wider
picture shows the same stones and more beside them.
"""

from dataclasses import dataclass

import numpy as np

from planner.optics.arrays import Floats, Ints

LEAN = np.radians(6.0)
"""Standard deviation of how far a stone leans, to the side and forwards: how it was set by hand and
the small folds of the cloth together (our guess)."""

JITTER = 0.9
"""Share of the gap between two stones that their places may use up."""


@dataclass(frozen=True, eq=False)
class Stones:
    """S stones on the cloth."""

    centre: Floats
    """(S, 2) on the cloth, mm, from the middle of the picture; x to the viewer's right, y up."""

    pose: Floats
    """(S, 3, 3) turns a direction from the stone's own frame to the cloth's."""

    wedge: Floats
    """(S,) which way the foil's wedge points in the stone's own frame, radians."""

    chance: Floats
    """(S,) evenly spread over 0..1, by which each stone gets its film thickness."""


def scatter(across: float, high: float, diameter: float, area: float, cover: float) -> Stones:
    """Return the stones of a piece of cloth.

    Parameters
    ----------
    across, high
        Size of the piece, mm; stones are given as far as their middles lie in it.
    diameter
        Largest width of a stone, corner to corner, mm.
    area
        What a stone hides of the cloth, mm².
    cover
        Share of the cloth to be hidden, 0 to 1. Where stones would overlap they stand edge to edge.

    """
    if cover <= 0.0:
        return Stones(np.zeros((0, 2)), np.zeros((0, 3, 3)), np.zeros(0), np.zeros(0))
    pitch = max(np.sqrt(2.0 / np.sqrt(3.0) * area / cover), diameter)
    row_step = pitch * np.sqrt(0.75)
    columns, rows = int(np.ceil(0.5 * across / pitch)) + 2, int(np.ceil(0.5 * high / row_step)) + 2
    row, column = (part.ravel() for part in np.mgrid[-rows : rows + 1, -columns : columns + 1])
    centre = np.stack([(column + 0.5 * (row % 2)) * pitch, row * row_step], axis=1)
    reach = 0.5 * JITTER * (pitch - diameter) * np.sqrt(_chance(row, column, 0))
    way = 2.0 * np.pi * _chance(row, column, 1)
    centre += reach[:, None] * np.stack([np.cos(way), np.sin(way)], axis=1)
    inside = (np.abs(centre) <= [0.5 * across, 0.5 * high]).all(axis=1)
    row, column = row[inside], column[inside]
    # Box and Muller 1958: two normal numbers from two even ones.
    lean = LEAN * np.sqrt(-2.0 * np.log(1.0 - _chance(row, column, 2)))
    lean_way, spin, wedge = (2.0 * np.pi * _chance(row, column, salt) for salt in (3, 4, 5))
    pose = _about_z(lean_way) @ _about_y(lean) @ _about_z(spin - lean_way)
    return Stones(centre[inside], pose, wedge, _chance(row, column, 6))


def _chance(row: Ints, column: Ints, salt: int) -> Floats:
    """Return (S,) numbers from 0 to 1 that depend on the place alone (the mixer of splitmix64)."""
    key = (row.astype(np.int64) * 0x1F1F1F1F + column * 0x3C6EF372 + salt * 0x5851F42D).astype(np.uint64)
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        key = (key ^ (key >> np.uint64(shift))) * np.uint64(factor)
    return (key ^ (key >> np.uint64(31))).astype(float) / 2.0**64


def _about_z(angle: Floats) -> Floats:
    zero, one = np.zeros_like(angle), np.ones_like(angle)
    cos, sin = np.cos(angle), np.sin(angle)
    return np.stack([cos, -sin, zero, sin, cos, zero, zero, zero, one], axis=-1).reshape(*angle.shape, 3, 3)


def _about_y(angle: Floats) -> Floats:
    zero, one = np.zeros_like(angle), np.ones_like(angle)
    cos, sin = np.cos(angle), np.sin(angle)
    return np.stack([cos, zero, sin, zero, one, zero, -sin, zero, cos], axis=-1).reshape(*angle.shape, 3, 3)


def turned(tilt: float, nod: float = 0.0) -> Floats:
    """Return (3, 3) the cloth's frame turned by `tilt` about the vertical, then leant forwards by `nod`.

    Both in radians.
    """
    cos, sin = np.cos(nod), np.sin(nod)
    return np.array([[1.0, 0.0, 0.0], [0.0, cos, -sin], [0.0, sin, cos]]) @ _about_y(np.array(tilt))
