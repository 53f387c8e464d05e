"""Every candidate film: one layer of a clear oxide or fluoride, and what it makes of a stone's glow.

Films are computed on a coarse grid of thickness and evenness, once per cut and glass, and
interpolated: what a film does to a glow is smooth in both.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.sizes import size as stone_size
from planner.catalogue.stone import Stone
from planner.colour.grid import WAVELENGTHS
from planner.fitting.sight import Placed, even_daylight
from planner.optics.arrays import Floats, Ints
from planner.optics.materials import refractive_index
from planner.optics.table import Film
from planner.reading.look import glow_of
from planner.reading.lots import scale_weights
from planner.reading.matter import Gem, Grade, film_factors, gem, stacked_factors
from planner.reading.read import bodies
from planner.reading.scene import perceived, scene
from planner.reading.states import States

MATERIALS = ("MgF2", "SiO2", "Al2O3", "HfO2", "ZrO2", "TiO2", "TiO2 (denser film)")
"""One for each step of refractive index, 1.38 to 2.44, that coaters of glass commonly lay (common
practice, no source). Others lie between: what an index and a thickness look like, the name hardly
changes."""

GRADE = Grade(views=16, rays=200, step=0.5, stride=2, points=2)
"""Glow in even light is smooth: this differs from the planner's `QUICK` by a mean ΔE00 of 0.1."""

PAPER = 0.85
"""Reflectance of what samples lie on: white paper."""

STONE_SPREAD = Coating.model_fields["stone_spread"].default
"""Relative spread of thickness within a lot, over which a glow is averaged."""

_NODES = np.linspace(40.0, 400.0, 37)
_EVEN_NODES = np.linspace(0.0, 1.0, 5)
_FINE = np.arange(40.0, 400.1, 2.5)
_EVEN_FINE = np.linspace(0.0, 1.0, 9)


@dataclass(frozen=True, eq=False)
class Films:
    """C candidate films; `material` and `step` number rows of `MATERIALS` and of the thicknesses."""

    material: Ints
    """(C,)"""
    step: Ints
    """(C,) place of the thickness in its grid."""
    nm: Floats
    """(C,) thickness on the table."""
    evenness: Floats
    """(C,) 0 lies evenly."""
    index: Floats
    """(C,) refractive index at 550 nm."""

    @property
    def optical(self) -> Floats:
        """(C,) optical thickness at 550 nm, nm."""
        return self.index * self.nm


@lru_cache(maxsize=1)
def films() -> Films:
    """Return all candidates, in the order (material, thickness, evenness)."""
    shape = (len(MATERIALS), len(_FINE), len(_EVEN_FINE))
    material, step, even = (axis.ravel() for axis in np.indices(shape))
    index = np.array([refractive_index(one, [550.0])[0].real for one in MATERIALS])
    return Films(material, step, _FINE[step], _EVEN_FINE[even], index[material])


def film_of(material: str, nm: Floats, evenness: Floats) -> States:
    """Return films of one material, (T,) nm and (T,) evenness, as states without an order."""
    index = refractive_index(material, WAVELENGTHS)[None]
    return States(Film(index, nm[:, None], evenness), None, np.arange(float(len(nm))), np.zeros(1), 0.0, 0)


def glows(placed: Sequence[Placed]) -> list[Floats]:
    """Return, for each stone, (C, B, 3) CIELAB of its glow in even daylight under every candidate.

    B is 1, or 3 for a low, the nominal and a high concentration of the body, `planner.reading.lots.BODY_STEP`
    standard deviations apart.
    """
    nodes = _nodes(tuple((one.stone, one.cut, one.size) for one in placed))
    return [_interpolated(one) for one in nodes]


def bare(placed: Placed) -> Floats:
    """Return (3,) CIELAB of the uncoated stone in even daylight."""
    place = scene(even_daylight())
    glass, body = gem(placed.stone, placed.cut, GRADE), bodies(placed.stone, placed.cut)
    none = States(None, None, np.ones(1), np.zeros(1), 0.0, 0)
    cloth = np.full(len(WAVELENGTHS), PAPER)
    size = np.full(len(body), placed.millimetres)
    xyz = glow_of(glass, 0.0, film_factors(glass, None, none), body, size, (place,), cloth)
    return perceived(xyz[0, len(body) // 2, 0], place)


@lru_cache(maxsize=32)
def _nodes(stones: tuple[tuple[Stone, Cut, str], ...]) -> tuple[Floats, ...]:
    """Return, for each stone, (materials, thickness, evenness, B, 3) tristimulus values at the nodes."""
    found: list[Floats] = [np.empty(0)] * len(stones)
    by_gem: dict[Gem, list[int]] = {}
    for number, (stone, cut, _) in enumerate(stones):
        by_gem.setdefault(gem(stone, cut, GRADE), []).append(number)
    for glass, numbers in by_gem.items():
        body = [bodies(*stones[number][:2]) for number in numbers]
        counts = [len(one) for one in body]
        size = np.repeat([stone_size(stones[number][2]).nominal_mm for number in numbers], counts)
        xyz = _of_gem(glass, np.concatenate(body), size)
        for number, part in zip(numbers, np.split(xyz, np.cumsum(counts)[:-1], axis=3), strict=True):
            found[number] = part
    return tuple(found)


def _of_gem(glass: Gem, body: Floats, size: Floats) -> Floats:
    """Return (materials, thickness, evenness, S, 3) tristimulus values of S bodies at the nodes."""
    place, cloth = scene(even_daylight()), np.full(len(WAVELENGTHS), PAPER)
    shape = (len(MATERIALS), len(_NODES), len(_EVEN_NODES), len(body), 3)
    each = [glow_of(glass, 0.0, _factors(glass, name), body, size, (place,), cloth) for name in MATERIALS]
    return np.concatenate(each).reshape(shape)


@lru_cache(maxsize=2 * len(MATERIALS))
def _factors(glass: Gem, material: str) -> Floats:
    """Return (M, T, W) factors at the nodes; some 10 MB, so that two cuts are kept."""
    nm, evenness = (axis.ravel() for axis in np.meshgrid(_NODES, _EVEN_NODES, indexing="ij"))
    return stacked_factors(glass, [(None, film_of(material, nm, evenness))])


@lru_cache(maxsize=1)
def _weights() -> tuple[Floats, Floats]:
    """Return weights that interpolate in thickness (fine, nodes), smeared over stones, and evenness."""
    thick = [scale_weights(_NODES, np.array([nm]), STONE_SPREAD * nm)[0] for nm in _FINE]
    return np.stack(thick), scale_weights(_EVEN_NODES, _EVEN_FINE, 0.0)


def _interpolated(nodes: Floats) -> Floats:
    """Return (C, S, 3) CIELAB of all candidates from tristimulus values at the nodes."""
    thick, even = _weights()
    xyz = np.einsum("fk,ge,mkesx->mfgsx", thick, even, nodes, optimize=True)
    return perceived(np.maximum(xyz, 0.0).reshape(-1, *xyz.shape[3:]), scene(even_daylight()))
