"""What pairings look like: glow and flashes as tristimulus values, for every state of the film."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np

from planner.catalogue.coating import Coating
from planner.colour.grid import folding
from planner.colour.ordered import numbered
from planner.optics.arrays import Floats, Ints
from planner.optics.cut import BACK
from planner.optics.flash import (
    Sightings,
    carried,
    faces,
    fewer,
    flash_colours,
    grouped,
    in_bands,
    sightings,
    spectral_bands,
)
from planner.optics.glow import (
    SMOOTHING,
    glow,
    glow_along,
    incident,
    through_cloth,
    transmittance,
    weighed,
)
from planner.optics.held import held
from planner.optics.light import Light, direction_weights
from planner.optics.moments import Sums, gathered
from planner.optics.sparse import Sparse, starts_of
from planner.optics.store import kept
from planner.reading.matter import (
    Gem,
    Shape,
    beams_of,
    between,
    body_factors,
    even_beams_of,
    film_factors,
    lay_angle,
    merged_at,
    merged_of,
    paths_of,
    summed,
    traced,
)
from planner.reading.scene import Scene, folded, tristimulus_weights
from planner.reading.states import States

MANY = 4
"""Bodies from which on it is quicker to gather light along a few paths than body by body."""


def glow_xyz(
    stone: Gem, coating: Coating | None, film: States, bodies: Floats, millimetres: Floats,
    scenes: Sequence[Scene], cloth: Floats,
) -> Floats:  # fmt: skip
    """Return (T, S, V, 3) tristimulus values of the glow, in cd/m².

    Parameters
    ----------
    stone, coating, film
        Glass and cut, coating (None for none) and the states of its film.
    bodies, millimetres
        (S, 81) absorption per mm and (S,) diameter of S stones of that glass and cut.
    scenes
        V venues.
    cloth
        (81,) reflectance of what the stones sit on.

    """
    factors = film_factors(stone, coating, film)
    return glow_of(stone, lay_angle(coating), factors, bodies, millimetres, scenes, cloth)


def glow_of(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, millimetres: Floats,
    scenes: Sequence[Scene], cloth: Floats,
) -> Floats:  # fmt: skip
    """Return `glow_xyz` for film factors (M, T, W) at hand, of films laid at `angle`."""
    lights = [_lights(stone, angle, one, cloth) for one in scenes]
    return _lit(stone, angle, factors, bodies, millimetres, scenes, cloth, lights)


def glow_and_ground(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, millimetres: Floats, venue: Scene,
    cloth: Floats,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Return (T, S, 3) glow, and the same without what small lamps give; parameters as for `glow_of`."""
    received, eye = _lights(stone, angle, venue, cloth)
    soft = eye.copy()
    soft[list(venue.lamps)] = 0.0
    # What comes of each light is gathered once for both.
    lights = [(received, np.concatenate([eye, soft], axis=-1))]
    both = _lit(stone, angle, factors, bodies, millimetres, [venue], cloth, lights)[:, :, 0]
    return both[..., :3], both[..., 3:]


