"""Stones and coatings as arrays: glass, body colour, and what a film does to beams in each of its states."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.catalogue.sizes import size as stone_size
from planner.catalogue.stone import Stone
from planner.colour.grid import WAVELENGTHS, resample
from planner.optics.arrays import Floats
from planner.optics.beams import Beams, view_directions
from planner.optics.cut import Facets, build_cut
from planner.optics.flash import faces
from planner.optics.glass import (
    absorption_from_transmittance,
    body_absorption,
    glass_index,
    glass_index_d,
)
from planner.optics.glow import transmittance
from planner.optics.held import held
from planner.optics.lean import Lean, lean_share
from planner.optics.materials import refractive_index
from planner.optics.merge import Classes, Merged, merge, off_axis, on_axis
from planner.optics.paths import Paths, few_paths
from planner.optics.store import fingerprint, is_kept, kept
from planner.optics.table import Film, FilmTable, GlassBody, factors, film_table, joined
from planner.optics.trace import Back, trace
from planner.reading.states import BARE, States
from planner.swatch.resolve import from_hex

_METALS = {"silver": "Ag", "aluminium": "Al"}

OPAQUE = 1e4
"""Absorption per mm of a body that lets nothing through."""


@dataclass(frozen=True)
class Grade:
    """How finely stones are followed."""

    views: int
    """Directions of view."""
    rays: int
    """Rays aimed at the stone in each."""
    step: float
    """Step of the cosine within which beams are merged."""
    stride: int
    """Steps of the planner's 5 nm grid between two computed wavelengths."""
    points: int
    """Positions of a lamp tried for each beam that may flash."""
    events: int = 6_000
    """How many of these are looked at in a venue, all its lamps together."""
    ways: int = 24_000
    """How many ways of lamps that sweep past are there for moments to draw from, all lamps together."""
    moments: int = 512
    """Places and moments of which seen colour is the median."""

    @property
    def wavelengths(self) -> Floats:
        """(W,) nm at which films and bodies are computed."""
        return WAVELENGTHS[:: self.stride]


QUICK = Grade(views=48, rays=300, step=0.25, stride=2, points=2, events=6_000)
"""For ranking a palette and for a first look: glow within a CIEDE2000 of about 0.5 of `FINE`, and
within 1.5 under a lone followspot."""

FINE = Grade(views=256, rays=400, step=0.1, stride=1, points=3, events=120_000, ways=48_000, moments=2048)
"""For a single reading: doubling views and rays moves shares of the flash by about 0.01."""


@dataclass(frozen=True, eq=False)
class Gem:
    """A stone's glass and cut, ready for any film, size and light; many stones may share one."""

    shape: "Shape"
    body: GlassBody
    index: Floats
    """(81,) refractive index over the whole grid, by which white light is spread."""
    waviness: float
    """radians"""
    wedge: float
    """radians"""
    lean: Lean = "round the body"
    """Where on a garment it sits."""
    wide: float = 1.0
    """How widely stones lean there, beside what is usual."""


@dataclass(frozen=True)
class Shape:
    """What beams depend on; a key."""

    rows: tuple[tuple[int, float, float], ...]
    girdle: float
    index: float
    back: Back
    grade: Grade


@held
def traced(shape: Shape) -> tuple[Facets, Beams]:
    """Return the facets and the beams of a shape, as if all leans were seen alike (followed once)."""
    facets, grade = build_cut(shape.rows, shape.girdle), shape.grade
    anew = lambda: trace(facets, shape.index, grade.views, grade.rays, shape.back)  # noqa: E731 - what to keep
    return facets, kept(Beams, _beams_key(shape), anew)


def is_traced(shape: Shape) -> bool:
    """Say whether the beams of a shape are in the store."""
    return is_kept(Beams, _beams_key(shape))


def _beams_key(shape: Shape) -> object:
    return shape.rows, shape.girdle, shape.index, shape.back, shape.grade.views, shape.grade.rays


@held
def merged_of(shape: Shape, angle: float) -> tuple[Classes, Merged]:
    """Return facets by the thickness of a film laid at `angle` (radians), and the beams merged (once)."""
    facets, views = build_cut(shape.rows, shape.girdle), shape.grade.views
    classes = off_axis(facets, views, angle) if angle else on_axis(facets, views)
    key = (
        shape.rows,
        shape.girdle,
        shape.index,
        shape.back,
        views,
        shape.grade.rays,
        shape.grade.step,
        angle,
    )
    return classes, kept(Merged, key, lambda: merge(traced(shape)[1], classes, shape.grade.step))


