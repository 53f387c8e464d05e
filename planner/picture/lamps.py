"""What a ray finds where it leaves a stone: lamps in their true places, the surround, the floor, the cloth.

The readings average over stones turned any way, so a light counts there by its angle to the eye
alone. A picture has an up and a right: each lamp stands at its own elevation and azimuth.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from planner.catalogue.venue import Venue
from planner.optics.arrays import Floats, Ints
from planner.optics.beams import even_points
from planner.picture.bands import screen_weights
from planner.picture.room import lit
from planner.reading.scene import Scene

Room = Literal["near", "far"]

BROAD = np.radians(5.0)
"""Lights with a larger spread than this are lobes: neither waviness nor dispersion shows in them."""

LOWER_HALF = 1.797
"""Von Mises-Fisher concentration of the lobe with the mean direction of an evenly lit half space, a mean
resultant length of 1/2."""

REACH = 4.0
"""How many standard deviations from its middle a lamp still gives light."""

SMALLEST = np.radians(0.02)
"""A lamp's image is never sharper than this, radians."""


@dataclass(frozen=True, eq=False)
class Lamps:
    """The light about a piece of cloth, in the viewer's frame: x to the right, y up, z to the viewer.

    Weights turn what a ray carries at the N nodes into linear screen light, white cloth being 1.
    """

    small: Floats
    """(P, 3) direction of each small lamp."""
    small_spread: Floats
    """(P,) its root mean square radius in one direction, radians."""
    small_lux: Floats
    """(P,) on a surface that faces it."""
    small_light: Ints
    """(P,) the row of `weights` with its spectrum."""

    broad: Floats
    """(Q, 3) middle of each broad lobe."""
    broad_kappa: Floats
    """(Q,) its von Mises-Fisher concentration; 0 for light from everywhere."""
    broad_lux: Floats
    """(Q,) its flux density."""
    broad_weights: Floats
    """(N, Q·3) weights, lobe by lobe."""

    weights: Floats
    """(K, N, 3) for light of each kind."""
    anywhere: Floats
    """(N, 3) for all the light spread evenly: what a ray that is followed no further finds."""
    cloth: Floats
    """(N, 3) for light from the cloth, which rays that leave downwards see."""
    eye: Floats
    """(N,) how much the eye makes of light at each node; adds up to 1."""
    room: Room | None = None
    """What the light from everywhere is like; even when None."""


def lamps(venue: Venue, place: Scene, cloth: Floats, to_linear: Floats, room: Room | None = None) -> Lamps:
    """Return the light of a venue.

    Parameters
    ----------
    venue, place
        The venue and its arrays: flux and spectra are the readings' own.
    cloth
        (81,) reflectance of the cloth.
    to_linear
        (3, 3) matrix from tristimulus values (a row) to linear screen light.
    room
        "near" or "far" for a room with lighter and darker parts, near with the viewer's head in it.

    """
    weights = screen_weights(place.light.spectra, to_linear)
    # Each of the three tristimulus values counts alike: a dim blue is as much a colour as a green.
    seen = screen_weights(place.white, np.diag(1.0 / place.white_xyz)).sum(axis=1)
    small: list[tuple[Floats, float, float, int]] = []
    broad: list[tuple[Floats, float, float, int]] = []
    for number, lux in enumerate(place.light.lux):
        if number >= len(venue.lights):
            # The surround comes first. The floor, which readings spread round the line of sight, lies below.
            is_floor = number > len(venue.lights) or venue.surround.lux == 0
            kappa = LOWER_HALF if is_floor else 0.0
            broad.append((np.array([0.0, -1.0, 0.0]), kappa, float(lux), number))
            continue
        lamp = venue.lights[number]
        own = np.radians(lamp.size) / 4.0
        for way in _standing(lamp.elevation, lamp.azimuth, lamp.number, lamp.spread):
            one = (way, own if own <= BROAD else 1.0 / own**2, float(lux) / lamp.number, number)
            (small if own <= BROAD else broad).append(one)
    broad_light = [one[3] for one in broad]
    return Lamps(
        *_columns(small),
        *_columns(broad)[:3],
        weights[broad_light].transpose(1, 0, 2).reshape(weights.shape[1], -1).astype(np.float32),
        weights.astype(np.float32),
        (np.einsum("k,knx->nx", place.light.lux, weights) / (4.0 * np.pi)).astype(np.float32),
        screen_weights(cloth * place.white, to_linear).astype(np.float32),
        (seen / seen.sum()).astype(np.float32),
        room,
    )


