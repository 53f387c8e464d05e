"""The states of a film between lots: those that are computed, and between which all else is interpolated."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from planner.catalogue.coating import Coating
from planner.colour.grid import WAVELENGTHS
from planner.optics.arrays import Floats
from planner.optics.materials import refractive_index
from planner.optics.table import Film


@dataclass(frozen=True, eq=False)
class States:
    """The states of a coating that are computed; everything between is interpolated.

    Scale nodes come first in the order (evenness, scale): state number e * len(scale) + s.
    Then two states for each layer of a film of several: that layer alone thinner, and thicker.
    """

    crown: Film | None
    under: Film | None
    scale: Floats
    """(K,) rising, evenly spaced: thickness of all layers relative to nominal."""
    evenness: Floats
    """(E,) difference from nominal: 0 alone, or minus, zero, plus."""
    layer_step: float
    """Relative change of the single layers; 0 if none is computed alone."""
    layers: int
    """How many layers are computed alone."""
    whole: "States | None" = None
    """The states out of which these are taken, all at nominal evenness; their factors are a part."""

    @property
    def count(self) -> int:
        """How many states there are."""
        return len(self.scale) * len(self.evenness) + 2 * self.layers

    @property
    def middle(self) -> slice:
        """Which states have the nominal evenness: the thickness nodes in order."""
        start = len(self.evenness) // 2 * len(self.scale)
        return slice(start, start + len(self.scale))

    def nominal_evenness(self) -> "States":
        """Return the thickness nodes at nominal evenness alone; the same object every time."""
        return self if len(self.evenness) == 1 and not self.layers else self._nominal

    @cached_property
    def _nominal(self) -> "States":
        crown, under = (
            film and Film(film.index, film.thickness[self.middle], film.evenness[self.middle])
            for film in (self.crown, self.under)
        )
        return States(crown, under, self.scale, np.zeros(1), 0.0, 0, self)


BARE = States(None, None, np.ones(1), np.zeros(1), 0.0, 0)
"""Of an uncoated stone."""

_PHASE_STEP = 0.7
"""Largest step between thickness nodes, radians of phase at 450 nm: interpolating a cosine over it
by cubics is off by less than a thousandth."""

_LEAST, _MOST = 9, 41
"""Fewest and most thickness nodes of a reading."""

REACH = 3.0
"""How many standard deviations of thickness the nodes cover."""


def thickness_sd(coating: Coating) -> tuple[float, float]:
    """Return the relative standard deviations that all layers share, and that each has alone.

    Lots differ in thickness, and how much index × nm a nominal thickness means is uncertain too;
    a single layer has both in one. Of several layers, half the variance is taken as shared.
    """
    total = float(np.hypot(coating.lot_spread, coating.index_spread))
    return (total, 0.0) if len(coating.layers) == 1 else (total * 0.5**0.5, total * 0.5**0.5)


@lru_cache(maxsize=256)
def states(coating: Coating | None, *, full: bool, least: int = _LEAST, most: int = _MOST) -> States:
    """Return the states of a coating.

    Parameters
    ----------
    coating
        None for an uncoated stone.
    full
        Whether evenness and single layers vary too, as a reading needs; a ranking does without.
    least, most
        Fewest and most thickness nodes; odd.

    """
    if coating is None:
        return BARE
    if not full and (least, most) == (_LEAST, _MOST):
        # A reading computes these states too: whoever needs a few of them finds them there.
        return states(coating, full=True).nominal_evenness()
    index = np.stack([refractive_index(layer.material, WAVELENGTHS) for layer in coating.layers])
    nominal = np.array([layer.nm for layer in coating.layers])
    shared, alone = thickness_sd(coating)
    reach = REACH * float(np.hypot(shared, coating.stone_spread))
    band = 10  # 430 nm: the short end of what counts
    phase = 4.0 * np.pi * reach * float((index.real[:, band] * nominal).sum()) / WAVELENGTHS[band]
    nodes = min(most, max(least, int(np.ceil(2.0 * phase / _PHASE_STEP)) | 1)) if reach > 0 else 1
    scale = np.linspace(max(0.05, 1.0 - reach), 1.0 + reach, nodes) if nodes > 1 else np.ones(1)
    vary = full and coating.evenness_spread > 0 and coating.where != "foil"
    step = 3.0**0.5 * coating.evenness_spread
    evenness = np.array([-step, 0.0, step]) if vary else np.zeros(1)
    single = len(nominal) if full and alone > 0 else 0
    layer_step = 3.0**0.5 * alone if single else 0.0
    factor = np.concatenate(
        [np.repeat(scale, len(nominal)).reshape(-1, len(nominal))] * len(evenness)
        + [
            1.0 + sign * layer_step * np.eye(len(nominal))[i : i + 1]
            for i in range(single)
            for sign in (-1, 1)
        ]
    )
    power = np.concatenate(
        [np.repeat(coating.lay.evenness + evenness, nodes), np.full(2 * single, coating.lay.evenness)]
    )
    film = Film(index, nominal * factor, power.clip(0.0))
    # Under the foil the outermost layer, furthest from the glass, touches the metal.
    under = Film(index[::-1], film.thickness[:, ::-1], film.evenness)
    crown = film if coating.where in ("crown", "both") else None
    return States(crown, under if coating.where != "crown" else None, scale, evenness, layer_step, single)
