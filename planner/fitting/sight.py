"""What was seen: a colour as a person gives it, and how far off it may be."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from planner.catalogue.cut import Cut
from planner.catalogue.errors import suggest
from planner.catalogue.sizes import size as stone_size
from planner.catalogue.stone import Stone
from planner.catalogue.venue import Floor, Spectrum, Surround, Venue
from planner.colour.difference import delta_e
from planner.colour.names import FAMILIES, family_index, name_index, names
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.data import shared
from planner.optics.arrays import Floats
from planner.refusal import InvalidValue, show
from planner.swatch.called import colours_called
from planner.swatch.spread import rms

Source = Literal["picked", "photo", "measured"]
"""How a colour in digits came about."""

ERRORS: dict[str, tuple[float, float]] = {
    "words": (8.0, 0.0),
    "picked": (5.0, 3.3),
    "photo": (3.2, 2.4),
    "measured": (1.0, 0.5),
}
"""Root mean square ΔE00 of one colour alone, and of all colours of a card together (the screen, the
camera's white and exposure), by how it was given: together 6 for a picked colour and 4 for a photograph
with white paper in it. A word is off by half the way to the next one, at most about 8. Our choice."""

_FAMILY_SLACK = 4.0
"""ΔE00 by which a colour may lie outside a hue family that it was said to have, one standard deviation
(our choice)."""


@lru_cache(maxsize=1)
def even_daylight() -> Venue:
    """Return the light in which samples are judged: daylight (D65) from everywhere, as under a dull sky."""
    return Venue(
        id="even-daylight", name="even daylight", basis="invented", distance=0.5, lights=(),
        surround=Surround(lux=1000.0, spectrum=Spectrum(illuminant="D65")), floor=Floor(reflectance=0.0),
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Sight:
    """A colour as it was given: a point with an error, or no more than a hue family."""

    text: str
    """As typed."""
    source: str
    """A key of `ERRORS`."""
    lab: Floats | None
    """(3,) CIELAB in even daylight; None where only a hue family was said."""
    family: str | None
    """The hue family, where that is all."""
    reckoned: "Reckoned | None" = None
    """How far off it may be, where that was reckoned; else as `ERRORS` says of its source."""

    @property
    def alone(self) -> float:
        """Root mean square ΔE00 of this colour alone."""
        return ERRORS[self.source][0] if self.reckoned is None else self._rms(self.reckoned.own)

    @property
    def together(self) -> float:
        """Root mean square ΔE00 that it shares with the rest of its card."""
        return ERRORS[self.source][1] if self.reckoned is None else self._rms(self.reckoned.common)

    @property
    def error(self) -> float:
        """Root mean square ΔE00 in all."""
        if self.reckoned is None:
            return float(np.hypot(self.alone, self.together))
        return self._rms(self.reckoned.own + self.reckoned.common)

    def _rms(self, covariance: Floats) -> float:
        return 0.0 if self.lab is None else rms(self.lab, covariance)


@dataclass(frozen=True, eq=False)
class Reckoned:
    """How far off a colour may be, in CIELAB."""

    own: Floats
    """(3, 3) covariance of what this colour alone is off by."""
    shared: Floats
    """(3, K) how far each of K errors that all colours of the card have in common, each of one standard
    deviation, moves this one."""

    @property
    def common(self) -> Floats:
        """(3, 3) covariance of what it shares with the rest of its card."""
        return self.shared @ self.shared.T


def sight(text: str, source: Source = "picked") -> Sight:
    """Return what was seen.

    Parameters
    ----------
    text
        Six sRGB digits (``2a4b9c``), a hue family ("blue"), or a colour's name: one of ISCC-NBS ("vivid
        purplish blue"), or as people say it ("teal", "dusty wine red").
    source
        Where digits come from; a word is a word.

    Raises
    ------
    ValueError
        If it is none of the three.

    """
    words = " ".join(text.lower().split()).replace("gray", "grey")
    # A family may be the name of a centroid too ("black"), but says less about it.
    if words in FAMILIES:
        return Sight(words, "words", None, words)
    if words in _named():
        return Sight(words, "words", _named()[words], None)
    try:
        return Sight(text, source, srgb_to_lab(parse_hex(text)), None)
    except InvalidValue:
        called = colours_called(text)
        if called and called[0].exact:
            return Sight(called[0].name, "words", called[0].lab, None)
        asked = f"is it {' or '.join(f'{one.name} ({one.hex})' for one in called[:3])}?"
        near = asked if called else suggest(words, (*FAMILIES, *_named()))
        raise InvalidValue(
            f"found {show(text)}, which is no colour: {near}; a colour is six hexadecimal digits such as "
            "2a4b9c, a hue family such as blue, or a name such as teal or vivid purplish blue"
        ) from None


@lru_cache(maxsize=1)
def _named() -> dict[str, Floats]:
    """Return CIELAB (3,) of each ISCC-NBS name that a colour can have.

    A centroid that is not called by its own name is one of those that `planner.colour.names` sets aside.
    """
    lines = shared("iscc_nbs_centroids.csv").read_text(encoding="utf-8").splitlines()
    hexes = [line.split(",")[1] for line in lines if not line.startswith("#")][1:]
    lab = srgb_to_lab(np.stack([parse_hex(text) for text in hexes]))
    called = name_index(lab)
    return {name: lab[place] for place, name in enumerate(names()) if called[place] == place}


def family_misfit(lab: Floats, family: str) -> Floats:
    """Return (...) twice the negative log-likelihood of a hue family for colours (..., 3).

    It is 0 for colours nearest to a centroid of the family, and grows with how much farther from the
    family's nearest centroid a colour is than from the nearest of all.
    """
    centres = np.stack(list(_named().values()))
    own = family_index(centres) == FAMILIES.index(family)
    flat = lab.reshape(-1, 3)
    apart = delta_e(flat[:, None], centres)
    excess = apart[:, own].min(axis=1) - apart.min(axis=1)
    return ((excess / _FAMILY_SLACK) ** 2).reshape(lab.shape[:-1])


@dataclass(frozen=True, eq=False)
class Placed:
    """A stone at hand: what it is, how it is cut, how large it is."""

    stone: Stone
    cut: Cut
    size: str

    @property
    def millimetres(self) -> float:
        """Diameter."""
        return stone_size(self.size).nominal_mm


@dataclass(frozen=True, eq=False)
class Sample:
    """A coated stone of a sample card, and the colour of its glow."""

    placed: Placed
    seen: Sight
