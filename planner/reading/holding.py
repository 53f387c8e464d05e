"""What share of lots holds a swatch's colour, worked out when somebody asks: few answers tell all of it."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from planner.colour.difference import delta_e
from planner.colour.names import family_index
from planner.colour.ordered import quantiles
from planner.colour.words import shift_words
from planner.optics.arrays import Floats, Ints
from planner.reading.doubt import Doubt, spread_about
from planner.reading.drift import within
from planner.reading.lots import Draws

AGREE = 0.75
"""Share of lots that must differ the same way for it to be said of "most"."""


@dataclass(frozen=True, eq=False)
class Targets:
    """What colour a swatch has for each of N lots, where its own is in doubt; else the one that it has."""

    lab: Floats
    """(N, 3) or (3,) CIELAB."""
    families: Ints
    """(N,) or () hue family of each."""


@dataclass(frozen=True, eq=False)
class Lots:
    """What a share of lots does; shares from 0 to 1. Few answers tell all of it, so it waits to be asked."""

    lab: Floats
    """(N, 3) CIELAB of every lot drawn."""
    swatch: Floats
    """(3,) CIELAB."""
    targets: Targets
    tolerance: str | float

    @cached_property
    def within_tolerance(self) -> float:
        """Share that holds, the swatch itself being known only so well."""
        return float(within(self.lab, self.targets.lab, self.tolerance).mean())

    @cached_property
    def same_hue_family(self) -> float:
        """Share that keeps the swatch's hue family, likewise."""
        return float((family_index(self.lab) == self.targets.families).mean())

    @cached_property
    def dE00(self) -> tuple[float, float, float]:  # noqa: N802 - the name the standard gives it
        """CIEDE2000 from the swatch in the 10th, 50th and 90th lot of a hundred, likewise."""
        low, half, high = quantiles(delta_e(self.lab, self.targets.lab), (0.1, 0.5, 0.9)).tolist()
        return low, half, high

    @cached_property
    def towards(self) -> str:
        """How most lots differ from the swatch in hue, in words; empty where they do not agree."""
        mean = self.lab.mean(axis=0)
        apart = mean - self.swatch
        along = (self.lab - self.swatch) @ apart
        agreed = (along > 0).mean() >= AGREE and delta_e(mean, self.swatch) > 2
        return shift_words(self.swatch, mean) if agreed else ""


@lru_cache(maxsize=64)
def targets(doubt: Doubt, swatch: tuple[float, float, float], lots: Draws) -> Targets:
    """Return what colour a swatch has for each lot: the same for every pairing beside it."""
    found, covariance = np.array(swatch), doubt.covariance
    if covariance.any():
        found = spread_about(found, lots.swatch, covariance)
    return Targets(found, family_index(found))
