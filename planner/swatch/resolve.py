"""One swatch, however it came in: its colour, a spectrum to move it by, and how sure both are."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.catalogue.cloth import Cloth
from planner.colour.cielab import lab_to_xyz, xyz_to_lab
from planner.colour.grid import resample
from planner.colour.observer import illuminant
from planner.colour.screen import parse_hex, srgb_to_lab, to_hex
from planner.colour.tristimulus import weights
from planner.refusal import InvalidValue
from planner.swatch.recover import RECOVERY_SPREAD, reflectance_from_xyz

Basis = Literal["invented", "estimated", "measured"]

TYPED_UNCERTAINTY: Final = 3.0
"""ΔE00 of a colour typed or picked on a screen that nobody calibrated (our choice)."""

MEASURED_UNCERTAINTY: Final = 0.5
"""ΔE00 between good instruments on matt samples (common practice, no source)."""

# Shares of a neon colour's light, of which one is a surface's: dimmed far enough, almost any colour is.
_DIMMER: Final = (1.0, 0.8, 0.6, 0.4, 0.2, 0.05)
# Neon cloth returns up to about twice what it receives at its peak (common practice, no source).
_HIGHEST_FLUORESCENT: Final = 3.0
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

    fluorescent: bool = False
    """True for neon cloth, which gives back more than it gets. Its "reflectance" has the right colour in
    daylight and says nothing of other light."""

    how: str = ""
    """How it was got, in a few words without a full stop; empty where nobody said."""

    cloth: Cloth | None = None
    """What kind of cloth it is of; None where nobody said, which counts as matte."""

    beyond: NDArray[np.float64] | None = None
    """Covariance of L*, a*, b* under D65, (3, 3), that comes on top of `uncertainty`: what lies behind."""

    ends: NDArray[np.float64] | None = None
    """Reflectances (2, 81) of the two threads of a weave, of which `reflectance` is then the mean."""

    @property
    def uncertainty_elsewhere(self) -> float:
        """Uncertainty under any other light than D65, root mean square ΔE00."""
        return float(np.hypot(self.uncertainty, RECOVERY_SPREAD if self.recovered else 0.0))


def from_lab(
    lab: ArrayLike,
    *,
    uncertainty: float = TYPED_UNCERTAINTY,
    basis: Basis = "estimated",
    fluorescent: bool = False,
    how: str = "",
) -> SwatchColour:
    """Return a swatch from CIELAB under D65, shape (3,), with the smoothest spectrum of that colour.

    A `fluorescent` swatch may be brighter than any reflecting surface; where it is, its spectrum is that
    of the brightest such surface of its chromaticity, scaled to the colour, and exceeds 1.

    Raises
    ------
    ValueError
        If no reflecting surface has the colour, or the uncertainty is negative.
    """
    colour = np.array(lab, dtype=np.float64)
    _check_uncertainty(uncertainty)
    if colour.shape != (3,) or not np.isfinite(colour).all():
        raise InvalidValue(f"A CIELAB colour is three numbers, L*, a* and b*: found {colour.tolist()}.")
    try:
        xyz, light = lab_to_xyz(colour), weights(illuminant("D65"))
        reflectance = _radiance_factor(xyz, light) if fluorescent else reflectance_from_xyz(xyz, light)
    except InvalidValue:
        shown = ", ".join(f"{value:g}" for value in colour)
        raise InvalidValue(
            f"No reflecting surface has L*, a*, b* of {shown} in daylight: check the numbers; "
            f"a neon cloth fluoresces, and must be called fluorescent."
        ) from None
    return SwatchColour(_kept(colour), _kept(reflectance), uncertainty, basis, True, fluorescent, how)


def _radiance_factor(xyz: NDArray[np.float64], light: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the smoothest spectrum of the colour, scaled from the brightest surface that has one."""
    for share in _DIMMER:
        try:
            return reflectance_from_xyz(share * xyz, light) / share
        except InvalidValue:
            continue
    raise InvalidValue("No light that a cloth sends back has this colour.")


def from_hex(
    text: str, *, uncertainty: float = TYPED_UNCERTAINTY, basis: Basis = "estimated"
) -> SwatchColour:
    """Return a swatch from a typed sRGB colour such as "#2a4b9c".

    Raises
    ------
    ValueError
        If `text` is no such colour, or the uncertainty is negative.
    """
    rgb = parse_hex(text)
    return from_lab(
        srgb_to_lab(rgb), uncertainty=uncertainty, basis=basis, how=f"typed as sRGB {to_hex(rgb)}"
    )


def from_reflectance(
    wavelengths: ArrayLike,
    values: ArrayLike,
    *,
    uncertainty: float = MEASURED_UNCERTAINTY,
    basis: Basis = "measured",
    fluorescent: bool = False,
    how: str = "",
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
    fluorescent : bool
        Neon cloth: the table is then total radiance factor in the instrument's own light, up to 3.

    Raises
    ------
    ValueError
        If the table is not a reflectance over 400–700 nm, or the uncertainty is negative.
    """
    _check_uncertainty(uncertainty)
    reflectance = resample(wavelengths, values)
    low, high = reflectance.min(), reflectance.max()
    if high > (_HIGHEST_FLUORESCENT if fluorescent else _HIGHEST) or low < _LOWEST:
        raise InvalidValue(
            f"A reflectance lies between 0 and 1 (up to {_HIGHEST:g} for brightened cloth): "
            f"found {low:g} to {high:g}; a table in per cent must be divided by 100."
        )
    reflectance = np.maximum(reflectance, 0.0)
    lab = xyz_to_lab(reflectance @ weights(illuminant("D65")))
    return SwatchColour(_kept(lab), _kept(reflectance), uncertainty, basis, False, fluorescent, how)


def _check_uncertainty(uncertainty: float) -> None:
    if not 0 <= uncertainty < np.inf:
        raise InvalidValue(f"A swatch's uncertainty is a ΔE00 of 0 or more: found {uncertainty:g}.")


def _kept(array: NDArray[np.float64]) -> NDArray[np.float64]:
    array.setflags(write=False)
    return array
