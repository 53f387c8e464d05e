"""A swatch as it was taken in: its colour, how that was got, and how sure it is in every direction."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.swatch.cloth import ClothKind
from planner.swatch.resolve import SwatchColour
from planner.swatch.spread import covariance_of, half_width, rms


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """A swatch's colour and the story behind it."""

    colour: SwatchColour
    """The colour as everything else uses it."""

    how: str
    """How it was got, in a few words without a full stop."""

    covariance: NDArray[np.float64]
    """Of L*, a*, b* under D65, shape (3, 3)."""

    notes: tuple[str, ...] = ()
    """What a person should know of it, one sentence each."""

    @property
    def half_width(self) -> float:
        """ΔE00 which the true colour is within, nine times in ten."""
        return half_width(self.colour.lab, self.covariance)


def taken(
    colour: SwatchColour,
    how: str,
    covariance: NDArray[np.float64] | None = None,
    notes: tuple[str, ...] = (),
) -> Taken:
    """Return a swatch as taken in, whose uncertainty follows from its covariance.

    Parameters
    ----------
    colour : SwatchColour
        Its own uncertainty counts only where no covariance is given, and is then taken alike in all
        directions.
    how : str
    covariance : ndarray, shape (3, 3), optional
    notes : tuple of str
    """
    if covariance is None:
        return Taken(colour, how, covariance_of(colour.lab, colour.uncertainty), notes)
    return Taken(replace(colour, uncertainty=rms(colour.lab, covariance)), how, covariance, notes)


def on_cloth(swatch: Taken, kind: ClothKind, backing: str | None = None) -> Taken:
    """Return the swatch with what its kind of cloth adds to its uncertainty, and says."""
    over = f" over {backing}" if kind.backing and backing else ""
    return taken(
        swatch.colour,
        f"{swatch.how}, {kind.id} cloth{over}",
        swatch.covariance + kind.covariance,
        (*swatch.notes, kind.says),
    )
