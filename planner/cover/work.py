"""What the stones weigh on the garment, and how long it takes to set them: estimates with their basis."""

import tomllib
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from functools import cache, lru_cache
from typing import Any

import numpy as np

from planner.catalogue.cut import Cut
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size
from planner.catalogue.stone import Material, Stone
from planner.cover.need import Need
from planner.cover.practice import pace
from planner.data import shared
from planner.job.model import Job
from planner.optics.cut import build_cut

_CENT = Decimal("0.01")


@dataclass(frozen=True)
class Hours:
    """Time to set all stones worn, hours of one practised person, and what that costs."""

    least: float
    usual: float
    most: float

    cost: Decimal | None
    """Of the usual time, in the job's currency; None where the job gives no hourly rate."""

    basis: str
    """What the estimate rests on, one sentence."""


def hours(job: Job, needed: tuple[Need, ...]) -> Hours:
    """Return how long setting the stones takes; spares are not set.

    Parameters
    ----------
    job
        Says how they are fixed and what an hour costs.
    needed
        What it needs.

    """
    stones, speed = sum(one.worn for one in needed), pace(job.fixing)
    cost = None
    if job.hourly_rate is not None:
        cost = (job.hourly_rate * stones / speed.usual).quantize(_CENT, ROUND_HALF_EVEN)
    return Hours(stones / speed.fast, stones / speed.usual, stones / speed.slow, cost, speed.says)


def grams(needed: tuple[Need, ...], palette: Palette) -> float:
    """Return what the stones worn weigh, g, without glue: volume of their cut × density of their material."""
    return sum(one.worn * stone_grams(palette.stones[one.stone], one.size, palette) for one in needed)


def stone_grams(stone: Stone, name: str, palette: Palette) -> float:
    """Return what one stone of a size weighs, g."""
    volume = cut_volume(palette.cuts[stone.cut]) * size(name).nominal_mm ** 3
    return volume * density(stone.material) / 1000.0


def density(material: Material) -> float:
    """Return the density of a material, g/cm³; ``shared/stone_densities.toml`` says where it is from."""
    return float(_densities()[material]["density"])


@lru_cache(maxsize=64)
def cut_volume(cut: Cut) -> float:
    """Return the volume of a stone of this cut one unit wide: that of the solid which light is traced in."""
    from scipy.spatial import ConvexHull, HalfspaceIntersection

    facets = build_cut([(row.facets, row.angle, row.inner) for row in cut.rows], cut.girdle)
    planes = np.column_stack([facets.normals, -facets.offsets])
    corners = HalfspaceIntersection(planes, np.array([0.0, 0.0, 0.5 * facets.height])).intersections
    return float(ConvexHull(corners).volume)


@cache
def _densities() -> dict[str, Any]:
    return tomllib.loads(shared("stone_densities.toml").read_text(encoding="utf-8"))
