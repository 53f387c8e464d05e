"""Flash: what the eye sees of one lamp in one stone at one moment.

All beams through which the lamp is seen at that moment reach the eye as one sum: beams that leave
the stone in the same direction are one flash. The film's outer reflection on the table and the
light that went in by the table and back from the foil leave together if foil and table are
parallel; a wedge of e between them parts the two by about 2ne. Whether they are one flash or two
decides which hues are seen, so lamp size, waviness and wedge are all needed.

Around each beam's direction lies a disc in which the lamp's centre must stand for the lamp to be
seen through that beam: as wide as the lamp, widened by the waviness of the facets passed (and
dimmed as it widens). Glass bends blue more than red, so the disc's centre moves with wavelength:
that is the stone's fire. Positions of the lamp are sampled from the discs and weighted by how
often a stone that may be turned any way meets them; at each, the light of all discs over it adds
up.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.colour.grid import WAVELENGTHS
from planner.colour.observer import observer
from planner.colour.ordered import in_order
from planner.optics.arrays import Floats, Ints
from planner.optics.beams import Beams
from planner.optics.cut import BACK
from planner.optics.discs import BANDS, Discs, lit_by, reached, sampled
from planner.optics.glow import weighed
from planner.optics.light import STEPS, Light, ring_table
from planner.optics.merge import Merged
from planner.optics.sparse import Sparse, entries, starts_of

WINDOW = np.radians(6.0)
"""Spread of lamp-eye angles taken for one lamp's: a cast of people and lamps is never stiller, and
a film's hue changes little within it."""

FAR = 3.0
"""Spreads of a lamp's ring to either side within which beams are looked at."""

FAINTEST = 3e-5
"""Beams with a smaller share of the stone are left out: even a lamp of half a degree, thousands of
times brighter than white cloth, makes no flash through them that stands out."""

AS_WHOLE = 0.8
"""A lamp that is seen in every part of the spectrum for as long as this, beside the part in which it is seen
longest, counts as seen white: such small fires cancel out from beam to beam."""

LARGEST = np.radians(10.0)
"""Lamps wider than this make highlights rather than sparkles, and no flash is counted."""


SEEN = (430.0, 660.0)
"""Wavelengths in nm beyond which the eye sees no more than a twentieth, to either side: all the bands lie
between. With as many over the whole grid shares of a flash's hues are off by twice as much, beside four times
as many."""

_NONE = 1e-300
"""What to divide by where there is nothing: nothing comes of it."""


@dataclass(frozen=True)
class Sightings:
    """E positions of a lamp in which one stone, or one facet, flashes; N contributions of beams."""

    measure: Floats
    """(E,) how often a lamp stands like this: summed over the positions that show a flash, the
    number of flashes that one stone shows at a moment."""

    count: Ints
    """(E,) how many contributions each position has: they stand one after another."""

    group: Ints
    """(N,) the beam that brings it; from `grouped` on, the group of beams (see `Merged`)."""

    band: Ints
    """(N,) the part of the spectrum; `BANDS` for the whole of it."""

    gain: Floats
    """(N,) luminance, averaged over the stone (or the facet) and per unit of what the beam
    carries, in cd/m² for a lamp spectrum of luminance 1."""

    view: Ints
    """(E,) the direction of view in which the stone is then seen."""

    radius: Floats
    """(E,) how far the lamp may stand from the middle of what it is seen through, radians: the mean
    of the discs that it lights, by their light."""

    part: Floats
    """(E,) share of the stone's face that `gain` is averaged over, beside the mean face of all views:
    luminance times this is the light that the flash adds to the face, averaged over it."""


def spectral_bands(index: Floats) -> tuple[Ints, Floats]:
    """Return (81,) the band of each wavelength, and (BANDS,) the mean index of each band, as the eye sees it.

    Of equal steps in refractive index (81,), between `SEEN`; what lies beyond is in the bands at the ends.
    """
    most, least = np.interp(SEEN, WAVELENGTHS, index)
    place = np.clip((index - least) / max(most - least, 1e-9), 0.0, 1.0)
    band = np.minimum((place * BANDS).astype(int), BANDS - 1)
    seen = observer().sum(axis=1)
    often = np.bincount(band, seen, BANDS)
    means = np.bincount(band, seen * index, BANDS) / np.maximum(often, _NONE)
    middle = least + (np.arange(BANDS) + 0.5) / BANDS * (most - least)
    return band, np.where(often > 0.0, means, middle)


