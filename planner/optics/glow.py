"""Glow: the average of all beams over the cone of tilts, for many films, bodies and lights at once.

What a film does depends on the film and the beam; the body's colour on the stone and the beam; the
light on the venue and the beam. The sum over beams and wavelengths of the three is one matrix
product.
"""

from collections.abc import Sequence

import numpy as np

from planner.optics.arrays import Floats
from planner.optics.beams import Beams
from planner.optics.cut import BACK
from planner.optics.light import Light, direction_weights
from planner.optics.merge import Merged
from planner.optics.paths import Paths

_CACHE = 200_000
"""Numbers on one side of a product: enough to keep the processor busy, few enough to stay in cache."""


SMOOTHING = np.radians(3.0)
"""How far narrow lights are widened, radians: the gaps that the directions of view leave between
the angles at which one kind of beam meets a lamp. It moves the lightness of a stone in a lone
followspot by 1 to 3, its hue hardly, and other venues by less than the eye can see."""


def transmittance(absorption: Floats, diameter: Floats, path: Floats) -> Floats:
    """Return (S, M, W) internal transmittance by Beer and Lambert.

    Parameters
    ----------
    absorption
        (S, W) natural absorption coefficient per mm.
    diameter
        (S,) mm.
    path
        (M,) length of path in diameters.

    """
    # Single precision all along: a product of these has six figures, and takes half the time.
    depth = (-diameter[:, None] * path[None, :]).astype(np.float32)
    found = depth[:, :, None] * absorption.astype(np.float32)[:, None, :]
    return np.exp(found, out=found)


def incident(beams: Beams, merged: Merged, light: Light, width: float = SMOOTHING) -> Floats:
    """Return (M, K + 1) what each group of beams receives of K lights, and of the cloth last.

    What comes from a light is for a spectrum of luminance 1; what comes from the cloth, where
    beams look down at it, for a radiance of 1. The groups' shares of the stone are in it.

    Parameters
    ----------
    beams, merged
        One cut and glass.
    light
        A venue's.
    width
        Angle by which narrow lights are widened, radians.

    """
    towards, below = direction_weights(beams.outgoing, beams.views[beams.view], light, width)
    groups = len(merged.path)
    kept = beams.weight * (beams.last != BACK)
    columns = [np.bincount(merged.of_beam, kept * column, groups) for column in (*towards.T, below)]
    return np.stack(columns, axis=1).astype(np.float32)