def _lit(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, millimetres: Floats,
    scenes: Sequence[Scene], cloth: Floats, lights: Sequence[tuple[Floats, Floats]],
) -> Floats:  # fmt: skip
    stride = stone.stride
    if len(bodies) < MANY and stone.base is None:
        found = glow(factors, body_factors(stone, angle, bodies, millimetres), lights).astype(float)
    else:
        paths = paths_of(stone, angle)
        along = transmittance(bodies[:, ::stride], millimetres, paths.nodes)
        found = glow_along(factors, paths, along, lights, between(stone)).astype(float)
    if stone.shape.back != "foil":
        kept = body_factors(stone, angle, bodies, millimetres)
        beams, (_, merged) = beams_of(stone), merged_at(stone, angle)
        index = stone.body.index_d if stone.shape.back == "sink" else None
        own = summed(stone, factors)
        extra = through_cloth(own, kept, beams, merged, cloth, index, folding(stride))
        lit = np.stack([one.white[:, None] * tristimulus_weights() for one in scenes])
        more = np.einsum("tsw,vwx->tsvx", extra, lit)
        found += np.tile(more, found.shape[-1] // more.shape[-1])
    return found


def _lights(stone: Gem, angle: float, venue: Scene, cloth: Floats) -> tuple[Floats, Floats]:
    """Return what each group of beams receives, and how that turns into tristimulus values."""
    from_cloth = (cloth * venue.white)[None, :, None] * tristimulus_weights()
    eye = np.concatenate([venue.eye, from_cloth])
    return _received(stone, angle, venue), folded(eye, stone.stride)


@lru_cache(maxsize=256)
def _received(stone: Gem, angle: float, venue: Scene) -> Floats:
    if stone.base is not None:
        return _received(stone.base, angle, venue)
    return incident(beams_of(stone), merged_at(stone, angle)[1], venue.light)


def soft_lights(venue: Scene) -> Ints:
    """Return which lights of a venue are no small lamps, as numbers of `Scene.light`."""
    return np.delete(np.arange(len(venue.light.lux)), list(venue.lamps))


def ground_by_view(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, millimetres: Floats, venue: Scene,
    cloth: Floats,
) -> Floats:  # fmt: skip
    """Return (D, T, S, 3) what soft light makes of stones' faces in each direction of view, in cd/m².

    It is the same however stones lean, which is how often each view is met; only where the cloth shows
    through does it change a little. Parameters as for `glow_of`.
    """
    soft, stride = soft_lights(venue), stone.stride
    from_cloth = (cloth * venue.white)[None, :, None] * tristimulus_weights()
    eye = folded(np.concatenate([venue.eye[soft], from_cloth]), stride).astype(np.float32)
    kept, beams = body_factors(stone, angle, bodies, millimetres), traced(stone.shape)[1]
    factors = summed(stone, factors)
    carries = weighed(factors, kept, np.concatenate(list(eye), axis=1))
    groups, films, stones, _ = carries.shape
    by_light = carries.reshape(groups, films * stones, len(eye), 3).swapaxes(1, 2)
    found = _soft_by_view(stone.shape, angle, venue) @ by_light.reshape(groups * len(eye), -1)
    found = (found / (beams.share * faces(beams))[:, None]).reshape(-1, films, stones, 3)
    if stone.shape.back != "foil":
        index = stone.body.index_d if stone.shape.back == "sink" else None
        merged = merged_at(stone, angle)[1]
        extra = through_cloth(factors, kept, beams_of(stone), merged, cloth, index, folding(stride))
        found += extra @ (venue.white[:, None] * tristimulus_weights())
    return found


@held
def _soft_by_view(shape: Shape, angle: float, venue: Scene) -> Sparse:
    """Return what directions of view (D rows) have of groups of beams (M times K columns), light by light.

    That is of K lights: the soft ones, then the cloth. A group is seen from few directions.
    """
    beams, soft, light = traced(shape)[1], soft_lights(venue), venue.light
    merged = merged_of(shape, angle)[1]
    some = Light(*(getattr(light, one.name)[soft] for one in fields(light)))
    towards, below = direction_weights(beams.outgoing, beams.views[beams.view], some, SMOOTHING)
    kept, groups, views = beams.weight * (beams.last != BACK), len(merged.path), len(beams.share)
    found, own = numbered(beams.view * groups + merged.of_beam, views * groups)
    lights = [np.bincount(own, kept * column, len(found)) for column in (*towards.T, below)]
    view, group = np.divmod(found, groups)
    columns = group[:, None] * len(lights) + np.arange(len(lights))
    starts = starts_of(len(lights) * np.bincount(view, minlength=views))
    shares = np.stack(lights, axis=1).astype(np.float32)
    return Sparse(starts, columns.astype(np.int32).ravel(), shares.ravel(), groups * len(lights))


@dataclass(frozen=True, eq=False)
class Flashes:
    """The flashes of one small lamp, or of several, in every state of the film."""

    measure: Floats
    """(E,) how often each is met: their sum over those seen is the number at a moment."""

    xyz: Floats
    """(E, T, S, 3) tristimulus values of the stone (or facet) as it flashes, in cd/m²."""

    view: Ints
    """(E,) the direction of view in which it is."""

    radius: Floats
    """(E,) how near to the middle of its reflection a lamp must stand, radians."""

    part: Floats
    """(E,) share of the stone's face that `xyz` is averaged over."""


def flash_xyz(
    stone: Gem, coating: Coating | None, film: States, bodies: Floats, millimetres: Floats,
    venue: Scene, *, by_facet: bool,
) -> Flashes:  # fmt: skip
    """Return all flashes of a venue's small lamps; parameters as for `glow_xyz`.

    With `by_facet` the eye is near enough to see single facets.
    """
    found = sightings_of(stone, lay_angle(coating), venue, by_facet=by_facet)
    return flashes_of(
        stone, lay_angle(coating), film_factors(stone, coating, film), bodies, millimetres, venue, found
    )


def sightings_of(
    stone: Gem, angle: float, venue: Scene, *, by_facet: bool, sweep: float = 0.0
) -> tuple[Sightings, ...]:
    """Return where each small lamp of a venue is seen: standing, or on ways of `sweep` radians.

    By groups of beams, for a film laid at `angle`.
    """
    merged = merged_at(stone, angle)[1]
    found = sightings_by_beam(stone, venue, by_facet=by_facet, sweep=sweep)
    return tuple(grouped(one, merged) for one in found)


def sightings_by_beam(
    stone: Gem, venue: Scene, *, by_facet: bool, sweep: float = 0.0
) -> tuple[Sightings, ...]:
    """Return the same beam by beam, which is the same however a film was laid."""
    return tuple(_seen(stone, venue, lamp, by_facet, sweep) for lamp in venue.lamps)


def flashes_of(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, millimetres: Floats, venue: Scene,
    found: Sequence[Sightings],
) -> Flashes:  # fmt: skip
    """Return the flashes of a venue's lamps, at the positions `found` of each."""
    those = (one.group for one in found)
    number, of = _carried_by_lamp(stone, angle, factors, bodies, millimetres, venue, those)
    own = [np.zeros((0, factors.shape[1], len(bodies), 3), np.float32)]
    for lamp, one in zip(venue.lamps, found, strict=True):
        own.append(flash_colours(replace(one, group=number[one.group]), of(lamp)))
    xyz = np.concatenate(own)
    measure, view, radius, part = places_of(found)
    return Flashes(measure, xyz, view, radius, part)


def _carried_by_lamp(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, millimetres: Floats, venue: Scene,
    those: Iterable[Ints],
) -> tuple[Ints, Callable[[int], Floats]]:  # fmt: skip
    """Return what groups of beams carry of a lamp's light, by its number in `Scene.light`.

    Of the groups only those in one of `those` are looked at; (M,) tells each one's place.
    """
    there = np.zeros(len(factors), bool)
    for some in those:
        there[some] = True
    groups = np.flatnonzero(there)
    kept = body_factors(stone, angle, bodies, millimetres)[:, groups]
    factors = summed(stone, factors[groups])
    bands, _ = spectral_bands(stone.index)
    by_spectrum: dict[bytes, Floats] = {}

    def of(lamp: int) -> Floats:
        key = venue.light.spectra[lamp].tobytes()
        if key not in by_spectrum:
            eye = folded(in_bands(venue.eye[lamp], bands), stone.stride)
            by_spectrum[key] = carried(factors, kept, eye)
        return by_spectrum[key]

    return np.cumsum(there) - 1, of


def in_moments(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, millimetres: Floats, venue: Scene,
    each: Sequence[Sequence[tuple[int, Sums]]],
) -> list[Floats]:  # fmt: skip
    """Return (N, T, S, 3) light of flashes in the moments of each drawing, of lamps by number."""
    those = (sums.group for one in each for _, sums in one)
    number, of = _carried_by_lamp(stone, angle, factors, bodies, millimetres, venue, those)
    return [sum((gathered(sums, number, of(lamp)) for lamp, sums in one), np.zeros(1)) for one in each]


def places_of(found: Sequence[Sightings]) -> tuple[Floats, Ints, Floats, Floats]:
    """Return `measure`, `view`, `radius` and `part` of all lamps' sightings together, (E,) each."""
    one = [(one.measure, one.view, one.radius, one.part) for one in found]
    empty = (np.zeros(0), np.zeros(0, int), np.zeros(0), np.zeros(0))
    measure, view, radius, part = (np.concatenate(all_) for all_ in zip(empty, *one, strict=True))
    return measure, view.astype(int), radius, part


@held
def _seen(stone: Gem, venue: Scene, lamp: int, by_facet: bool, sweep: float = 0.0) -> Sightings:
    _, ratio, larger = even_beams_of(stone)
    index = tuple(spectral_bands(stone.index)[1].tolist())
    found = _followed(stone.shape, index, stone.waviness, stone.wedge, venue, lamp, by_facet, sweep)
    often = found.measure * ratio[found.view]
    if by_facet:
        return replace(found, measure=often)
    return replace(
        found, measure=often, gain=found.gain / np.float32(larger), part=found.part * np.float32(larger)
    )


@held
def _followed(
    shape: Shape, index: tuple[float, ...], waviness: float, wedge: float, venue: Scene, lamp: int,
    by_facet: bool, sweep: float = 0.0,
) -> Sightings:  # fmt: skip
    """Return where a lamp is seen beam by beam, however the film was laid and stones lean: it serves all."""
    grade, light = shape.grade, venue.light
    most = (grade.ways if sweep else grade.events) // len(venue.lamps)
    parts = (light.lux, light.angle, light.spread, light.size, light.number)
    one = tuple(float(part[lamp]) for part in parts)
    key = (shape, index, waviness, wedge, one, by_facet, most, sweep)

    def make() -> Sightings:
        found = sightings(
            traced(shape)[1], light, lamp, (shape.index, np.array(index)), waviness, wedge,
            # A way crosses many discs: one from each is enough.
            points=1 if sweep else grade.points, by_facet=by_facet, sweep=sweep,
        )  # fmt: skip
        return fewer(found, most)

    return kept(Sightings, key, make)
