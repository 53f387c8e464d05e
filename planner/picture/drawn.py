"""Pictures kept between runs: a page made again shows most of them again.

They are found by everything that they show, and by the text of the rooms that draw them
(`planner.optics.store`), so that none is found for anything else.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from planner.optics.arrays import Floats
from planner.optics.store import fingerprint, kept
from planner.reading.matter import absorption
from planner.reading.question import Question
from planner.reading.scene import scene

_HERE = Path(__file__).parent
_ROOMS = tuple(_HERE.parent / name for name in ("picture", "reading", "colour", "cover", "swatch"))


@dataclass(frozen=True, eq=False)
class _Drawn:
    rgb: NDArray[np.uint8]
    """(H, W, 3) sRGB."""


def drawn(
    shown: Sequence[Question], how: object, draw: Callable[[], NDArray[np.uint8]]
) -> NDArray[np.uint8]:  # fmt: skip
    """Return what `draw` does, (H, W, 3) sRGB, from an earlier run if it is there.

    Parameters
    ----------
    shown
        Every question whose stones are in the picture. How near they must come to a swatch changes nothing.
    how
        All else that it depends on: plain values, whose `repr` tells all of them.
    draw
        Draws it.

    """
    # An entry may name a file of spectra, and an array's repr leaves digits out: both are told in full.
    spectra = fingerprint(*(part for one in shown for part in _spectra(one)))
    asked = [repr(replace(one, tolerance="seats", wish="blend")) for one in shown]
    return kept(_Drawn, (asked, spectra, how), lambda: _Drawn(draw()), *_ROOMS).rgb


def _spectra(one: Question) -> tuple[Floats, ...]:
    place = scene(one.venue)
    return (
        absorption(one.stone, one.cut),
        one.cloth.reflectance,
        one.swatch.reflectance,
        place.white,
        place.eye,
    )
