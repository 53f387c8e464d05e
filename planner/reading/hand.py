"""In the hand by the window: where a parcel is opened, and a client first sees what is in it."""

from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from planner.catalogue.venue import Floor, Light, Spectrum, Surround, Venue
from planner.optics.arrays import Floats, Ints
from planner.optics.cut import BACK, GIRDLE, build_cut
from planner.optics.glow import SMOOTHING
from planner.optics.light import direction_weights
from planner.optics.store import kept
from planner.reading.known import ROOM, circumstances, of_films
from planner.reading.matter import (
    QUICK,
    Gem,
    absorption,
    beams_of,
    body_factors,
    film_factors,
    gem,
    lay_angle,
    merged_at,
    summed,
)
from planner.reading.question import Question
from planner.reading.scene import folded, scene
from planner.reading.states import States, states

ARM = 0.4
"""Metres from the eye at which a stone in the hand is looked at (our choice)."""


@cache
def window() -> Venue:
    """Return soft daylight with one window to the side: 40° wide, half the room's light from its walls."""
    return Venue(
        id="in-the-hand", name="In the hand by a north window", basis="invented", distance=ARM,
        lights=(
            Light(
                name="window", spectrum=Spectrum(daylight=6500), lux=800, elevation=20, azimuth=50, size=40
            ),
        ),
        surround=Surround(lux=300, spectrum=Spectrum(daylight=6000)), floor=Floor(reflectance=0.2),
    )  # fmt: skip


def in_hand(question: Question) -> Question:
    """Return the same question about one stone by itself, held still by the window."""
    return replace(question, venue=window(), distance=ARM, cover=0.0, movement="still")


def window_in_facets(question: Question) -> tuple[Floats, Floats]:
    """Return (3,) XYZ of the window's light that comes off the table, and off the rows of the rim.

    All of it that leaves by a part counts there: what its outside mirrors, and what comes back through it
    from the foil. A glance at a first look's accuracy, of the nominal lot; kept between runs.
    """
    place, stone = scene(window()), gem(question.stone, question.cut, QUICK, coating=question.coating)
    film, angle = states(question.coating, full=False), lay_angle(question.coating)
    body = absorption(question.stone, question.cut)[None]
    known = circumstances(
        stone, body, question.millimetres, place, question.cloth.reflectance, question.viewer
    )
    key = (angle, of_films(film), known)
    found = kept(_Facets, key, lambda: _in_facets(question, stone, film, body), ROOM)
    return found.table, found.rim


@dataclass(frozen=True, eq=False)
class _Facets:
    """What `window_in_facets` keeps."""

    table: Floats
    rim: Floats


def _in_facets(question: Question, stone: Gem, film: States, body: Floats) -> _Facets:
    place, angle = scene(window()), lay_angle(question.coating)
    factors = film_factors(stone, question.coating, film)[:, film.middle.start + len(film.scale) // 2]
    inside = body_factors(stone, angle, body, np.array([question.millimetres]))[0]
    carried = (summed(stone, factors[:, None])[:, 0] * inside) @ folded(place.eye[0], stone.stride)
    beams, (_, merged) = beams_of(stone), merged_at(stone, angle)
    towards, _ = direction_weights(beams.outgoing, beams.views[beams.view], place.light, SMOOTHING)
    sent = (beams.weight * (beams.last != BACK) * towards[:, 0])[:, None] * carried[merged.of_beam]
    facets = build_cut(stone.shape.rows, stone.shape.girdle)
    row = facets.rows[beams.first].astype(int)

    def off(part: Ints) -> Floats:
        area = beams.weight[part & (beams.last < 0)].sum()
        return np.asarray(sent[part].sum(axis=0) / max(float(area), 1e-12))

    return _Facets(off(row == facets.table), off((row > GIRDLE) & (row < facets.table)))
