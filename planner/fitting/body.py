"""From the colour of an uncoated stone to what colours its body."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from planner.catalogue.cut import Cut
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Floor, Spectrum, Surround, Venue
from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.card import metric
from planner.fitting.films import GRADE, PAPER
from planner.fitting.sight import Placed, Sight, even_daylight
from planner.optics.arrays import Floats
from planner.optics.glass import COLOURANTS, body_absorption
from planner.reading.look import glow_of
from planner.reading.matter import Gem, absorption, gem, stacked_factors
from planner.reading.scene import perceived, scene
from planner.reading.states import states
from planner.refusal import InvalidValue

NEAR = 1.94
"""A body is no worse than its colour's errors explain up to this many times their root mean square: 99
of 100 normal errors in three dimensions stay within (chi-squared 11.3 for 3)."""

MOST = 4
"""Most single colourants that are told of those that fit well, and of those that barely do."""

_DEPTHS = np.geomspace(0.02, 40.0, 24)
"""Concentrations tried: absorption of the strongest band over the stone's width, base e."""

_BY_EYE = ("picked", "words")
"""Sources of a colour that is a person's own: what the surface mirrors is left out of it."""

_FINER = np.linspace(-1.0, 1.0, 15)
"""Steps between neighbours of the best."""


@dataclass(frozen=True, eq=False)
class Recipe:
    """One way to colour the body."""

    colourants: Mapping[str, float] | None
    """Concentration by colourant, empty for a clear body; None for a smooth absorption made from the
    colour itself."""
    apart: float
    """CIEDE2000 in even daylight between what was seen and this body."""
    spread: float
    """Relative standard deviation of the concentration, by the error of what was seen."""
    warm: Floats
    """(3,) CIELAB of the stone under warm lamps (illuminant A)."""
    stone: Stone
    """The entry: basis estimated."""


@dataclass(frozen=True, eq=False)
class BodyFitted:
    """Bodies that give an uncoated stone its colour."""

    seen: Sight
    recipes: tuple[Recipe, ...]
    """The likeliest first: a clear body, if that does as well; single colourants that give the colour
    within its error; the smooth absorption; single colourants that its error barely explains."""
    fits: bool
    """Whether the first recipe explains the colour within its error."""

    @property
    def unsure_when_warm(self) -> float:
        """Largest CIEDE2000 under warm lamps between two of the recipes that fit."""
        good = [one.warm for one in self.recipes if one.apart <= NEAR * self.seen.error]
        return max((float(delta_e(one, other)) for one in good for other in good), default=0.0)


@lru_cache(maxsize=1)
def _warm() -> Venue:
    light = Surround(lux=1000.0, spectrum=Spectrum(illuminant="A"))
    return Venue(
        id="even-warm", name="even warm light", basis="invented", distance=0.5, lights=(), surround=light,
        floor=Floor(reflectance=0.0),
    )  # fmt: skip


def fit_body(seen: Sight, clear: Stone, cut: Cut, size: str) -> BodyFitted:
    """Return bodies with which an uncoated stone has the colour that was seen.

    Parameters
    ----------
    seen
        Its average colour in even daylight, lying on white.
    clear
        The stone without a body: id, name, material, cut, foil and sizes of the entry wanted.
    cut, size
        Its cut, and the size in which it was seen.

    Raises
    ------
    ValueError
        If only a hue family is known, or no surface can have the colour.

    """
    if seen.lab is None:
        raise InvalidValue(
            f'a hue family alone ("{seen.family}") does not say how deep a body is; give six hexadecimal '
            "digits or a whole name such as vivid purplish blue"
        )
    at = Placed(clear, cut, size)
    # Who picks or names a colour leaves the gloss out; what photographs and instruments tell has it in.
    lab = _with_gloss(seen.lab, at) if seen.reckoned is None and seen.source in _BY_EYE else seen.lab
    found = [_single(seen, lab, at, colourant) for colourant in _usable(clear)]
    # One number that explains three is believed; one that barely does comes after the smooth absorption.
    singles = sorted((one for one in found if one), key=lambda one: one.apart)
    near = [one for one in singles if one.apart <= seen.error]
    recipes = (*near[:MOST], _smooth(lab, at), *singles[len(near) :][:MOST])
    bare = _clear(lab, at)
    if bare.apart <= NEAR * seen.error and _as_good(bare, min(recipes, key=lambda one: one.apart), seen):
        recipes = (bare, *recipes)
    return BodyFitted(seen, recipes, recipes[0].apart <= NEAR * seen.error)


def _usable(clear: Stone) -> list[str]:
    """Return the colourants of that material: dyes in acrylic, all others in glass."""
    dyed = clear.material == "acrylic"
    return [one for one in COLOURANTS if one == "black" or one.startswith("dye-") == dyed]