def gem(stone: Stone, cut: Cut, grade: Grade, lean: Lean = "round the body", wide: float = 1.0) -> Gem:
    """Return the glass and cut of a stone, and how it leans; the same object for all that share them."""
    back: Back = "foil"
    if stone.foil == "none" and not stone.opaque:
        back = "sink" if stone.back == "glued" else "window"
    return _gem(stone.material, stone.foil, back, cut, grade, lean, wide)


@lru_cache(maxsize=128)
def _gem(
    material: str,
    foil: str,
    back: Back,
    cut: Cut,
    grade: Grade,
    lean: Lean = "round the body",
    wide: float = 1.0,
) -> Gem:
    index_d = glass_index_d(material)
    rows = tuple((row.facets, row.angle, row.inner) for row in cut.rows)
    wavelengths = grade.wavelengths
    metal = refractive_index(_METALS[foil], wavelengths) if foil in _METALS else None
    body = GlassBody(index_d, glass_index(material, wavelengths), metal, window=back == "window")
    shape = Shape(rows, cut.girdle, index_d, back, grade)
    return Gem(shape, body, glass_index(material, WAVELENGTHS), float(np.radians(cut.waviness)), float(np.radians(cut.wedge)), lean, wide)


@lru_cache(maxsize=256)
def widened(stone: Gem, wide: float) -> Gem:
    """Return the same gem where stones lean so many times as widely; the same object every time."""
    return stone if wide == stone.wide else replace(stone, wide=wide)


def beams_of(stone: Gem) -> Beams:
    """Return the beams of a gem (followed once), weighed by how it leans."""
    return _leaning(stone.shape, stone.lean, stone.wide)[0]


def even_beams_of(stone: Gem) -> tuple[Beams, Floats, float]:
    """Return its beams as if all leans were seen alike, and what makes them those of `beams_of`.

    That is (D,) how much more often each view is seen, and how much larger the mean face is.
    """
    _, ratio, larger = _leaning(stone.shape, stone.lean, stone.wide)
    return traced(stone.shape)[1], ratio, larger


@held
def _leaning(shape: Shape, lean: Lean, wide: float) -> tuple[Beams, Floats, float]:
    beams = traced(shape)[1]
    face = faces(beams)
    share = np.maximum(_leans(shape.grade.views, lean, wide), 1e-9) / face
    share /= share.sum()
    ratio, larger = share / beams.share, float(share @ face)
    weight = beams.weight * (ratio / larger)[beams.view]
    return replace(beams, share=share, weight=weight), ratio, larger


@lru_cache(maxsize=64)
def _leans(views: int, lean: Lean, wide: float) -> Floats:
    """Return (D,) how much of the picture is seen in each direction of view, whatever the cut."""
    angles = np.arccos(np.clip(view_directions(views)[0][:, 2], -1.0, 1.0))
    return lean_share(angles, lean, wide)


def lay_angle(coating: Coating | None) -> float:
    """Return how far off axis a coating's source was, radians."""
    return float(np.radians(coating.lay.angle)) if coating and coating.where != "foil" else 0.0


def merged_at(stone: Gem, angle: float) -> tuple[Classes, Merged]:
    """Return facets by film thickness for a source at `angle`, and the beams merged (once)."""
    return merged_of(stone.shape, angle)


def paths_of(stone: Gem, angle: float) -> Paths:
    """Return a few paths that stand for those of all groups."""
    return _paths(stone.shape, angle)


@lru_cache(maxsize=64)
def _paths(shape: Shape, angle: float) -> Paths:
    return few_paths(merged_of(shape, angle)[1].path)


def film_factors(stone: Gem, coating: Coating | None, film: States) -> Floats:
    """Return (M, T, W) what the film does to each group of beams in each state."""
    if film.whole is not None:
        return film_factors(stone, coating, film.whole)[:, film.whole.middle]
    return _factors(stone, coating, film)


@held
def _factors(stone: Gem, coating: Coating | None, film: States) -> Floats:
    return factors(merged_at(stone, lay_angle(coating))[1], _table(stone, coating, film))


def stacked_factors(stone: Gem, films: Sequence[tuple[Coating | None, States]]) -> Floats:
    """Return (M, T, W) for all states of several coatings, which must have lain alike (`lay_angle`)."""
    return _stacked(stone, tuple(films))


@held
def _stacked(stone: Gem, films: tuple[tuple[Coating | None, States], ...]) -> Floats:
    # Many stones of one glass are looked at in several goes, one after another.
    tables = [_table(stone, coating, film) for coating, film in films]
    return factors(merged_at(stone, lay_angle(films[0][0]))[1], joined(tables))