def weighed(factors: Floats, body: Floats, weights: Floats) -> Floats:
    """Return (M, T, S, C) what groups of beams bring of T films on S bodies, by C weightings of wavelengths.

    Parameters
    ----------
    factors
        (M, T, W) from `planner.optics.table.factors`.
    body
        (S, M, W) from `transmittance`.
    weights
        (W, C)

    """
    groups, films, bands = factors.shape
    columns, weights = weights.shape[1], weights.astype(np.float32)
    found = np.empty((groups, films * len(body), columns), np.float32)
    step = max(1, _CACHE // (films * len(body) * bands))
    for start in range(0, groups, step):
        part = slice(start, start + step)
        each = factors[part, :, None] * body[:, part].transpose(1, 0, 2)[:, None]
        # One large product, not one for each group.
        np.matmul(each.reshape(-1, bands), weights, out=found[part].reshape(-1, columns))
    return found.reshape(groups, films, len(body), columns)


def glow(factors: Floats, body: Floats, lights: Sequence[tuple[Floats, Floats]]) -> Floats:
    """Return (T, S, V, C) tristimulus values of T films on S bodies in V venues.

    Parameters
    ----------
    factors
        (M, T, W) from `planner.optics.table.factors`.
    body
        (S, M, W) from `transmittance`.
    lights
        For each venue, (M, K) from `incident`, and (K, W, C) weights that turn what comes of each
        light, by wavelength, into tristimulus values, or several of them.

    """
    groups, films, bands = factors.shape
    shares, values = np.concatenate([share for share, _ in lights], axis=1), films * len(body)
    # Spectra of what comes of each light first: they serve all that is made of them.
    spectra = np.zeros((shares.shape[1], values * bands), np.float32)
    step = max(8, _CACHE // (values * bands))
    for start in range(0, groups, step):
        part = slice(start, start + step)
        each = factors[part, :, None] * body[:, part].transpose(1, 0, 2)[:, None]
        spectra += shares[part].T @ each.reshape(len(each), -1)
    parts = np.split(spectra, np.cumsum([share.shape[1] for share, _ in lights])[:-1])
    found = [
        (own.reshape(len(own), values, bands) @ eye).sum(axis=0)
        for own, (_, eye) in zip(parts, lights, strict=True)
    ]
    return np.stack(found, axis=1).reshape(films, len(body), len(lights), -1)


def glow_along(
    factors: Floats, paths: Paths, body: Floats, lights: Sequence[tuple[Floats, Floats]],
    between: Floats | None = None,
) -> Floats:  # fmt: skip
    """Return `glow` (T, S, V, C) of any number of bodies for about the price of ten.

    Parameters
    ----------
    factors, lights
        As for `glow`.
    paths
        A few paths for all groups.
    body
        (S, R, W) transmittance along these.
    between
        (U, W) what turns factors at W wavelengths into factors at those U that bodies and lights are at.

    """
    groups, films, bands = factors.shape
    shares = np.concatenate([share for share, _ in lights], axis=1)
    right = (paths.weights[:, :, None] * shares[:, None]).reshape(groups, -1)
    gathered = (factors.reshape(groups, -1).T @ right).reshape(films, bands, len(paths.nodes), -1)
    if between is not None:
        gathered = np.einsum("uw,twrk->turk", between, gathered, optimize=True)
    along = np.ascontiguousarray(body.transpose(2, 1, 0)).reshape(-1, len(body))
    values, start = lights[0][1].shape[-1], 0
    found = np.empty((films, len(body), len(lights), values), np.float32)
    for number, (share, eye) in enumerate(lights):
        own = gathered[..., start : start + share.shape[1]]
        start += share.shape[1]
        seen = np.einsum("twrk,kwx->txwr", own, eye, optimize=True).reshape(films * values, -1)
        found[:, :, number] = (seen @ along).reshape(films, values, -1).transpose(0, 2, 1)
    return found


def through_cloth(
    factors: Floats, body: Floats, beams: Beams, merged: Merged, cloth: Floats, index: float | None,
    between: Floats | None = None,
) -> Floats:  # fmt: skip
    """Return (T, S, U) radiance factor that an unfoiled stone's cloth adds.

    Light enters, is scattered by the cloth, and either leaves or is thrown back at the cloth, as
    for paint under a gloss (Saunderson, J. Opt. Soc. Am. 32, 727-736, 1942). What enters is taken
    to equal, by reciprocity, what reaches the eye from the cloth.

    Parameters
    ----------
    factors, body
        As for `glow`.
    beams, merged
        Traced with light ending at the back.
    cloth
        (U,) reflectance of the cloth alone.
    index
        Refractive index of a stone in optical contact (glue); None over an air gap.
    between
        (U, W) what turns values at the W wavelengths of the stone into those at U of the cloth, whose colour
        may change faster; None where they are the same.

    """
    ends = np.flatnonzero(merged.last == BACK)
    weight = np.bincount(merged.of_beam, beams.weight, len(merged.path))[ends].astype(np.float32)
    carried = factors[ends] * weight[:, None, None]
    clear = carried.sum(axis=0)[:, None]
    coloured = np.einsum("mtw,smw->tsw", carried, body[:, ends])
    if between is not None:
        clear, coloured = clear @ between.T, coloured @ between.T
    spread = 1.0 if index is None else index**2
    returned = np.clip(1.0 - clear / spread, 0.0, 1.0) * (coloured / np.maximum(clear, 1e-9)) ** 2
    return coloured / spread * coloured * cloth / (1.0 - cloth * returned)