def _single(seen: Sight, lab: Floats, at: Placed, colourant: str) -> Recipe | None:
    """Return the concentration of one colourant that comes nearest; None where that is too far off."""
    unit = body_absorption({colourant: 1.0}, WAVELENGTHS)
    tried = _DEPTHS / (at.millimetres * unit.max())
    best = int(delta_e(_look(at, tried[:, None] * unit), lab).argmin())
    step = float(np.log(tried[1] / tried[0]))
    tried = tried[best] * np.exp(_FINER * step)
    looks = _look(at, tried[:, None] * unit)
    apart = delta_e(looks, lab)
    best = int(apart.argmin())
    if apart[best] > NEAR * seen.error:
        return None
    slope = (looks[-1] - looks[0]) / (2.0 * step)
    # How far the concentration may be off along its own way through colour space.
    spread = seen.error / 3.0**0.5 / max(float(np.linalg.norm(metric(lab) @ slope)), 1e-6)
    amount = float(f"{tried[best]:.3g}")
    stone = _entry(at.stone, spread, colourants={colourant: amount})
    warm = _look(at, tried[best : best + 1, None] * unit, _warm())[0]
    return Recipe({colourant: amount}, float(apart[best]), spread, warm, stone)


def _smooth(lab: Floats, at: Placed) -> Recipe:
    """Return the body made from the colour itself, as a palette's ``colour`` is read."""
    stone = _entry(at.stone, 0.0, **colour_seen(lab, at))
    body = absorption(stone, at.cut)[None]
    return Recipe(None, float(delta_e(_look(at, body)[0], lab)), 0.0, _look(at, body, _warm())[0], stone)


def _clear(lab: Floats, at: Placed) -> Recipe:
    """Return the stone without any colourant."""
    none = np.zeros((1, len(WAVELENGTHS)))
    apart = float(delta_e(_look(at, none)[0], lab))
    return Recipe({}, apart, 0.0, _look(at, none, _warm())[0], _entry(at.stone, 0.0))


def _as_good(bare: Recipe, best: Recipe, seen: Sight) -> bool:
    """Say whether a colourant would gain less than it is worth: a number costs 2 of chi-squared (Akaike)."""
    return 3.0 * (bare.apart**2 - best.apart**2) / seen.error**2 < 2.0


def _entry(clear: Stone, spread: float, **body: object) -> Stone:
    usual = float(Stone.model_fields["body_spread"].default)
    kept = clear.model_dump(exclude_unset=True, exclude_none=True)
    wide = round(min(0.5, float(np.hypot(usual, spread))), 3)
    return Stone.model_validate({**kept, **body, "body_spread": wide, "basis": "estimated"})


def _look(at: Placed, body: Floats, venue: Venue | None = None) -> Floats:
    """Return (S, 3) CIELAB of the uncoated stone with absorptions (S, 81)."""
    place, glass = scene(venue or even_daylight()), gem(at.stone, at.cut, GRADE)
    bare = _uncoated(glass)
    size, cloth = np.full(len(body), at.millimetres), np.full(len(WAVELENGTHS), PAPER)
    return perceived(glow_of(glass, 0.0, bare, body, size, (place,), cloth)[0, :, 0], place)


def look_of(at: Placed) -> Floats:
    """Return (3,) CIELAB of an uncoated stone in even daylight, averaged over all its flashes."""
    return _look(at, absorption(at.stone, at.cut)[None])[0]


def colour_seen(lab: Floats, at: Placed) -> dict[str, str]:
    """Return the fields of a stone that looks like (3,) CIELAB in even daylight, its gloss included."""
    return {"colour": to_hex(lab_to_srgb(without_gloss(lab, at))[0]), "seen_size": at.size}


def without_gloss(lab: Floats, at: Placed) -> Floats:
    """Return (3,) CIELAB of what is left of a look in even daylight once the surface's mirror is taken off.

    That is how a person names the colour of glass, and how instruments measure a glossy sample with its gloss
    excluded (CIE 015:2018, geometry de:8°): under a white sky a burgundy sends back as much white as red.
    """
    return xyz_to_lab(np.maximum(lab_to_xyz(lab) - _gloss(at), 0.0))


def _with_gloss(lab: Floats, at: Placed) -> Floats:
    return xyz_to_lab(lab_to_xyz(lab) + _gloss(at))


def _gloss(at: Placed) -> Floats:
    """Return (3,) XYZ of what the surface alone sends back: the look of the same stone if it were opaque."""
    body = {"colour", "seen_size", "colourants", "spectrum", "file", "depth_mm"}
    jet = Stone.model_validate({**at.stone.model_dump(exclude=body), "opaque": True})
    return lab_to_xyz(look_of(Placed(jet, at.cut, at.size)))


@lru_cache(maxsize=8)
def _uncoated(glass: Gem) -> Floats:
    return stacked_factors(glass, [(None, states(None, full=False))])
