"""The light that falls on a garment, as seen from a stone that may be turned any way.

Stones sit with any turn about their axis and lean any way. Averaged over
that, a light's direction counts only by the angle between it and the eye: each light becomes a
ring about the line of sight, and light from below reaches a stone like light from the side.
Luminous flux is in lux on a surface that faces the light.
"""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from planner.optics.arrays import Floats
from planner.optics.beams import view_directions
from planner.optics.lean import lean_share


@dataclass(frozen=True)
class Light:
    """K lights of a venue."""

    spectra: Floats
    """(K, W) relative spectral power, each with luminance 1."""

    lux: Floats
    """(K,) flux density, lux on a surface that faces the light; all of it, for many lamps."""

    angle: Floats
    """(K,) angle between the light and the eye as seen from the stone, radians."""

    spread: Floats
    """(K,) root mean square angle, in one direction, over which the light extends, radians;
    infinite for a light from everywhere."""

    size: Floats
    """(K,) angular diameter of a single lamp, radians; infinite where nothing is small enough to
    make a sparkle."""

    number: Floats
    """(K,) how many such lamps share the flux."""


def ring_density(gamma: Floats, angle: float, spread: float) -> Floats:
    """Return how much of a light comes from a direction at `gamma` from the eye, per steradian.

    The average round the line of sight of a von Mises-Fisher lobe (Mardia & Jupp, Directional
    Statistics, 2000, section 9.3.2) with concentration 1 / spread²; it integrates to 1.
    """
    if not np.isfinite(spread):
        return np.full(np.shape(gamma), 1.0 / (4.0 * np.pi))
    kappa = 1.0 / spread**2
    scale = kappa / (2.0 * np.pi * -np.expm1(-2.0 * kappa))
    ring = _bessel_scaled(kappa * np.sin(gamma) * np.sin(angle))
    return scale * np.exp(kappa * (np.cos(gamma - angle) - 1.0)) * ring


STEPS = np.radians(np.linspace(0.0, 180.0, 3601))
"""Angles from the eye at which rings are tabled: they are wide against a twentieth of a degree."""


@lru_cache(maxsize=256)
def ring_table(angle: float, spread: float) -> Floats:
    """Return `ring_density` (3601,) at `STEPS`, read-only: the same lights fall on every cut and glass."""
    found = ring_density(STEPS, angle, spread)
    found.flags.writeable = False
    return found


def _bessel_scaled(x: Floats) -> Floats:
    """Return exp(-x) I0(x); Abramowitz & Stegun 1964, 9.7.1 beyond 20.

    SciPy has it too, but importing that costs more time than a whole reading.
    """
    large = np.maximum(x, 20.0)
    tail = 1.0 + (0.125 + (0.0703125 + 0.0732421875 / large) / large) / large
    small = np.minimum(x, 20.0)
    return np.where(x > 20.0, tail / np.sqrt(2.0 * np.pi * large), np.i0(small) * np.exp(-small))


_GAMMA = np.radians(np.linspace(0.25, 179.75, 360))
"""Angles from the line of sight at which light on the cloth is summed."""


def illuminance(light: Light) -> Floats:
    """Return (K,) lux on the cloth, averaged over how it leans round a body."""
    band = 2.0 * np.pi * np.sin(_GAMMA) * np.radians(0.5)
    seen = _cosine_to_cloth()
    # A narrow ring must not fall between two steps of the sum.
    spread = np.sqrt(light.spread**2 + np.radians(0.5) ** 2)
    rings = [ring_density(_GAMMA, a, s) * band for a, s in zip(light.angle, spread, strict=True)]
    return light.lux * np.array([(ring * seen).sum() / ring.sum() for ring in rings])


@cache
def _cosine_to_cloth() -> Floats:
    """Return the mean positive cosine between directions at `_GAMMA` and the leaning cloth."""
    angles = np.arccos(view_directions(64)[0][:, 2])
    lean = angles[:, None, None]
    turn = np.radians(np.arange(5.0, 180.0, 10.0))[None, None, :]  # the other half is the same
    angle = _GAMMA[None, :, None]
    cosine = (np.sin(lean) * np.sin(angle)) * np.cos(turn)
    cosine += np.cos(lean) * np.cos(angle)
    weight = lean_share(angles, "round the body")
    return np.asarray(weight @ np.maximum(cosine, 0.0, out=cosine).mean(axis=-1))


def direction_weights(
    outgoing: Floats, eyes: Floats, light: Light, smoothing: float
) -> tuple[Floats, Floats]:
    """Return what each beam receives of each light, and which beams look down at the cloth.

    Parameters
    ----------
    outgoing, eyes
        (B, 3) where each beam's light comes from, and its direction of view.
    light
        The lights.
    smoothing
        Angle by which every light is widened, its flux kept: the spacing of the directions of
        view, without which narrow lamps would be hit or missed by chance.

    Returns
    -------
    (B, K) luminance towards the beam for each light's unit spectrum, and (B,) 1.0 where the beam
    comes from below the garment's surface and sees the cloth instead.

    """
    gamma = np.arccos(np.clip((outgoing * eyes).sum(axis=1), -1.0, 1.0))
    below = outgoing[:, 2] < 0.0
    # There are many beams: look them up.
    place = np.rint(gamma / STEPS[1]).astype(np.intp)
    towards = np.zeros((len(place), len(light.lux)))
    for column, lux, angle, spread in zip(towards.T, light.lux, light.angle, light.spread, strict=True):
        column[:] = (lux * ring_table(float(angle), float(np.hypot(spread, smoothing))))[place]
    return np.where(below[:, None], 0.0, towards), below.astype(float)
