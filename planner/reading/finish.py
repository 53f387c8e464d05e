"""The finish of a pairing, beside its colour: plain facets, a film like metal, a dome."""

from functools import lru_cache
from typing import Final, Literal, TypeAlias

import numpy as np

from planner.catalogue.coating import Coating
from planner.catalogue.cut import Cut
from planner.optics.film import stack
from planner.optics.materials import refractive_index

Finish: TypeAlias = Literal["plain", "metal", "dome"]
"""metal: a film that swallows or throws back so much light that it looks like metal; dome: a cut without
a table to speak of."""

_SEEN: Final = np.arange(430.0, 701.0, 10.0)
"""nm. Oxides swallow a little violet, and nobody sees it."""

_SWALLOWS: Final = 0.05
"""Extinction coefficient from which a film swallows light: a hundred nanometres take a tenth of it, while
the oxides of aurora films are below 0.001, and metals and rust have 0.1 to 8 (our choice)."""

_MIRRORS: Final = 0.7
"""Reflectance on glass, where it is greatest, from which a clear film is a half mirror: auroras of one layer
stay below 0.4 and of three below 0.6, five quarter waves throw back more than 0.8 (our choice)."""

_GLASS: Final = 1.52

_DOME_TABLE = 0.3
"""Table of a cut as a share of its diameter below which it is a dome (our choice)."""


def finish_of(cut: Cut, coating: Coating | None) -> Finish:
    """Return the finish of a pairing; of a film like metal on a dome, the film's."""
    if not swallows_nothing(coating) or _mirrors(coating):
        return "metal"
    return "dome" if cut.rows[-1].inner < _DOME_TABLE else "plain"


@lru_cache(maxsize=256)
def swallows_nothing(coating: Coating | None) -> bool:
    """Say whether a film is clear, or there is none."""
    return coating is None or all(
        refractive_index(layer.material, _SEEN).imag.max() < _SWALLOWS for layer in coating.layers
    )


@lru_cache(maxsize=256)
def _mirrors(coating: Coating | None) -> bool:
    if coating is None or coating.where == "foil":
        return False
    layers = np.stack([refractive_index(layer.material, _SEEN) for layer in coating.layers])
    nm = np.array([[layer.nm for layer in coating.layers]])
    glass, air = np.full(len(_SEEN), _GLASS), np.ones(len(_SEEN))
    return bool(stack(_SEEN, [0.0], nm, layers, air, glass).front.max() > _MIRRORS)
