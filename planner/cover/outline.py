"""The outline of an area laid flat as worn: what lies inside, and the curves that lines follow.

Millimetres from the upper left corner of the frame, x to the right, y down. A sleeve is slit and spread
to a trapezium; a triangle stands on its width; a surface known in cm² alone is a square.
"""

import numpy as np

from planner.cover.surface import ellipse_round, sleeve_ends_mm, worn_mm
from planner.job.area import Area
from planner.optics.arrays import Floats

_STEPS = 1440
"""Corners of the polygon that stands for an ellipse."""


def inside(area: Area, points: Floats) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Return which of `points`, (N, 2), lie on the area, (N,)."""
    wide, high = worn_mm(area)
    x, y = points[:, 0], points[:, 1]
    within = (x >= 0.0) & (x <= wide) & (y >= 0.0) & (y <= high)
    if area.shape == "circle":
        return np.asarray(((2.0 * x / wide - 1.0) ** 2 + (2.0 * y / high - 1.0) ** 2) <= 1.0)
    if area.shape == "triangle":
        return np.asarray(within & (np.abs(x - 0.5 * wide) <= 0.5 * wide * y / high))
    if area.shape == "sleeve":
        top, bottom = sleeve_ends_mm(area)
        return np.asarray(within & (np.abs(x - 0.5 * wide) <= 0.5 * (top + (bottom - top) * y / high)))
    return np.asarray(within)


def curves(area: Area, inset_mm: float) -> tuple[Floats, ...]:
    """Return the rows that `planner.cover.surface.edges` measures, as (N, 2) corners from end to end.

    Closed ones end where they begin, but a sleeve's: it is slit, so its ends are straight. A band is
    followed `inset_mm` from its middle.
    """
    wide, high = worn_mm(area)
    match area.shape:
        case "surface":
            return ()
        case "band":
            level = 0.5 * high + inset_mm
            return (np.array([[0.0, level], [wide, level]]),)
        case "circle":
            return (_inside_ellipse(wide, high, inset_mm),)
        case "sleeve":
            top, bottom = sleeve_ends_mm(area)
            change = (bottom - top) * inset_mm / high
            return (
                _level(0.5 * wide, top + change, inset_mm),
                _level(0.5 * wide, bottom - change, high - inset_mm),
            )
        case "triangle":
            side = np.hypot(0.5 * wide, high)
            corners = np.array([[0.5 * wide, 0.0], [wide, high], [0.0, high], [0.5 * wide, 0.0]])
            centre = (wide * corners[0] + side * corners[2] + side * corners[1]) / (wide + 2.0 * side)
            return (centre + (corners - centre) * (1.0 - inset_mm * (wide + 2.0 * side) / (wide * high)),)
    near, right, low = inset_mm, wide - inset_mm, high - inset_mm
    return (np.array([[near, near], [right, near], [right, low], [near, low], [near, near]]),)


def along(curve: Floats, places: Floats) -> Floats:
    """Return the points, (N, 2), at `places` (0 to 1 of its length) of a curve given by its corners."""
    steps = np.hypot(*np.diff(curve, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(steps)])
    return np.stack([np.interp(places * at[-1], at, curve[:, axis]) for axis in (0, 1)], axis=1)


def _level(middle: float, length: float, height: float) -> Floats:
    return np.array([[middle - 0.5 * length, height], [middle + 0.5 * length, height]])


def _inside_ellipse(wide: float, high: float, inset_mm: float) -> Floats:
    """Return the parallel of an ellipse at `inset_mm` inside it."""
    angle = np.linspace(-0.5 * np.pi, 1.5 * np.pi, _STEPS + 1)
    if ellipse_round(wide, high) == 0.0:
        return np.zeros((2, 2))
    out = np.stack([np.cos(angle) / wide, np.sin(angle) / high], axis=1)
    out /= np.linalg.norm(out, axis=1, keepdims=True)
    edge = 0.5 * np.stack([wide * np.cos(angle), high * np.sin(angle)], axis=1)
    return edge - inset_mm * out + 0.5 * np.array([wide, high])