def _columns(rows: list[tuple[Floats, float, float, int]]) -> tuple[Floats, Floats, Floats, Ints]:
    ways, spread, lux, light = zip(*rows, strict=True) if rows else ((), (), (), ())
    return (
        np.array(ways, np.float32).reshape(-1, 3),
        np.array(spread, np.float32),
        np.array(lux, np.float32),
        np.array(light, int),
    )


def _standing(elevation: float, azimuth: float, number: int, spread: float) -> Floats:
    """Return (number, 3) directions of lamps spread over a disc of `spread` degrees."""
    up, round_ = np.radians(elevation), np.radians(azimuth)
    middle = np.array([np.cos(up) * np.sin(round_), np.sin(up), np.cos(up) * np.cos(round_)])
    if number == 1:
        return middle[None]
    right = np.array([np.cos(round_), 0.0, -np.sin(round_)])
    first, second = even_points(number)
    away = 0.5 * np.radians(spread) * np.sqrt(first)
    way = 2.0 * np.pi * second
    aside = np.cos(way)[:, None] * right + np.sin(way)[:, None] * np.cross(middle, right)
    return np.cos(away)[:, None] * middle + np.sin(away)[:, None] * aside


def arriving(
    lights: Lamps, carried: Floats, towards: Floats, by_index: Floats, blur: Floats, offset: Floats
) -> Floats:
    """Return (R, 3) linear light that rays bring which leave a stone above the cloth.

    Parameters
    ----------
    lights
        The light.
    carried
        (R, N) share of light each ray carries at the nodes.
    towards
        (R, 3) directions in which they leave.
    by_index
        (R, 3) change of these with the glass index.
    blur
        (R,) spread that the facets' waviness gives them, radians, root mean square in one direction.
    offset
        (N,) glass index at the nodes less the one that rays were followed with.

    """
    cosine = towards @ lights.broad.T
    kappa = np.maximum(lights.broad_kappa, 1e-6)
    # Mardia & Jupp, Directional Statistics (2000), section 9.3.2.
    density = (
        kappa / (2.0 * np.pi * -np.expm1(-2.0 * kappa)) * np.exp(np.maximum(kappa * (cosine - 1.0), -50.0))
    )
    luminance = density * lights.broad_lux
    if lights.room is not None:
        everywhere = lights.broad_kappa == 0.0
        luminance[:, everywhere] *= lit(towards, head=lights.room == "near")[:, None]
    soft = (carried @ lights.broad_weights).reshape(len(carried), len(kappa), 3)
    light = (soft * luminance[:, :, None]).sum(axis=1)
    if len(lights.small) and len(towards):
        _sparkle(light, lights, carried, towards, by_index, blur, offset)
    return light


def _sparkle(
    light: Floats, lights: Lamps, carried: Floats, towards: Floats, by_index: Floats, blur: Floats,
    offset: Floats,
) -> None:  # fmt: skip
    """Add to (R, 3) light, in place, what small lamps give: a Gaussian disc for each wavelength."""
    bend = np.sqrt((by_index**2).sum(axis=1)) * np.abs(offset).max()
    widest = float(np.hypot(lights.small_spread.max(), blur.max())) * REACH + float(bend.max())
    near = towards @ lights.small.T > np.cos(min(widest, np.pi))
    ray, lamp = np.nonzero(near)
    spread = np.sqrt(lights.small_spread[lamp] ** 2 + blur[ray] ** 2 + SMALLEST**2)
    apart = towards[ray] - lights.small[lamp]
    close = np.sqrt((apart**2).sum(axis=1)) < REACH * spread + bend[ray]
    ray, lamp, spread, apart = ray[close], lamp[close], spread[close], apart[close]
    if not len(ray):
        return
    # Glass bends blue more than red: the lamp stands elsewhere for each wavelength.
    moved = apart[:, None, :] + by_index[ray][:, None, :] * offset[:, None]
    squared = (moved**2).sum(axis=-1) / spread[:, None] ** 2
    peak = lights.small_lux[lamp] / (2.0 * np.pi * spread**2)
    luminance = peak[:, None] * np.exp(np.maximum(-0.5 * squared, -50.0)) * carried[ray]
    np.add.at(light, ray, np.einsum("mn,mnx->mx", luminance, lights.weights[lights.small_light[lamp]]))
