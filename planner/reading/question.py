"""What is asked: one pairing, its size, what it must match, where and from how far."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from planner.catalogue.coating import NONE, Coating
from planner.catalogue.cut import Cut
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size as stone_size
from planner.catalogue.stone import Stone
from planner.catalogue.swatch import Swatch
from planner.catalogue.venue import Spectrum, Venue
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.optics.lean import Lean
from planner.reading.doubt import Doubt, doubt
from planner.reading.viewer import Movement, Viewer
from planner.refusal import InvalidValue
from planner.swatch.cloth import of_cloth
from planner.swatch.resolve import SwatchColour, from_hex, from_lab, from_reflectance
from planner.swatch.taken import Taken
from planner.swatch.typed import from_name

Wish = Literal["blend", "tone", "contrast"]
"""Blend in with the swatch; tone on tone, the same hue at another depth; or stand out from it."""


@dataclass(frozen=True, eq=False)
class Question:
    """Everything a reading depends on."""

    stone: Stone
    cut: Cut
    coating: Coating | None
    """None for uncoated."""
    size: str
    swatch: SwatchColour
    """What the stones must match."""
    cloth: SwatchColour
    """What they sit on."""
    venue: Venue
    distance: float
    """m"""
    cover: float = 0.3
    """Share of the cloth that stones hide, 0 to 1."""
    tolerance: str | float = "seats"
    """A key of `planner.reading.drift.TOLERANCES`, or a CIEDE2000."""
    wish: Wish = "blend"
    lean: Lean = "round the body"
    """Where on the garment it sits, which decides how it leans."""
    movement: Movement = "walking"
    """How the wearer moves."""

    def __post_init__(self) -> None:
        """Refuse what cannot be made, and figures without meaning."""
        if not can_carry(self.stone, self.coating):
            raise InvalidValue(
                f"{self.stone.name} has no foil, and the coating "
                f"{self.coating.name if self.coating else ''} lies under a foil: choose another of the two."
            )
        if not 0.0 < self.distance < float("inf"):
            raise InvalidValue(f"A viewing distance must be above 0 m: found {self.distance:g}.")
        if not 0.0 <= self.cover <= 1.0:
            raise InvalidValue(f"A cover is a share of the cloth from 0 to 1: found {self.cover:g}.")

    @property
    def millimetres(self) -> float:
        """Diameter of the stone."""
        return stone_size(self.size).nominal_mm

    @property
    def viewer(self) -> Viewer:
        """Who looks at it, from where."""
        return Viewer(self.distance, self.cover, self.movement)

    @property
    def doubt(self) -> Doubt:
        """How sure the swatch is in this venue."""
        return doubt(self.swatch, self.venue)

    @property
    def swatch_sd(self) -> float:
        """Uncertainty of the swatch in this venue, root mean square CIEDE2000."""
        return self.doubt.sd

    @property
    def swatch_told(self) -> bool:
        """Whether the swatch's colour can be told in this venue: a fluorescent one's only in daylight."""
        return not self.swatch.fluorescent or is_daylight(self.venue)

    @property
    def cloth_told(self) -> bool:
        """Whether the cloth's colour can be told in this venue."""
        return not self.cloth.fluorescent or is_daylight(self.venue)


def is_daylight(venue: Venue) -> bool:
    """Say whether daylight alone lights a venue, so that a colour known in daylight needs no guess."""
    lit = [lamp.spectrum for lamp in venue.lights]
    if venue.surround.lux > 0:
        lit.append(venue.surround.spectrum)
    return all(_is_daylight(spectrum) for spectrum in lit)


def _is_daylight(spectrum: Spectrum) -> bool:
    # CIE illuminants of daylight are called D50, D55, D65 and D75.
    lamp = spectrum.lamp
    return (
        spectrum.daylight is not None
        or (spectrum.illuminant or "").startswith("D")
        or (lamp is not None and lamp.kind == "daylight" and lamp.filter is None)
    )


def can_carry(stone: Stone, coating: Coating | None) -> bool:
    """Say whether a coating can lie on a stone: one under the foil needs a foil."""
    return coating is None or coating.where != "foil" or stone.foil != "none"


@lru_cache(maxsize=256)
def swatch_colour(swatch: Swatch) -> SwatchColour:
    """Return the colour of a palette's swatch.

    Raises
    ------
    ValueError
        If no reflecting cloth has that colour, or cloth of its kind cannot look so.

    """
    return of_cloth(_as_got(swatch), swatch.cloth)


def _as_got(swatch: Swatch) -> SwatchColour:
    """Return the colour as it was typed, photographed or measured."""
    if swatch.spectrum is not None:
        wavelengths, values = zip(*swatch.spectrum, strict=True)
        return from_reflectance(
            wavelengths, values, uncertainty=swatch.sd, basis=swatch.basis, fluorescent=swatch.fluorescent,
            how=swatch.how or (f"read from {swatch.file}" if swatch.file else "given as a spectrum"),
        )  # fmt: skip
    lab = srgb_to_lab(parse_hex(str(swatch.colour))) if swatch.lab is None else swatch.lab
    given = f"given as sRGB {swatch.colour}" if swatch.lab is None else "given as CIELAB"
    return from_lab(
        lab, uncertainty=swatch.sd, basis=swatch.basis, fluorescent=swatch.fluorescent,
        how=swatch.how or given,
    )  # fmt: skip


@lru_cache(maxsize=256)
def typed_colour(text: str) -> SwatchColour:
    """Return the colour of a typed sRGB value."""
    return from_hex(text)


@lru_cache(maxsize=256)
def named_colour(text: str) -> Taken:
    """Return the colour of a name such as "royal blue", with what is to be known of how it was understood."""
    return from_name(text)


def colour_called(text: str, palette: Palette) -> SwatchColour:
    """Return a swatch by its id, else by an sRGB hex; an id wins over a hex that looks like one.

    Raises
    ------
    ValueError
        If it is neither.

    """
    if text in palette.swatches:
        return swatch_colour(palette.swatches[text])
    try:
        return typed_colour(text)
    except InvalidValue as wrong:
        raise InvalidValue(
            f"'{text}' is neither a swatch of the palette nor a colour such as 2a4b9c: {wrong}"
        ) from None


def coating_called(name: str, palette: Palette) -> Coating | None:
    """Return a coating by its id; None for "none"."""
    return None if name == NONE else palette.coatings[name]