def _table(stone: Gem, coating: Coating | None, film: States) -> FilmTable:
    classes, _ = merged_at(stone, lay_angle(coating))
    crown, under = (part and _thinned(part, stone.shape.grade.stride) for part in (film.crown, film.under))
    return film_table(stone.shape.grade.wavelengths, stone.body, classes, crown, under)


def _thinned(film: Film, stride: int) -> Film:
    return Film(film.index[:, ::stride], film.thickness, film.evenness)


@lru_cache(maxsize=512)
def absorption(stone: Stone, cut: Cut) -> Floats:
    """Return (W,) natural absorption per mm of a stone's body at its nominal concentration."""
    if stone.opaque:
        return np.full(len(WAVELENGTHS), OPAQUE)
    if stone.colourants is not None:
        return body_absorption(stone.colourants, WAVELENGTHS)
    if stone.spectrum is not None and stone.depth_mm is not None:
        table = np.array(stone.spectrum)
        kept = resample(table[:, 0], table[:, 1]).clip(0.0, 1.0)
        return absorption_from_transmittance(kept, stone.depth_mm)
    if stone.colour is not None and stone.seen_size is not None:
        return _absorption_of_colour(stone, cut, stone.colour, stone.seen_size)
    return np.zeros(len(WAVELENGTHS))


def _absorption_of_colour(stone: Stone, cut: Cut, colour: str, seen: str) -> Floats:
    """Return the absorption with which the uncoated stone has this colour in even light, its gloss left out.

    What the surface mirrors has not met the glass (its path is 0), and nobody counts it in who calls a glass
    burgundy. At each wavelength the mean reflectance of the rest falls steadily with absorption, so the one
    that gives the colour's (recovered) reflectance is found by halving, along a few paths first. A colour
    lighter than the clear stone is read as clear.
    """
    wanted = from_hex(colour, basis="invented").reflectance[:: QUICK.stride]
    # A stone without foil is judged on white paper, which a foil stands for well enough.
    foil = "silver" if stone.foil == "none" else stone.foil
    glass, millimetres = _gem(stone.material, foil, "foil", cut, QUICK), stone_size(seen).nominal_mm
    key = (glass.shape, glass.lean, millimetres, fingerprint(wanted, glass.body.index, glass.body.metal))
    return kept(_Body, key, lambda: _Body(_matched(glass, wanted, millimetres)), _ROOM).absorption


_ROOM = Path(__file__).parent


@dataclass(frozen=True, eq=False)
class _Body:
    """The body of a stone that is known by its colour."""

    absorption: Floats
    """(81,) per mm"""


def _matched(glass: Gem, wanted: Floats, millimetres: float) -> Floats:
    """Return (81,) absorption with which a glass reflects as `wanted` (W,)."""
    beams = beams_of(glass)
    _, merged = merged_at(glass, 0.0)
    share = np.bincount(merged.of_beam, beams.weight, len(merged.path))
    carried = film_factors(glass, None, BARE)[:, 0] * np.where(merged.path > 0.0, share, 0.0)[:, None]
    paths = paths_of(glass, 0.0)
    along, depth = paths.weights.T @ carried, (millimetres * paths.nodes)[:, None]
    low, high = np.zeros(len(wanted)), np.full(len(wanted), 20.0)
    for _ in range(40):
        middle = 0.5 * (low + high)
        lighter = (along * np.exp(-depth * middle)).sum(axis=0) > wanted
        low, high = np.where(lighter, middle, low), np.where(lighter, high, middle)
    # From there, which is as good as a few paths are, two steps along the tangent.
    depth = (millimetres * merged.path)[:, None]
    for _ in range(2):
        left = carried * np.exp(-depth * middle)
        slope = np.maximum((left * depth).sum(axis=0), 1e-12)
        middle = np.clip(middle + (left.sum(axis=0) - wanted) / slope, 0.0, 20.0)
    found = np.where(middle < 1e-6, 0.0, middle)
    return np.interp(WAVELENGTHS, QUICK.wavelengths, found)


def body_factors(stone: Gem, angle: float, body: Floats, millimetres: Floats) -> Floats:
    """Return (S, M, W) internal transmittance for absorptions (S, 81) and diameters (S,), read-only."""
    return _transmitted(
        stone.shape, angle, *(np.asarray(one, float).tobytes() for one in (body, millimetres))
    )


@held
def _transmitted(shape: Shape, angle: float, body: bytes, millimetres: bytes) -> Floats:
    # Glow, its ground, flashes and every other lean of the same stones ask for it one after another.
    absorbed = np.frombuffer(body).reshape(-1, len(WAVELENGTHS))[:, :: shape.grade.stride]
    found = transmittance(absorbed, np.frombuffer(millimetres), merged_of(shape, angle)[1].path)
    found.flags.writeable = False
    return found
