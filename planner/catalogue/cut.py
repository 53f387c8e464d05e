"""A cut: the shape of a stone, from a few numbers and two honest imperfections."""

import math
from itertools import pairwise
from typing import Annotated, Self

from pydantic import Field, model_validator

from planner.catalogue.fields import Entry, Part, quantity, whole
from planner.refusal import InvalidValue


class Row(Part):
    """A ring of crown facets."""

    facets: Annotated[int, whole("a number of facets", 3, 32)]
    """How many, 3 to 32."""

    angle: Annotated[float, quantity("an angle", "degrees", above=0.0, below=90.0)]
    """From the plane of the table, degrees, above 0 and below 90."""

    inner: Annotated[float, quantity("an inner radius", "of the girdle's radius", above=0.0, below=1.0)]
    """Radius at which the row ends inwards, as a share of the girdle's radius; the last is the table's."""


class Cut(Entry):
    """A convex crown over a flat back. Lengths are shares of the diameter, so one cut serves every size."""

    rows: Annotated[tuple[Row, ...], Field(min_length=1, max_length=6)]
    """Crown rows from the girdle inwards; each flatter than the one outside it."""

    girdle: Annotated[float, quantity("a girdle", "of the diameter", least=0.0, most=0.2)]
    """Height of the upright side as a share of the diameter, 0 to 0.2."""

    waviness: Annotated[float, quantity("a waviness", "degrees", least=0.0, most=5.0)]
    """Standard deviation of a facet's slope from flat, degrees, 0 to 5."""

    wedge: Annotated[float, quantity("a wedge", "degrees", least=0.0, most=5.0)]
    """Angle between foil and table, degrees, 0 to 5."""

    @property
    def height(self) -> float:
        """From foil to table, as a share of the diameter."""
        outer, height = 1.0, self.girdle
        for row in self.rows:
            height += 0.5 * (outer - row.inner) * math.tan(math.radians(row.angle))
            outer = row.inner
        return height

    @model_validator(mode="after")
    def _convex(self) -> Self:
        for number, (outer, inner) in enumerate(pairwise(self.rows), 1):
            for field, limit, found in (
                ("inner", outer.inner, inner.inner),
                ("angle", outer.angle, inner.angle),
            ):
                if found >= limit:
                    where = f"in rows[{number}], where the row outside it has {limit:g}"
                    raise InvalidValue(
                        f"found {field} = {found:g} {where}; it must be less, row by row inwards"
                    )
        if self.height > 1.0:
            raise InvalidValue(
                f"found a height of {self.height:.2f} diameters; a stone may be at most as tall as wide"
            )
        return self
