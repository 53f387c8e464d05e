"""What pairings look like: glow and flashes as tristimulus values, for every state of the film."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from planner.catalogue.coating import Coating
from planner.optics.arrays import Floats
from planner.optics.flash import Sightings, carried, fewer, flash_colours, sightings, spectral_bands
from planner.optics.glow import glow, incident, through_cloth
from planner.optics.store import kept
from planner.reading.matter import (
    Gem,
    States,
    beams_of,
    body_factors,
    film_factors,
    lay_angle,
    merged_at,
)
from planner.reading.scene import Scene, folded, tristimulus_weights


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
    kept, stride = body_factors(stone, angle, bodies, millimetres), stone.shape.grade.stride
    found = glow(factors, kept, [_lights(stone, angle, one, cloth) for one in scenes]).astype(float)
    if stone.shape.back != "foil":
        beams, (_, merged) = beams_of(stone), merged_at(stone, angle)
        index = stone.body.index_d if stone.shape.back == "sink" else None
        extra = through_cloth(factors, kept, beams, merged, cloth[::stride], index)
        lit = np.stack([folded(one.white[:, None] * tristimulus_weights(), stride) for one in scenes])
        found += np.einsum("tsw,vwx->tsvx", extra, lit)
    return found


def _lights(stone: Gem, angle: float, venue: Scene, cloth: Floats) -> tuple[Floats, Floats]:
    """Return what each group of beams receives, and how that turns into tristimulus values."""
    from_cloth = (cloth * venue.white)[None, :, None] * tristimulus_weights()
    eye = np.concatenate([venue.eye, from_cloth])
    return _received(stone, angle, venue), folded(eye, stone.shape.grade.stride)


@lru_cache(maxsize=256)
def _received(stone: Gem, angle: float, venue: Scene) -> Floats:
    return incident(beams_of(stone), merged_at(stone, angle)[1], venue.light)


@dataclass(frozen=True, eq=False)
class Flashes:
    """The flashes of one small lamp, or of several, in every state of the film."""

    measure: Floats
    """(E,) how often each is met: their sum over those seen is the number at a moment."""

    xyz: Floats
    """(E, T, S, 3) tristimulus values of the stone (or facet) as it flashes, in cd/m²."""


def flash_xyz(
    stone: Gem, coating: Coating | None, film: States, bodies: Floats, millimetres: Floats,
    venue: Scene, *, by_facet: bool,
) -> Flashes:  # fmt: skip
    """Return all flashes of a venue's small lamps; parameters as for `glow_xyz`.

    With `by_facet` the eye is near enough to see single facets.
    """
    factors = film_factors(stone, coating, film)
    kept = body_factors(stone, lay_angle(coating), bodies, millimetres)
    bands, _ = spectral_bands(stone.body.index)
    measures, colours = [np.zeros(0)], [np.zeros((0, factors.shape[1], len(bodies), 3), np.float32)]
    by_spectrum: dict[bytes, Floats] = {}
    for lamp in venue.lamps:
        spectrum = venue.light.spectra[lamp]
        key = spectrum.tobytes()
        if key not in by_spectrum:
            eye = folded(venue.eye[lamp], stone.shape.grade.stride)
            by_spectrum[key] = carried(factors, kept, eye, bands)
        seen = _seen(stone, lay_angle(coating), venue, lamp, by_facet)
        measures.append(seen.measure)
        colours.append(flash_colours(seen, by_spectrum[key]))
    return Flashes(np.concatenate(measures), np.concatenate(colours))


@lru_cache(maxsize=128)
def _seen(stone: Gem, angle: float, venue: Scene, lamp: int, by_facet: bool) -> Sightings:
    _, index = spectral_bands(stone.body.index)
    grade, light = stone.shape.grade, venue.light
    most = grade.events // len(venue.lamps)
    parts = (light.lux, light.angle, light.spread, light.size, light.number)
    one = tuple(float(part[lamp]) for part in parts)
    key = (stone.shape, angle, index.tolist(), stone.waviness, stone.wedge, one, by_facet, most)

    def make() -> Sightings:
        found = sightings(
            beams_of(stone), merged_at(stone, angle)[1], light, lamp, (stone.body.index_d, index),
            stone.waviness, stone.wedge, points=grade.points, by_facet=by_facet,
        )  # fmt: skip
        return fewer(found, most)

    return kept(Sightings, key, make)
