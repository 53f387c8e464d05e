"""From the garment's areas to stones: how many of each pairing and size its patterns take."""

from planner.cover.count import AreaCount, LineCount, area_count, counts, needs, spares, unplaced
from planner.cover.need import Need
from planner.cover.surface import edge_mm, surface_cm2

__all__ = [
    "AreaCount",
    "LineCount",
    "Need",
    "area_count",
    "counts",
    "edge_mm",
    "needs",
    "spares",
    "surface_cm2",
    "unplaced",
]
