"""How sure a swatch's colour is in a venue: as it is known, as its spectrum is guessed, as its cloth turns.

The first two are doubt, and go away as more is known; the third is the cloth's own, and stays.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, Literal

import numpy as np

from planner.catalogue.cloth import ClothKind, cloth_kinds
from planner.catalogue.venue import Venue
from planner.colour.tristimulus import weights
from planner.optics.arrays import Floats
from planner.optics.beams import view_directions
from planner.optics.lean import lean_share
from planner.optics.light import Light, illuminance
from planner.reading.scene import scene
from planner.swatch.cloth import sheen_at, turned
from planner.swatch.metamers import under
from planner.swatch.resolve import SwatchColour
from planner.swatch.spread import covariance_of, rms

Part = Literal["known", "guess", "turns"]
"""known: the measurement, photograph or typing; guess: the spectrum; turns: the cloth as it moves."""

# Tilts of the garment, directions round the line of sight, and points across a light that is not small.
_TILTS: Final = 48
_ROUND: Final = 8
_ACROSS, _ACROSS_WEIGHTS = np.polynomial.hermite_e.hermegauss(5)


@dataclass(frozen=True, eq=False)
class Doubt:
    """Covariances (3, 3) of a swatch's L*, a*, b* in a venue, after adaptation, by where they come from."""

    lab: Floats
    """(3,) its colour there."""
    known: Floats
    """Of the colour as it was got."""
    guess: Floats
    """Of the spectra that the colour may have: nothing where it was measured, or in daylight."""
    turns: Floats
    """Of the cloth itself as it moves in that light: nothing for matte cloth."""
    sizes: dict[Part, float]
    """Each by itself as a root mean square CIEDE2000."""
    sd: float
    """All of it together, likewise."""

    @property
    def covariance(self) -> Floats:
        """All of it, (3, 3)."""
        return self.known + self.guess + self.turns

    @property
    def main(self) -> Part:
        """Which part is the largest."""
        return max(self.sizes, key=lambda part: self.sizes[part])


@lru_cache(maxsize=512)
def doubt(swatch: SwatchColour, venue: Venue) -> Doubt:
    """Return how sure a swatch is in a venue (once for each).

    Of a fluorescent swatch only what is known in daylight counts: elsewhere there is no answer anyway.
    """
    white = scene(venue).white
    none = np.zeros((3, 3))
    if swatch.fluorescent:
        lab, guess = swatch.lab, none
    else:
        lab, guess = under(replace(swatch, uncertainty=0.0), white)
    known, size = covariance_of(lab, swatch.uncertainty), swatch.uncertainty
    if swatch.beyond is not None:
        # What lies behind sheer cloth, as in daylight: lamps move such small differences little.
        known = known + swatch.beyond
        size = rms(lab, known)
    kind = cloth_kinds()["matte" if swatch.cloth is None else swatch.cloth.kind]
    turns = none if kind.id == "matte" else turned(swatch, kind, weights(white), *_turning(kind, venue))
    sizes: dict[Part, float] = {
        "known": size,
        "guess": rms(lab, guess) if guess.any() else 0.0,
        "turns": rms(lab, turns) if turns.any() else 0.0,
    }
    return Doubt(lab, known, guess, turns, sizes, rms(lab, known + guess + turns))


def spread_about(lab: Floats, normal: Floats, covariance: Floats) -> Floats:
    """Return (N, 3) colours about `lab` (3,) for standard normal draws (N, 3) and a covariance (3, 3)."""
    value, vector = np.linalg.eigh(covariance)
    found = lab + normal * np.sqrt(np.maximum(value, 0.0)) @ vector.T
    found[:, 0] = np.maximum(found[:, 0], 0.0)
    return found


@lru_cache(maxsize=128)
def _turning(kind: ClothKind, venue: Venue) -> tuple[Floats, Floats]:
    """Return (N,) what a venue's lights make of a kind of cloth as it turns, and (N,) how often."""
    neutral = 1.0 if kind.times else 0.0
    if not kind.turns:
        return np.array([neutral]), np.ones(1)
    light = scene(venue).light
    normals, _ = view_directions(_TILTS)
    share = lean_share(np.arccos(normals[:, 2]), "round the body")
    turns = np.arange(_ROUND) * 2.0 * np.pi / _ROUND
    received = np.zeros((_TILTS, _ROUND))
    made = np.zeros((_TILTS, _ROUND))
    for number, lux in enumerate(illuminance(light) if len(light.lux) else ()):
        if not np.isfinite(light.spread[number]):
            received += lux
            made += lux * neutral
            continue
        # Lamps stand round the line of sight as they please: each one's ring begins elsewhere.
        cosine, sheen = _of_one(kind, light, number, normals, turns + 2.399 * number)
        received += light.lux[number] * cosine
        made += light.lux[number] * sheen
    if not received.any():
        return np.array([neutral]), np.ones(1)
    often = np.repeat(share[:, None] / _ROUND, _ROUND, axis=1)
    mean = np.where(received > 0, made / np.where(received > 0, received, 1.0), neutral)
    return mean.ravel(), (often / often.sum()).ravel()


def _of_one(
    kind: ClothKind, light: Light, number: int, normals: Floats, turns: Floats
) -> tuple[Floats, Floats]:
    """Return (T, R) cosines of one light on the tilted cloth, and (T, R) these times what it makes of it."""
    received = np.zeros((len(normals), len(turns)))
    made = np.zeros_like(received)
    for step, weight in zip(_ACROSS, _ACROSS_WEIGHTS / _ACROSS_WEIGHTS.sum(), strict=True):
        gamma = light.angle[number] + step * light.spread[number]
        way = np.stack(
            [np.sin(gamma) * np.cos(turns), np.sin(gamma) * np.sin(turns), np.full_like(turns, np.cos(gamma))]
        )
        facing = normals @ way
        # The eye is along z: the cosine between it and the mirror direction 2 (n·l) n - l.
        mirror = 2.0 * facing * normals[:, 2:] - way[2]
        aspecular = np.degrees(np.arccos(np.clip(mirror, -1.0, 1.0)))
        lit = weight * np.maximum(facing, 0.0)
        received += lit
        made += lit * sheen_at(kind, aspecular)
    return received, made