def sightings(
    beams: Beams, light: Light, lamp: int, index: tuple[float, Floats], waviness: float, wedge: float, *,
    points: int, by_facet: bool = False, sweep: float = 0.0,
) -> Sightings:  # fmt: skip
    """Return the flashes of lamp number `lamp` of a venue, beam by beam: no film has a say in where they are.

    Parameters
    ----------
    beams
        Of one cut and glass.
    light
        The venue's; the lamp must not be wider than `LARGEST`.
    index
        Refractive index at the sodium line, by which the beams were followed, and (BANDS,) in
        each band.
    waviness
        Root mean square slope error of a facet, radians.
    wedge
        Angle between foil and table, radians; each stone is turned its own way.
    points
        Positions of the lamp tried for each beam.
    by_facet
        Whether the eye is near enough to tell the facets of a stone apart.
    sweep
        Angle by which lamps move past while the eye adds up, radians: a flash is then all that a lamp gives
        on its way, each beam for as much of the time as the lamp is seen through it.

    """
    chosen, radius, weight = _discs(beams, light, lamp, waviness)
    place = beams.view[chosen].astype(int)
    part = 1.0 / faces(beams)[beams.view[chosen]]
    if by_facet:
        place = place * 256 + beams.first[chosen]
        outer = beams.last < 0
        area = np.bincount(beams.view.astype(int) * 256 + beams.first, beams.weight * outer)
        own = np.maximum(area[place] / beams.share[beams.view[chosen]], 1e-9)
        weight, part = weight / own, part * own
    order = in_order(place)
    edges = np.flatnonzero(np.diff(place[order], prepend=-1, append=1 << 60))
    chosen, radius, part = chosen[order], radius[order], part[order]
    flux = weight[order] / (np.pi * radius**2)
    ring = _Ring(float(light.angle[lamp]), float(np.hypot(light.spread[lamp], WINDOW)))
    found = []
    for some in _parted(edges, points):
        own = slice(some[0], some[-1])
        view = beams.view[chosen[own]]
        share = beams.share[view]
        discs = Discs(_centres(beams, chosen[own], index, wedge), radius[own], some - some[0])
        spots = sampled(discs, points, int(some[0]), sweep)
        event, row, part_lit = lit_by(spots, discs, sweep)
        # Each position stands for as much of the sky as one sample has, all discs over it together.
        over = (points / BANDS) * (part_lit > 0.0).sum(axis=0) / reached(discs.radius[row], sweep)
        density = np.bincount(event, over, len(spots.disc))
        eyes = beams.views.T.take(view[spots.disc], axis=1)
        measure = ring.density(spots.lamp, eyes) / np.maximum(density, _NONE) * share[spots.disc]
        sent = part_lit.mean(axis=0) * flux[own][row]
        lit_sum = np.bincount(event, sent, len(spots.disc))
        reach = np.bincount(event, sent * discs.radius[row], len(spots.disc)) / np.maximum(lit_sum, 1e-30)
        which, band, lit = _contributions(event, part_lit)
        row = row[which]
        found.append(
            (
                measure, np.bincount(event[which], minlength=len(spots.disc)).astype(np.int32),
                chosen[own][row].astype(np.int32), band, flux[own][row].astype(np.float32) * lit,
                view[spots.disc], reach, part[own][spots.disc],
            )
        )  # fmt: skip
    return _join(found, float(light.lux[lamp] / light.number[lamp]), float(light.number[lamp]))


