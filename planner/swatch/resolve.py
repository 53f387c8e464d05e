"""One swatch, however it came in: its colour, a spectrum to move it by, and how sure both are."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.grid import resample
from planner.colour.observer import illuminant
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.colour.tristimulus import weights
from planner.swatch.recover import RECOVERY_SPREAD, reflectance_from_xyz

Basis = Literal["invented", "estimated", "measured"]

TYPED_UNCERTAINTY: Final = 3.0
"""ΔE00 of a colour typed or picked on a screen that nobody calibrated (our choice)."""

MEASURED_UNCERTAINTY: Final = 0.5
"""ΔE00 between good instruments on matt samples (common practice, no source)."""

# Brightened cloth returns more than it receives in the blue; beyond this the table is in per cent.
_HIGHEST: Final = 1.5
# A dark sample may read a little below an instrument's zero.
_LOWEST: Final = -0.01


@dataclass(frozen=True, slots=True, eq=False)
class SwatchColour:
    """What is known of a swatch."""

    lab: NDArray[np.float64]
    """CIELAB under D65, 2° observer, shape (3,)."""

    reflectance: NDArray[np.float64]
    """Reflectance on the planner's grid, shape (81,); above 1 only where brightened cloth was measured."""

    uncertainty: float
    """Of the colour under D65: root mean square ΔE00, which about two readings in three stay within."""

    basis: Basis
    """Where the colour comes from."""

    recovered: bool
    """True if the reflectance is the smoothest with that colour, not a measurement."""

    @property
    def uncertainty_elsewhere(self) -> float:
        """Uncertainty under any other light than D65, root mean square ΔE00."""
        return float(np.hypot(self.uncertainty, RECOVERY_SPREAD if self.recovered else 0.0))


def from_lab(
    lab: ArrayLike, *, uncertainty: float = TYPED_UNCERTAINTY, basis: Basis = "estimated"
) -> SwatchColour:
    """Return a swatch from CIELAB under D65, shape (3,), with the smoothest spectrum of that colour.

    Raises
    ------
    ValueError
        If no reflecting surface has the colour, or the uncertainty is negative.
    """
    colour = np.array(lab, dtype=np.float64)
    _check_uncertainty(uncertainty)
    if colour.shape != (3,) or not np.isfinite(colour).all():
        raise ValueError(f"A CIELAB colour is three numbers, L*, a* and b*: found {colour.tolist()}.")
    try:
        reflectance = reflectance_from_xyz(lab_to_xyz(colour), weights(illuminant("D65")))
    except ValueError:
        shown = ", ".join(f"{value:g}" for value in colour)
        raise ValueError(
            f"No reflecting surface has L*, a*, b* of {shown} in daylight: check the numbers; "
            f"a neon cloth fluoresces, and needs a measured spectrum."
        ) from None
    return SwatchColour(_kept(colour), _kept(reflectance), uncertainty, basis, recovered=True)


def from_hex(
    text: str, *, uncertainty: float = TYPED_UNCERTAINTY, basis: Basis = "estimated"
) -> SwatchColour:
    """Return a swatch from a typed sRGB colour such as "#2a4b9c".

    Raises
    ------
    ValueError
        If `text` is no such colour, or the uncertainty is negative.
    """
    return from_lab(srgb_to_lab(parse_hex(text)), uncertainty=uncertainty, basis=basis)


def from_reflectance(
    wavelengths: ArrayLike,
    values: ArrayLike,
    *,
    uncertainty: float = MEASURED_UNCERTAINTY,
    basis: Basis = "measured",
) -> SwatchColour:
    """Return a swatch from its measured reflectance.

    Parameters
    ----------
    wavelengths : array_like, shape (n,)
        Nanometres, at least from 400 to 700.
    values : array_like, shape (n,)
        Reflectance, 1 for the perfect diffuser. Up to 1.5 for brightened cloth, whose table then
        holds only in light with as much ultraviolet as the instrument's.
    uncertainty : float
        Root mean square ΔE00.
    basis : str

    Raises
    ------
    ValueError
        If the table is not a reflectance over 400–700 nm, or the uncertainty is negative.
    """
    _check_uncertainty(uncertainty)
    reflectance = resample(wavelengths, values)
    low, high = reflectance.min(), reflectance.max()
    if high > _HIGHEST or low < _LOWEST:
        raise ValueError(
            f"A reflectance lies between 0 and 1 (up to {_HIGHEST:g} for brightened cloth): "
            f"found {low:g} to {high:g}; a table in per cent must be divided by 100."
        )
    reflectance = np.maximum(reflectance, 0.0)
    lab = xyz_to_lab(reflectance @ weights(illuminant("D65")))
    return SwatchColour(_kept(lab), _kept(reflectance), uncertainty, basis, recovered=False)


def _check_uncertainty(uncertainty: float) -> None:
    if not 0 <= uncertainty < np.inf:
        raise ValueError(f"A swatch's uncertainty is a ΔE00 of 0 or more: found {uncertainty:g}.")


def _kept(array: NDArray[np.float64]) -> NDArray[np.float64]:
    array.setflags(write=False)
    return array
