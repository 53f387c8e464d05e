"""What a pairing and its swatch do over wavelength, for those who want to see why a colour comes out.

The radiance factor is the radiance of a stone over that of white cloth in the same venue, so it is
1 where the stone looks as bright as white cloth does, and may be more. A film under many lamps
has one for each venue, since every lamp meets the facets at its own angle.
"""

from dataclasses import dataclass, replace

import numpy as np

from planner.catalogue.coating import Coating
from planner.colour.observer import observer
from planner.colour.screen import linear_to_srgb, xyz_to_linear
from planner.optics.arrays import Floats
from planner.optics.glow import incident, through_cloth
from planner.reading.matter import (
    FINE,
    Grade,
    absorption,
    beams_of,
    body_factors,
    film_factors,
    gem,
    lay_angle,
    merged_at,
)
from planner.reading.question import Question
from planner.reading.read import nominal
from planner.reading.scene import scene
from planner.reading.states import states

UNLIT = 1e-4
"""Part of the venue's strongest radiance below which nothing can be said of a wavelength."""


@dataclass(frozen=True, eq=False)
class Spectra:
    """Curves on `planner.colour.grid.WAVELENGTHS`, (81,) each."""

    swatch: Floats
    """Reflectance of the swatch."""
    light: Floats
    """Radiance of white cloth in the venue, 1 at its strongest."""
    glow: Floats
    """Radiance factor of the nominal lot's glow; NaN where the venue has no light."""
    uncoated: Floats
    """The same of the stone without its coating."""


def spectra(question: Question, grade: Grade = FINE) -> Spectra:
    """Return the curves of one pairing, its swatch and its venue."""
    white = scene(question.venue).white
    glow = glow_spectrum(question, grade)
    bare = glow if question.coating is None else _radiance_factor(question, None, grade)
    return Spectra(question.swatch.reflectance, white / white.max(), glow, bare)


def glow_spectrum(question: Question, grade: Grade = FINE) -> Floats:
    """Return (81,) the radiance factor of the nominal lot's glow in the question's venue.

    Weighed by the venue's white and the observer it gives the glow of a reading of that grade.
    NaN where the venue has less than `UNLIT` of its strongest radiance.
    """
    return _radiance_factor(question, question.coating, grade)


def _radiance_factor(question: Question, coating: Coating | None, grade: Grade) -> Floats:
    place, stone, angle = (
        scene(question.venue),
        gem(question.stone, question.cut, replace(grade, stride=1), question.lean),
        lay_angle(coating),
    )
    film = states(coating, full=False)
    body = absorption(question.stone, question.cut)[None]
    cloth, white = question.cloth.reflectance, place.white
    factors = film_factors(stone, coating, film)
    kept = body_factors(stone, lay_angle(coating), body, np.array([question.millimetres]))
    beams, (_, merged) = beams_of(stone), merged_at(stone, angle)
    sources = np.concatenate([place.light.spectra, (cloth * white)[None]])
    arriving = incident(beams, merged, place.light) @ sources
    lit = white > UNLIT * place.white.max()
    factor = np.einsum("mtw,mw->tw", factors, kept[0] * arriving, optimize=True)
    factor = factor / np.where(lit, white, 1.0)
    if stone.shape.back != "foil":
        index = stone.body.index_d if stone.shape.back == "sink" else None
        factor += through_cloth(factors, kept, beams, merged, cloth, index)[:, 0]
    spread = coating.stone_spread if coating else 0.0
    found = nominal(film, spread, factor[:, None].astype(float))
    return np.where(lit, found, np.nan)


def spectral_colours() -> Floats:
    """Return (81, 3) 8-bit sRGB that stands for the light of each wavelength on a screen.

    No screen shows a spectral colour: each is dulled until it fits, and dimmed where the eye sees
    little. A guide to where the hues lie, and no more.
    """
    linear = xyz_to_linear(observer())
    fitting = linear - np.minimum(linear.min(axis=1, keepdims=True), 0.0)
    brightness = np.minimum(1.0, 6.0 * observer().sum(axis=1, keepdims=True) / observer().sum(axis=1).max())
    fitting = fitting / np.maximum(fitting.max(axis=1, keepdims=True), 1e-9) * (0.15 + 0.85 * brightness)
    return np.rint(255.0 * linear_to_srgb(fitting)).astype(np.uint8)