def _contributions(event: Ints, lit: Floats) -> tuple[Ints, Ints, Floats]:
    """Return which of N meetings of a position with a disc each of C contributions is of, positions rising.

    Beside that (C,) its band and for what part of the time it is lit: (BANDS, N) `lit` where parts of the
    spectrum differ, their mean where hardly (`AS_WHOLE`).
    """
    whole = np.asarray(lit.min(axis=0) >= AS_WHOLE * lit.max(axis=0))
    alike, fringe = np.flatnonzero(whole), np.flatnonzero(~whole)
    band, at = np.nonzero(lit.take(fringe, axis=1))
    which = np.concatenate([alike, fringe[at]])
    bands = np.concatenate([np.full(len(alike), BANDS, np.int8), band.astype(np.int8)])
    parts = np.concatenate([lit.mean(axis=0)[alike], lit[band, fringe[at]]]).astype(np.float32)
    rising = in_order(event[which])
    return which[rising], bands[rising], parts[rising]


_TOGETHER = 4_000
"""Lamp positions worked on at once: enough to keep NumPy busy, few enough for the cache."""


def _parted(edges: Ints, points: int) -> Iterator[Ints]:
    """Yield the edges of as many neighbouring places as are worked on at once."""
    start = 0
    while start < len(edges) - 1:
        most = edges[start] + _TOGETHER // points
        stop = max(start + 1, int(np.searchsorted(edges, most, side="right")) - 1)
        yield edges[start : stop + 1]
        start = stop


class _Ring:
    """How often a lamp stands at an angle from the eye; looked up, since there are many positions."""

    def __init__(self, angle: float, spread: float) -> None:
        density = ring_table(angle, spread)
        # Only beams within reach of the ring are looked at: what lies beyond counts there.
        sent = density * np.sin(STEPS)
        reached = sent[np.abs(STEPS - angle) < FAR * spread].sum()
        self._density = density * (sent.sum() / max(reached, _NONE))

    def density(self, lamp: Floats, eye: Floats) -> Floats:
        """Return (E,) per steradian, for (3, E) directions of the lamp and (3, E) unit ones of the eye."""
        along = np.einsum("ie,ie->e", lamp, eye) / np.sqrt(np.einsum("ie,ie->e", lamp, lamp))
        return np.interp(np.arccos(np.clip(along, -1.0, 1.0)), STEPS, self._density)


def _discs(beams: Beams, light: Light, lamp: int, waviness: float) -> tuple[Ints, Floats, Floats]:
    """Return the beams near the lamp's ring: which, and (B,) radii of their discs and weights."""
    eyes = beams.views.T.take(beams.view, axis=1)
    gamma = np.arccos(np.clip(np.einsum("bi,ib->b", beams.outgoing, eyes), -1.0, 1.0))
    weight = beams.weight / beams.share[beams.view]
    near = np.abs(gamma - light.angle[lamp]) < FAR * np.hypot(light.spread[lamp], WINDOW)
    chosen = np.flatnonzero(near & (beams.last != BACK) & (weight > FAINTEST) & (beams.outgoing[:, 2] > 0))
    # Seen through a wavy facet the lamp is smeared: twice the r.m.s. spread, as a radius.
    smear = 2.0 * waviness * beams.by_waviness[chosen]
    return chosen, np.hypot(0.5 * light.size[lamp], smear), weight[chosen]


def _centres(beams: Beams, chosen: Ints, index: tuple[float, Floats], wedge: float) -> Floats:
    """Return (3, BANDS, B) where the discs of some beams lie."""
    turn = 2.0 * np.pi * ((beams.view[chosen] * 0.7548776662) % 1.0)
    across, up = np.ascontiguousarray(beams.by_wedge[chosen].T, float).swapaxes(0, 1)
    base = beams.outgoing[chosen].T + wedge * (np.cos(turn) * across + np.sin(turn) * up)
    offset = (index[1] - index[0])[:, None] * beams.by_index[chosen].T[:, None]
    centre = base[:, None] + offset
    centre /= np.sqrt((centre * centre).sum(axis=0))
    return centre


