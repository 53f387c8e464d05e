"""A swatch as it was taken in: its colour, how that was got, and how sure it is in every direction."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.cloth import Cloth, cloth_kinds
from planner.swatch.cloth import cloth_words, of_cloth
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

    cloth: Cloth | None = None
    """What kind of cloth it is of, where that was said."""

    heard: tuple[tuple[str, str], ...] = ()
    """Where a name was guessed at: what it was taken as, then what else it may be, each with "#rrggbb"."""

    @property
    def worn(self) -> SwatchColour:
        """The colour where it is worn: over its backing, or as the mean of a weave.

        Raises
        ------
        ValueError
            If cloth of that kind cannot look so.
        """
        return of_cloth(self.colour, self.cloth)

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


def on_cloth(swatch: Taken, cloth: Cloth) -> Taken:
    """Return the swatch with the kind of its cloth, and what is to be said of that.

    Its colour and uncertainty stay as they were got: what the cloth does depends on where it is worn.
    """
    over = f" over {cloth_words(cloth.read_over or cloth.backing)}" if cloth.backing else ""
    return replace(
        swatch,
        how=f"{swatch.how}, {cloth.kind} cloth{over}",
        cloth=cloth,
        notes=(*swatch.notes, cloth_kinds()[cloth.kind].says),
    )
