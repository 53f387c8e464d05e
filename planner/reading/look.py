"""What pairings look like: glow and flashes as tristimulus values, for every state of the film."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from planner.catalogue.coating import Coating
from planner.optics.arrays import Floats
from planner.optics.flash import Sightings, carried, flash_colours, sightings, spectral_bands
from planner.optics.glow import glow, incident, through_cloth
from planner.reading.matter import (
    Gem,
    States,
    beams_of,
    body_factors,
    film_factors,
    lay_angle,
    merged_at,
)
from planner.reading.scene import Scene, tristimulus_weights


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
        (S, W) absorption per mm and (S,) diameter of S stones of that glass and cut.
    scenes
        V venues.
    cloth
        (W,) reflectance of what the stones sit on.

    """
    factors = film_factors(stone, coating, film)
    kept = body_factors(stone, coating, bodies, millimetres)
    light = np.stack([_incident(stone, coating, one, cloth) for one in scenes])
    found = glow(factors, kept, light, tristimulus_weights()).astype(float)
    if stone.shape.back != "foil":
        beams, (_, merged) = beams_of(stone), merged_at(stone, lay_angle(coating))
        index = stone.body.index_d if stone.shape.back == "sink" else None
        extra = through_cloth(factors, kept, beams, merged, cloth, index)
        lit = np.stack([one.white[:, None] * tristimulus_weights() for one in scenes])
        found += np.einsum("tsw,vwx->tsvx", extra, lit)
    return found


def _incident(stone: Gem, coating: Coating | None, venue: Scene, cloth: Floats) -> Floats:
    return _incident_at(stone, lay_angle(coating), venue, cloth.tobytes())


@lru_cache(maxsize=128)
def _incident_at(stone: Gem, angle: float, venue: Scene, cloth: bytes) -> Floats:
    merged = merged_at(stone, angle)[1]
    return incident(beams_of(stone), merged, venue.light, np.frombuffer(cloth) * venue.white)


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
    kept = body_factors(stone, coating, bodies, millimetres)
    bands, _ = spectral_bands(stone.body.index)
    measures, colours = [np.zeros(0)], [np.zeros((0, factors.shape[1], len(bodies), 3), np.float32)]
    by_spectrum: dict[bytes, Floats] = {}
    for lamp in venue.lamps:
        spectrum = venue.light.spectra[lamp]
        key = spectrum.tobytes()
        if key not in by_spectrum:
            by_spectrum[key] = carried(factors, kept, spectrum, tristimulus_weights(), bands)
        seen = _seen(stone, lay_angle(coating), venue, lamp, by_facet)
        measures.append(seen.measure)
        colours.append(flash_colours(seen, by_spectrum[key]))
    return Flashes(np.concatenate(measures), np.concatenate(colours))


@lru_cache(maxsize=128)
def _seen(stone: Gem, angle: float, venue: Scene, lamp: int, by_facet: bool) -> Sightings:
    _, index = spectral_bands(stone.body.index)
    return sightings(
        beams_of(stone), merged_at(stone, angle)[1], venue.light, lamp, (stone.body.index_d, index),
        stone.waviness, stone.wedge, by_facet=by_facet,
    )  # fmt: skip
