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
from planner.colour.grid import WAVELENGTHS, folding
from planner.optics.arrays import Floats
from planner.optics.beams import Beams, view_directions
from planner.optics.cut import Facets, build_cut
from planner.optics.flash import faces
from planner.optics.glass import glass_index, glass_index_d
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
from planner.reading.steps import body_stride, film_stride, stated_absorption
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
    """Steps of the planner's 5 nm grid between two computed wavelengths, where colours change so slowly: 1, 2
    or 4."""
    points: int
    """Positions of a lamp tried for each beam that may flash."""
    events: int = 6_000
    """How many of these are looked at in a venue, all its lamps together."""
    ways: int = 24_000
    """How many ways of lamps that sweep past are there for moments to draw from, all lamps together."""
    moments: int = 512
    """Places and moments of which seen colour is the median."""
    miss: float = 0.03
    """By how much what lies between computed wavelengths may be missed, see `planner.reading.steps`."""

    @property
    def wavelengths(self) -> Floats:
        """(W,) nm at which films are computed."""
        return WAVELENGTHS[:: self.stride]

    @property
    def geometry(self) -> "Grade":
        """The same for beams, which wavelengths have no say in."""
        return replace(self, stride=1)


QUICK = Grade(views=22, rays=580, step=0.25, stride=4, points=2, events=6_000)
"""For ranking a palette and for a first look: glow within a CIEDE2000 of 0.4 in the mean of what many
directions give, and of 1 under a lone followspot or low sun; seen colour within 1.1 in the mean of what many
rays give, and within 3.1 in nineteen of twenty."""

FINE = Grade(views=64, rays=1000, step=0.1, stride=2, points=3, events=120_000, ways=48_000, moments=2048,
             miss=0.005)  # fmt: skip
"""For a single reading: seen colour within a CIEDE2000 of 0.6 in the mean of what many rays give, and within
1.8 in nineteen of twenty; doubling views and rays moves shares of the flash by 0.02 at most."""


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
    stride: int = 1
    """Steps of the planner's grid between two wavelengths at which light is summed."""
    base: "Gem | None" = None
    """The same on those wavelengths alone at which films are computed, if these are more."""


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


def gem(
    stone: Stone, cut: Cut, grade: Grade, lean: Lean = "round the body", wide: float = 1.0, *,
    coating: Coating | None = None,
) -> Gem:  # fmt: skip
    """Return the glass and cut of a stone, and how it leans; the same object for all that share them.

    It serves coatings that need no more wavelengths than `coating` does.
    """
    back: Back = "foil"
    if stone.foil == "none" and not stone.opaque:
        back = "sink" if stone.back == "glued" else "window"
    films = film_stride(coating, grade.stride, grade.miss)
    own = grade if films == grade.stride else replace(grade, stride=films)
    base = _gem(stone.material, stone.foil, back, cut, own, lean, wide)
    return _summed(base, body_stride(stone, films, grade.miss))


@lru_cache(maxsize=128)
def _summed(base: Gem, stride: int) -> Gem:
    """Return a gem whose light is summed at a wavelength for every so many of the planner's grid."""
    return base if stride == base.stride else replace(base, stride=stride, base=base)


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
    shape = Shape(rows, cut.girdle, index_d, back, grade.geometry)
    waviness, wedge = float(np.radians(cut.waviness)), float(np.radians(cut.wedge))
    return Gem(shape, body, glass_index(material, WAVELENGTHS), waviness, wedge, lean, wide, grade.stride)


@lru_cache(maxsize=256)
def widened(stone: Gem, wide: float) -> Gem:
    """Return the same gem where stones lean so many times as widely; the same object every time."""
    if wide == stone.wide:
        return stone
    return replace(stone, wide=wide, base=stone.base and widened(stone.base, wide))


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
    """Return (M, T, W) what the film does to each group of beams in each state; see `summed`."""
    if film.whole is not None:
        return film_factors(stone, coating, film.whole)[:, film.whole.middle]
    return _factors(stone.base or stone, coating, film)


