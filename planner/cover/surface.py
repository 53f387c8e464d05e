"""How large an area is and how long its edge, as worn: stretched over the body."""

import math
from dataclasses import dataclass

from planner.job.area import Area

MM2_PER_CM2 = 100.0


@dataclass(frozen=True)
class Edge:
    """A row that a line of stones can follow."""

    length_mm: float
    """Along the row, mm; 0 where an inner row has no room left."""

    closed: bool
    """Whether its end meets its beginning."""


def worn_mm(area: Area) -> tuple[float, float]:
    """Return the width and the height of an area's frame as worn, mm.

    A band's width is its length along the seam, its height how wide it is (0 where not given). A sleeve
    is slit and spread: its width is the larger of the two ends. A surface known in cm² alone is shown
    square; a motif on no known ground is 0 by 0.
    """
    across, down = 10.0 * area.stretch, 10.0 * area.stretch_down
    match area.shape:
        case "surface":
            side = 10.0 * math.sqrt((area.surface_cm2 or 0.0) * area.stretch * area.stretch_down)
            return side, side
        case "circle":
            return (area.width_cm or 0.0) * across, (area.width_cm or 0.0) * down
        case "band":
            return (area.length_cm or 0.0) * across, (area.width_cm or 0.0) * down
        case "sleeve":
            return max(sleeve_ends_mm(area)), (area.length_cm or 0.0) * down
    return (area.width_cm or 0.0) * across, (area.height_cm or 0.0) * down


def sleeve_ends_mm(area: Area) -> tuple[float, float]:
    """Return how long a sleeve is all round at its upper and its lower end, as worn, mm."""
    around = 10.0 * area.stretch
    return (area.top_around_cm or 0.0) * around, (area.bottom_around_cm or 0.0) * around


def surface_cm2(area: Area) -> float | None:
    """Return the surface of one such area as worn, cm²; None where it is not given.

    A circle on cloth that stretches more one way than the other is an ellipse. A sleeve is the mantle of
    a cone frustum, mean round × slope; slope and round are stretched apart from each other.
    """
    wide, high = worn_mm(area)
    match area.shape:
        case "triangle":
            surface = 0.5 * wide * high
        case "circle":
            surface = 0.25 * math.pi * wide * high
        case "sleeve":
            surface = 0.5 * sum(sleeve_ends_mm(area)) * high
        case _:
            surface = wide * high
    return surface / MM2_PER_CM2 or None


def edges(area: Area, inset_mm: float = 0.0) -> tuple[Edge, ...]:
    """Return the rows that lie `inset_mm` inside the edge of one such area, as worn.

    A band is followed along its length. A sleeve has its two ends; all other shapes one closed edge. A
    triangle is taken as isosceles, because its width and height alone do not tell its sides. A surface
    known in cm² alone has no edge.
    """
    wide, high = worn_mm(area)
    inner_wide, inner_high = wide - 2.0 * inset_mm, high - 2.0 * inset_mm
    match area.shape:
        case "surface":
            return ()
        case "band":
            return (Edge(wide, closed=False),)
        case "sleeve":
            return tuple(Edge(length, closed=True) for length in _rounds(area, high, inset_mm))
        case "triangle":
            round_it = wide + 2.0 * math.hypot(0.5 * wide, high)
            scale = 1.0 - inset_mm * round_it / (wide * high) if wide * high else 0.0
            return (Edge(max(0.0, scale) * round_it, closed=True),)
        case "circle":
            # The parallel of a convex curve at s inside is shorter by 2πs (Steiner's formula).
            length = ellipse_round(wide, high) - 2.0 * math.pi * inset_mm
            return (Edge(length if min(inner_wide, inner_high) > 0.0 else 0.0, closed=True),)
    room = min(inner_wide, inner_high) > 0.0
    return (Edge(2.0 * (inner_wide + inner_high) if room else 0.0, closed=True),)


def edge_mm(area: Area) -> float | None:
    """Return how long the edge of one such area is in all, as worn, mm; None where it has none."""
    return sum(edge.length_mm for edge in edges(area)) or None


def ellipse_round(wide: float, high: float) -> float:
    """Return the circumference of an ellipse of these two diameters.

    S. Ramanujan, "Modular equations and approximations to π", Quart. J. Math. 45 (1914), second formula
    for the ellipse: within 10⁻⁴ for any stretch a job may hold.
    """
    if wide <= 0.0 or high <= 0.0:
        return 0.0
    h = ((wide - high) / (wide + high)) ** 2
    return 0.5 * math.pi * (wide + high) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))


def _rounds(area: Area, slope: float, inset_mm: float) -> tuple[float, float]:
    """Return how long a sleeve is all round at `inset_mm` from either end."""
    if 2.0 * inset_mm >= slope > 0.0:
        return 0.0, 0.0
    top, bottom = sleeve_ends_mm(area)
    change = (bottom - top) * inset_mm / slope
    return top + change, bottom - change