def _join(found: Sequence[tuple[Floats | Ints, ...]], lux: float, number: float) -> Sightings:
    if not found:
        none = np.zeros(0, int)
        empty = np.zeros(0, np.float32)
        return Sightings(np.zeros(0), none, none, none, empty, none, empty, empty)
    measure, count, group, band, gain, *own = (np.concatenate(part) for part in zip(*found, strict=True))
    view, radius, part = own
    return Sightings(
        measure * number, count, group, band, np.float32(lux) * gain,
        view.astype(np.int16), radius.astype(np.float32), part.astype(np.float32),
    )  # fmt: skip


def faces(beams: Beams) -> Floats:
    """Return (D,) how large the stone's face is in each direction of view, beside its mean."""
    outer = beams.last < 0
    return np.bincount(beams.view[outer], beams.weight[outer], len(beams.share)) / beams.share


def grouped(seen: Sightings, merged: Merged) -> Sightings:
    """Return the same with the groups of beams that bring each contribution, in place of the beams."""
    return replace(seen, group=merged.of_beam[seen.group])


def fewer(seen: Sightings, most: int) -> Sightings:
    """Return about `most` positions that stand for all, where there are more.

    Chosen in even steps of a sum to which each adds a third by how often it is met, a third by how much light
    it sends, so that shares by number and by luminance both stay, and a third by how often it is met among
    those of its own direction of view, each of which has as much: a direction that is rarely seen would else
    be left without any, and its stones dark for ever. What is kept is weighted by what it stands for.
    """
    count = len(seen.measure)
    if count <= most:
        return seen
    so_far = np.concatenate([[0.0], np.cumsum(seen.gain, dtype=float)])
    sent = seen.measure * np.diff(so_far[starts_of(seen.count)])
    by_view = np.bincount(seen.view, seen.measure)
    own = seen.measure / np.maximum(by_view[seen.view], _NONE)
    parts = np.stack([seen.measure, sent, own])
    odds = (parts / np.maximum(parts.sum(axis=1, keepdims=True), _NONE)).mean(axis=0)
    steps = (np.arange(most) + 0.5) / most
    times = np.bincount(np.searchsorted(np.cumsum(odds), steps).clip(0, count - 1), minlength=count)
    kept = np.flatnonzero(times)
    use = entries(seen.count, kept)
    return Sightings(
        seen.measure[kept] * times[kept] / (most * odds[kept]), seen.count[kept], seen.group[use],
        seen.band[use], seen.gain[use], seen.view[kept], seen.radius[kept], seen.part[kept],
    )  # fmt: skip


def in_bands(eye: Floats, bands: Ints) -> Floats:
    """Return (BANDS + 1, W, 3) weights by part of the spectrum for (W, 3) of the whole, which comes last.

    `bands` is from `spectral_bands`.
    """
    parts = np.concatenate([bands[None] == np.arange(BANDS)[:, None], np.ones((1, len(bands)), bool)])
    return parts[:, :, None] * eye


def carried(factors: Floats, body: Floats, eye: Floats) -> Floats:
    """Return (M, BANDS + 1, T, S, 3) tristimulus values each group carries, by part of the spectrum.

    Parameters
    ----------
    factors
        (M, T, W) from `planner.optics.table.factors`.
    body
        (S, M, W) from `planner.optics.glow.transmittance`.
    eye
        (BANDS + 1, W, 3) weights that turn the lamp's light, by wavelength, into tristimulus values:
        those of `in_bands`, on the wavelengths of the factors.

    """
    found = weighed(factors, body, np.concatenate(list(eye), axis=1))
    parted = found.reshape(*found.shape[:3], len(eye), eye.shape[-1])
    return np.ascontiguousarray(parted.transpose(0, 3, 1, 2, 4))


def flash_colours(seen: Sightings, colours: Floats) -> Floats:
    """Return (E, T, S, 3) tristimulus values of every flash: the sum of its contributions."""
    groups, parts = colours.shape[:2]
    if not len(seen.group):
        return np.zeros((0, *colours.shape[2:]), np.float32)
    row = seen.group * parts + seen.band
    found = Sparse(starts_of(seen.count), row, seen.gain, groups * parts)
    return (found @ colours.reshape(groups * parts, -1)).reshape(-1, *colours.shape[2:])