@held
def _factors(stone: Gem, coating: Coating | None, film: States) -> Floats:
    return factors(merged_at(stone, lay_angle(coating))[1], _table(stone, coating, film))


def stacked_factors(stone: Gem, films: Sequence[tuple[Coating | None, States]]) -> Floats:
    """Return (M, T, W) for all states of several coatings, which must have lain alike (`lay_angle`)."""
    return _stacked(stone.base or stone, tuple(films))


@held
def _stacked(stone: Gem, films: tuple[tuple[Coating | None, States], ...]) -> Floats:
    # Many stones of one glass are looked at in several goes, one after another.
    tables = [_table(stone, coating, film) for coating, film in films]
    return factors(merged_at(stone, lay_angle(films[0][0]))[1], joined(tables))


def between(stone: Gem) -> Floats | None:
    """Return (V, W) what turns factors of films into those at the V wavelengths at which light is summed.

    None where they are the same.
    """
    if stone.base is None:
        return None
    return folding(stone.base.stride)[:: stone.stride].astype(np.float32)


def summed(stone: Gem, factors: Floats) -> Floats:
    """Return factors of films (M, T, W) at the wavelengths at which a gem's light is summed."""
    rows = between(stone)
    return factors if rows is None else factors @ rows.T


def _table(stone: Gem, coating: Coating | None, film: States) -> FilmTable:
    classes, _ = merged_at(stone, lay_angle(coating))
    crown, under = (part and _thinned(part, stone.stride) for part in (film.crown, film.under))
    return film_table(WAVELENGTHS[:: stone.stride], stone.body, classes, crown, under)


def _thinned(film: Film, stride: int) -> Film:
    return Film(film.index[:, ::stride], film.thickness, film.evenness)


@lru_cache(maxsize=512)
def absorption(stone: Stone, cut: Cut) -> Floats:
    """Return (W,) natural absorption per mm of a stone's body at its nominal concentration."""
    if stone.opaque:
        return np.full(len(WAVELENGTHS), OPAQUE)
    stated = stated_absorption(stone)
    if stated is not None:
        return stated
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
    wanted = from_hex(colour, basis="invented").reflectance[:: _BY_COLOUR.stride]
    # A stone without foil is judged on white paper, which a foil stands for well enough.
    foil = "silver" if stone.foil == "none" else stone.foil
    glass, millimetres = _gem(stone.material, foil, "foil", cut, _BY_COLOUR), stone_size(seen).nominal_mm
    key = (glass.shape, glass.lean, millimetres, fingerprint(wanted, glass.body.index, glass.body.metal))
    return kept(_Body, key, lambda: _Body(_matched(glass, wanted, millimetres)), _ROOM).absorption


_ROOM = Path(__file__).parent

_BY_COLOUR = replace(QUICK, stride=2)
"""How finely the body of a stone is found that is known by its colour."""


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
    return np.interp(WAVELENGTHS, _BY_COLOUR.wavelengths, found)


def body_factors(stone: Gem, angle: float, body: Floats, millimetres: Floats) -> Floats:
    """Return (S, M, W) internal transmittance for absorptions (S, 81) and diameters (S,), read-only."""
    return _transmitted(
        stone.shape, angle, stone.stride, *(np.asarray(one, float).tobytes() for one in (body, millimetres))
    )


@held
def _transmitted(shape: Shape, angle: float, stride: int, body: bytes, millimetres: bytes) -> Floats:
    # Glow, its ground, flashes and every other lean of the same stones ask for it one after another.
    absorbed = np.frombuffer(body).reshape(-1, len(WAVELENGTHS))[:, ::stride]
    found = transmittance(absorbed, np.frombuffer(millimetres), merged_of(shape, angle)[1].path)
    found.flags.writeable = False
    return found
