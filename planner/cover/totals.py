"""What all areas of a job come to: stones, weight, hours."""

from dataclasses import dataclass

from planner.catalogue.palette import Palette
from planner.cover.count import AreaCount, counts, needs, unplaced
from planner.cover.need import Need
from planner.cover.practice import gross_alike
from planner.cover.work import Hours, grams, hours
from planner.job.model import Job, Line


@dataclass(frozen=True)
class Totals:
    """What all areas come to."""

    areas: tuple[AreaCount, ...]
    needed: tuple[Need, ...]
    grams: float
    """Weight of the stones worn, g."""
    hours: Hours
    """Time to set them."""
    unplaced: tuple[Line, ...]
    """Lines that no area takes."""

    @property
    def count(self) -> int:
        """All stones, spares too."""
        return sum(one.count for one in self.needed)

    @property
    def alike(self) -> float:
        """Gross of `planner.cover.practice.COMPARED` that would hide as much cloth."""
        return gross_alike(self.needed)


def totals(job: Job, palette: Palette) -> Totals:
    """Return what the areas of a job come to.

    Raises
    ------
    Refusal
        If an area's stones would overlap.

    """
    needed = needs(job, palette)
    return Totals(counts(job), needed, grams(needed, palette), hours(job, needed), unplaced(job))
