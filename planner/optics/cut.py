"""The shape of a flat-back: a convex solid cut by planes, from a few numbers.

Lengths are in diameters of the girdle, so one shape serves every size. The foil lies in z = 0 and
the table faces +z. A row of crown facets begins where the row outside it ends.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.optics.arrays import Floats, Ints

BACK = 0
"""Row number of the flat back, where the foil is."""

GIRDLE = 1
"""Row number of the upright sides; crown rows follow from 2, and the table comes last."""


@dataclass(frozen=True)
class Facets:
    """The planes of a cut: a point x is inside where ``normals @ x <= offsets``."""

    normals: Floats
    """(P, 3) outward unit normals."""

    offsets: Floats
    """(P,) distances of the planes from the origin, in diameters."""

    rows: Ints
    """(P,) which row a facet belongs to: `BACK`, `GIRDLE`, crown rows from 2, the table last."""

    height: float
    """From foil to table, in diameters."""

    @property
    def table(self) -> int:
        """Row number of the table."""
        return int(self.rows[-1])

    @property
    def slopes(self) -> Floats:
        """(P,) angle between each facet and the table, radians."""
        return np.arccos(np.clip(self.normals[:, 2], -1.0, 1.0))


def build_cut(rows: Sequence[tuple[int, float, float]], girdle: float) -> Facets:
    """Return the planes of a cut.

    Parameters
    ----------
    rows
        From the girdle inwards: (number of facets, angle to the table in degrees, radius at which
        the row ends as a share of the girdle's radius). The last radius is the table's.
        Neighbouring rows are turned by half a facet.
    girdle
        Height of the upright side, in diameters.

    Raises
    ------
    ValueError
        If a row does not lie inside the one before it.

    """
    normals, offsets, numbers = [np.array([[0.0, 0.0, -1.0]])], [np.zeros(1)], [[BACK]]
    radius, height, turn = 0.5, girdle, 0.0
    sides = _ring(rows[0][0], np.pi / 2, 0.0)
    normals.append(sides)
    offsets.append(np.full(len(sides), radius))
    numbers.append([GIRDLE] * len(sides))
    for number, (count, degrees, inner) in enumerate(rows, GIRDLE + 1):
        if not 0.0 < 0.5 * inner < radius:
            raise ValueError(f"row {number - GIRDLE} of the crown must end inside the row before it")
        slope = np.radians(degrees)
        ring = _ring(count, slope, turn)
        normals.append(ring)
        offsets.append(np.full(count, np.sin(slope) * radius + np.cos(slope) * height))
        numbers.append([number] * count)
        height += (radius - 0.5 * inner) * np.tan(slope)
        radius, turn = 0.5 * inner, turn + np.pi / count
    normals.append(np.array([[0.0, 0.0, 1.0]]))
    offsets.append(np.array([height]))
    numbers.append([len(rows) + GIRDLE + 1])
    return Facets(
        np.concatenate(normals),
        np.concatenate(offsets),
        np.concatenate(numbers).astype(np.int8),
        float(height),
    )


def _ring(count: int, slope: float, turn: float) -> Floats:
    """Return (count, 3) normals leaning outwards by `slope`, evenly round the axis."""
    azimuth = turn + 2.0 * np.pi * np.arange(count) / count
    return np.stack(
        [np.sin(slope) * np.cos(azimuth), np.sin(slope) * np.sin(azimuth), np.full(count, np.cos(slope))],
        axis=1,
    )
