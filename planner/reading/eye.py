"""What a viewer takes a surface's colour to be: the median over places and moments, not the mean.

Observers discount highlights when they judge a surface (Todd, Norman & Mingolla, Psychological
Science 15, 33-39, 2004; Isherwood et al., Journal of Vision 21(2):7, 2021). What lies between flashes,
and flashes so dim and so many that they merge within the eye's blur and its tenth of a second, is the
ground; few bright ones stand out and are no part of it. See `planner.optics.moments`.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.catalogue.coating import Coating
from planner.optics.arrays import Floats
from planner.optics.flash import Sightings, faces
from planner.optics.held import held
from planner.optics.lean import SPREAD
from planner.optics.merge import Merged
from planner.optics.moments import Moments, Sight, Sums, by_view, lit, median, moments
from planner.optics.store import is_kept, kept
from planner.reading.known import ROOM, circumstances, of_films
from planner.reading.look import (
    glow_and_ground,
    ground_by_view,
    in_moments,
    sightings_by_beam,
)
from planner.reading.lots import BODY_STEP
from planner.reading.matter import Gem, beams_of, film_factors, lay_angle, merged_at, widened
from planner.reading.scene import Scene, tristimulus_weights
from planner.reading.states import States
from planner.reading.viewer import SeenOf, Viewer


@dataclass(frozen=True, eq=False)
class Sights:
    """What there is of one pairing, (T, S, 3) each in every state of its film and body, in cd/m²."""

    glow: Floats
    """Averaged over everything."""
    seen: dict[SeenOf, Floats]
    """Seen colour of single stones, and of stones and cloth as one."""
    widely: Floats
    """(3, 3) seen colour where stones lean less widely, as usual, and more, of the film at its nominal
    thickness; (0, 3) where that is not asked for."""


def sights(
    stone: Gem, coating: Coating | None, film: States, bodies: Floats, diameter: float, venue: Scene,
    cloth: Floats, viewer: Viewer, wanted: Sequence[SeenOf] = ("stone", "field"),
    by_lean: SeenOf | None = None,
) -> Sights:  # fmt: skip
    """Return glow and seen colour; parameters as for `planner.reading.look.glow_xyz` and `medians`.

    What flashes add to the ground is worked out at every thickness of nominal evenness and
    concentration; in other states it is taken to change as the glow does that small lamps give. How seen
    colour `by_lean` changes is told for one kind of it that is wanted. All is kept between runs.
    """
    given = (stone, coating, film, bodies, diameter, venue, cloth, viewer, tuple(wanted), by_lean)
    found = kept(_Kept, _key(*given), lambda: _looked_at(*given), ROOM)
    return Sights(found.glow, dict(zip(wanted, found.seen, strict=True)), found.widely)


def sights_are_kept(
    stone: Gem, coating: Coating | None, film: States, bodies: Floats, diameter: float, venue: Scene,
    cloth: Floats, viewer: Viewer, wanted: Sequence[SeenOf] = ("stone", "field"),
    by_lean: SeenOf | None = None,
) -> bool:  # fmt: skip
    """Say whether an earlier run left what `sights` is asked for."""
    key = _key(stone, coating, film, bodies, diameter, venue, cloth, viewer, tuple(wanted), by_lean)
    return is_kept(_Kept, key, ROOM)


def _key(
    stone: Gem, coating: Coating | None, film: States, bodies: Floats, diameter: float, venue: Scene,
    cloth: Floats, viewer: Viewer, wanted: tuple[SeenOf, ...], by_lean: SeenOf | None,
) -> object:  # fmt: skip
    known = circumstances(stone, bodies, float(diameter), venue, cloth, viewer)
    return lay_angle(coating), film.layers, film.layer_step, wanted, by_lean, of_films(film), known


@dataclass(frozen=True, eq=False)
class _Kept:
    """`Sights` as arrays."""

    glow: Floats
    seen: Floats
    """(W, T, S, 3) each kind of seen colour, in the order in which they were wanted."""
    widely: Floats


def _looked_at(
    stone: Gem, coating: Coating | None, film: States, bodies: Floats, diameter: float, venue: Scene,
    cloth: Floats, viewer: Viewer, wanted: tuple[SeenOf, ...], by_lean: SeenOf | None,
) -> _Kept:  # fmt: skip
    """Return what `sights` keeps, anew."""
    angle, factors = lay_angle(coating), film_factors(stone, coating, film)
    millimetres, middle = np.full(len(bodies), diameter), len(bodies) // 2
    glow, ground = glow_and_ground(stone, angle, factors, bodies, millimetres, venue, cloth)
    if not wanted:
        return _Kept(glow, np.empty((0, *glow.shape)), np.empty((0, 3)))
    one, usual = slice(middle, middle + 1), len(film.scale) // 2
    nodes, those = ground[film.middle, one], factors[:, film.middle]
    around = (bodies[one], diameter, venue, cloth, viewer)
    found = medians(stone, angle, those, *around, nodes, usual, wanted)
    lamps = glow - ground
    of_node = np.concatenate(
        [np.tile(np.arange(len(film.scale)), len(film.evenness)), np.full(2 * film.layers, usual)]
    )
    steady = lamps[film.middle, one][of_node]
    change = np.divide(lamps, steady, out=np.ones_like(lamps), where=steady > 0)
    base = {"stone": ground, "stones": ground, "field": mixed(ground, venue, cloth, viewer.cover)}
    each = [
        np.maximum(base[of] + (found[of] - base[of][film.middle, one])[of_node] * change, 0.0)
        for of in wanted
    ]
    widely = np.empty((0, 3))
    if by_lean is not None:
        own, soft = found[by_lean][usual : usual + 1], nodes[usual : usual + 1]
        each_way = medians_by_lean(stone, angle, those[:, usual : usual + 1], *around, soft, by_lean, own)
        widely = np.concatenate(each_way)[:, 0]
    return _Kept(glow, np.stack(each), widely)


def medians_by_lean(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, diameter: float, venue: Scene,
    cloth: Floats, viewer: Viewer, ground: Floats | None, of: SeenOf, usual: Floats | None = None,
) -> list[Floats]:  # fmt: skip
    """Return (T, S, 3) seen colour where stones lean less widely, as usual, and more; see `medians`.

    What beams carry, and what each direction of view has of soft light, is the same for all three. The
    `usual` one may be at hand.
    """
    narrow, wider = (widened(stone, 1.0 + step * SPREAD) for step in (-BODY_STEP, BODY_STEP))
    leans = (narrow, stone, wider) if usual is None else (narrow, wider)
    given = (angle, factors, bodies, diameter, venue, cloth, viewer, ground, None, (of,))
    found = [one[of] for one in _medians(stone, leans, *given)]
    return found if usual is None else [found[0], usual, found[1]]


def mixed(stones: Floats, venue: Scene, cloth: Floats, cover: float | Floats) -> Floats:
    """Return (..., 3) tristimulus values of stones (..., 3) and cloth together, by area."""
    return cover * stones + (1.0 - cover) * ((cloth * venue.white) @ tristimulus_weights())


@dataclass(frozen=True, eq=False)
class _Drawn:
    """N moments, ready for any film and body, however the film was laid."""

    views: Floats
    """(N, D) from `planner.optics.moments.by_view`."""
    flashes: tuple[tuple[int, Sums], ...]
    """What flashes bring, beam by beam: of the lamps of each spectrum, the first of them told by number."""

    def grouped(self, merged: Merged) -> tuple[tuple[int, Sums], ...]:
        """Return what they bring by groups of beams."""
        return tuple((lamp, replace(sums, group=merged.of_beam[sums.group])) for lamp, sums in self.flashes)


@held
def _drawn(stone: Gem, venue: Scene, sight: Sight) -> _Drawn:
    if stone.base is not None:
        return _drawn(stone.base, venue, sight)
    beams = beams_of(stone)
    found = sightings_by_beam(stone, venue, by_facet=False, sweep=sight.sweep)
    lean = np.arccos(np.clip(beams.views[:, 2], -1.0, 1.0))
    chance = beams.share * faces(beams)
    lamps = [
        (float(venue.light.number[lamp]), one.measure, one.view, one.part)
        for lamp, one in zip(venue.lamps, found, strict=True)
    ]
    drawn = moments(sight, chance / chance.sum(), lean, beams.share, lamps)
    return _Drawn(by_view(drawn, len(beams.share)), flashes_in(drawn, found, venue))


def flashes_in(drawn: Moments, found: Sequence[Sightings], venue: Scene) -> tuple[tuple[int, Sums], ...]:
    """Return what flashes bring to moments that were drawn from sightings, see `_Drawn`."""
    alike = defaultdict(list)
    for kind, lamp in enumerate(venue.lamps):
        alike[venue.light.spectra[lamp].tobytes()].append(kind)
    return tuple((venue.lamps[kinds[0]], lit(drawn, found, kinds)) for kinds in alike.values())


def medians(
    stone: Gem, angle: float, factors: Floats, bodies: Floats, diameter: float, venue: Scene,
    cloth: Floats, viewer: Viewer, ground: Floats, usual: int | None, wanted: Sequence[SeenOf],
) -> dict[SeenOf, Floats]:  # fmt: skip
    """Return (T, S, 3) seen colour of T films on S bodies, as tristimulus values in cd/m².

    Parameters
    ----------
    stone, angle, factors
        Glass and cut, how the films were laid, and (M, T, W) their factors.
    bodies, diameter
        (S, 81) absorption per mm of S stones, and their diameter in mm.
    venue, cloth, viewer
        Light, (81,) reflectance of the cloth, and who looks from where.
    ground
        (T, S, 3) mean of what soft light makes of the stones, from `glow_and_ground`.
    usual
        The film whose ground's change with the direction of view stands for all, where they are thicknesses
        of one; None for films that each have their own.
    wanted
        What is asked for.

    """
    given = (angle, factors, bodies, diameter, venue, cloth, viewer, ground, usual, wanted)
    return _medians(stone, (stone,), *given)[0]


def _medians(
    stone: Gem, leans: Sequence[Gem], angle: float, factors: Floats, bodies: Floats, diameter: float,
    venue: Scene, cloth: Floats, viewer: Viewer, ground: Floats | None, usual: int | None,
    wanted: Sequence[SeenOf],
) -> list[dict[SeenOf, Floats]]:  # fmt: skip
    """Return `medians` for each of several ways in which a stone leans; its own ground may be at hand."""
    millimetres = np.full(len(bodies), diameter)
    those = factors if usual is None else factors[:, usual : usual + 1]

    def by_view(one: Gem) -> Floats:
        return ground_by_view(one, angle, those, bodies, millimetres, venue, cloth)

    alike = by_view(stone)
    views = [alike if one is stone or one.shape.back == "foil" else by_view(one) for one in leans]
    sight_of = {of: viewer.sight(diameter, of, stone.shape.grade.moments) for of in wanted}
    drawn = [{sight: _drawn(one, venue, sight) for sight in sight_of.values()} for one in leans]
    merged = merged_at(stone, angle)[1]
    every = [one.grouped(merged) for lean in drawn for one in lean.values()]
    flashes = iter(in_moments(stone, angle, factors, bodies, millimetres, venue, every))
    its_own, found = _mean(stone, alike), []
    for one, seen_from, lean in zip(leans, views, drawn, strict=True):
        mean = _mean(one, seen_from)
        relative, soft = _ratio(seen_from, mean), mean
        if ground is not None:
            soft = ground if one is stone else ground * _ratio(mean, its_own)
        light = {sight: _light(each, soft, relative, next(flashes)) for sight, each in lean.items()}
        found.append(
            {of: _median(of, lean[at].views, light[at], cloth, venue) for of, at in sight_of.items()}
        )
    return found


def _light(drawn: _Drawn, ground: Floats, relative: Floats, flashes: Floats) -> Floats:
    """Return (N, T, S, 3) what the stones in each moment's spot give.

    Parameters
    ----------
    drawn
        The moments.
    ground
        (T, S, 3) what soft light makes of T films on S bodies, mean over directions of view.
    relative
        (D, T or 1, S, 3) the same in each direction of view, beside that mean.
    flashes
        (N, T, S, 3) or (1,) what flashes bring.

    """
    own = drawn.views.astype(np.float32) @ relative.astype(np.float32).reshape(len(relative), -1)
    return own.reshape(-1, *relative.shape[1:]) * ground.astype(np.float32) + flashes.astype(np.float32)


def _median(of: SeenOf, views: Floats, light: Floats, cloth: Floats, venue: Scene) -> Floats:
    """Return (T, S, 3) seen colour: of stones, which share all of a spot, or with the cloth between them."""
    stones = views.sum(axis=1)[:, None, None, None].astype(np.float32)
    if of == "field":
        between = (cloth * venue.white) @ tristimulus_weights()
        return median(light + np.maximum(1.0 - stones, 0.0) * between.astype(np.float32))
    return median(np.divide(light, stones, out=np.zeros_like(light), where=stones > 0))


def _mean(stone: Gem, by_view: Floats) -> Floats:
    """Return (T, S, 3) what a stone has of what there is in each direction of view (D, T, S, 3)."""
    beams = beams_of(stone)
    return np.asarray(np.einsum("dtsx,d->tsx", by_view, beams.share * faces(beams)))


def _ratio(part: Floats, whole: Floats) -> Floats:
    return np.divide(part, whole, out=np.ones_like(part), where=np.broadcast_to(whole > 0, part.shape))
