"""What a stone is made of: how its material refracts, how its body absorbs, how its foil reflects.

``shared/glasses.toml`` says what each material refracts like, ``shared/colourants.toml`` which bands
each colourant absorbs. Absorption coefficients are per millimetre to base e: light that has gone x mm
through a body keeps exp(−a·x) (Beer–Lambert).
"""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.data import shared
from planner.optics.film import stack
from planner.optics.materials import refractive_index

Real: TypeAlias = NDArray[np.float64]

_D, _F, _C = 587.5618, 486.1327, 656.2725
"""Spectral lines d, F and C (nm) that define index and Abbe number."""

_CM_NM = 1e7
"""Wavenumber in cm⁻¹ times wavelength in nm."""

_DARKEST = 1e-4
"""Least internal transmittance told apart from none: absorbance 4 is beyond common instruments."""

_NOISE = 0.02
"""An internal transmittance up to this much over 1 is measurement noise and read as 1."""


def _table(name: str) -> dict[str, Any]:
    """Read a table of ``shared/``."""
    with shared(name).open("rb") as file:
        return tomllib.load(file)


GLASSES: Mapping[str, Mapping[str, Any]] = MappingProxyType(_table("glasses.toml"))
"""Stone materials by name, with index or page, reference and note."""


@dataclass(frozen=True, slots=True)
class Colourant:
    """One thing that colours a body: Gaussian bands, an edge, or a mix of others."""

    name: str
    """In words."""
    unit: str
    """What a concentration of 1 means."""
    bands: tuple[tuple[float, float, float], ...] = ()
    """Centre and full width (cm⁻¹), decadic absorbance per mm at unit concentration."""
    edge: tuple[float, float, float] | None = None
    """Cut-off (nm), strength (decadic absorbance per mm) and width (cm⁻¹) of an absorption edge."""
    mix: tuple[tuple[str, float], ...] = ()
    """Other colourants, and how much of each."""


def _colourants() -> dict[str, Colourant]:
    """Read all colourants; one with cut-offs becomes one for each, such as ``cadmium-600``."""
    found = {}
    for key, row in _table("colourants.toml").items():
        name, unit = row["name"], row["unit"]
        if "edge" in row:
            for nm in row["cut_offs_nm"]:
                edge = (nm, row["edge"]["strength"], row["edge"]["width"])
                found[f"{key}-{nm}"] = Colourant(f"{name}; {nm} nm", unit, edge=edge)
        else:
            bands = tuple(tuple(band) for band in row.get("bands", ()))
            found[key] = Colourant(name, unit, bands=bands, mix=tuple(row.get("mix", {}).items()))
    return found


COLOURANTS: Mapping[str, Colourant] = MappingProxyType(_colourants())
"""Colourants by id: ``"cobalt"``, ``"cadmium-600"``, ``"dye-red"`` and so on."""


def glass_index(material: str, wavelengths: ArrayLike) -> Real:
    """Return the refractive index (W,) of a stone material at `wavelengths` (W,) in nm.

    Raises
    ------
    ValueError
        If the material is not in `GLASSES`, or a wavelength lies outside its published set.
    """
    if material not in GLASSES:
        raise ValueError(f"No stone material is called '{material}'; there are {', '.join(GLASSES)}.")
    row, wl = GLASSES[material], np.asarray(wavelengths, float)
    if "sellmeier" in row:
        low, high = row["range_nm"]
        if outside := [one for one in wl if not low <= one <= high]:
            raise ValueError(
                f"The index of {material} covers {low} to {high} nm: {outside[0]:g} nm was asked for."
            )
        square = (wl / 1000.0) ** 2
        return np.asarray(np.sqrt(1.0 + sum(b * square / (square - c) for b, c in row["sellmeier"])))
    # n = A + B/λ² with n(d) as given and n(F) − n(C) = (n(d) − 1)/V
    B = (row["index_d"] - 1) / row["abbe"] / (_F**-2 - _C**-2)
    return np.asarray(row["index_d"] + B * (wl**-2 - _D**-2))


@cache
def glass_index_d(material: str) -> float:
    """Return the refractive index of a stone material at the helium d line, 587.6 nm."""
    return float(glass_index(material, [_D])[0])


def body_absorption(colourants: Mapping[str, float], wavelengths: ArrayLike) -> Real:
    """Return the absorption coefficient of a body coloured by `colourants`.

    Parameters
    ----------
    colourants
        Concentration ≥ 0 by id from `COLOURANTS`, in the unit each states. Empty is clear.
    wavelengths
        (W,) in nanometres.

    Returns
    -------
    ndarray
        (W,) per mm, base e, ≥ 0. Concentrations add (Beer–Lambert).

    Raises
    ------
    ValueError
        If a colourant is unknown or a concentration negative or not finite.
    """
    wavenumber = _CM_NM / np.asarray(wavelengths, float)
    total = np.zeros(wavenumber.shape)
    for key, concentration in colourants.items():
        if key not in COLOURANTS:
            raise ValueError(f"No colourant is called '{key}'; there are {', '.join(COLOURANTS)}.")
        if not 0 <= concentration < math.inf:
            raise ValueError(f"The concentration of {key} must be 0 or more; found {concentration:g}.")
        total += concentration * _absorbance(COLOURANTS[key], wavenumber)
    return total * math.log(10)


def _absorbance(colourant: Colourant, wavenumber: Real) -> Real:
    """Return decadic absorbance per mm (W,) at unit concentration."""
    total = np.zeros(wavenumber.shape)
    for centre, width, strength in colourant.bands:
        total += strength * np.exp(-4 * math.log(2) * ((wavenumber - centre) / width) ** 2)
    if colourant.edge:
        cut_off, strength, width = colourant.edge
        # At the cut-off strength/(1 + exp((v0 − v)/width)) is to be log10(2).
        v0 = _CM_NM / cut_off + width * math.log(strength / math.log10(2) - 1)
        total += strength / (1 + np.exp((v0 - wavenumber) / width))
    for key, amount in colourant.mix:
        total += amount * _absorbance(COLOURANTS[key], wavenumber)
    return total


def absorption_from_transmittance(transmittance: ArrayLike, depth_mm: float) -> Real:
    """Return the absorption coefficient (W,) per mm that leaves `transmittance` (W,) after `depth_mm`.

    Internal transmittance runs from 0 to 1. Up to 1.02 is taken for 1 (noise), less than 10⁻⁴ for
    10⁻⁴: how much darker a body is than that, no measurement of it tells.

    Raises
    ------
    ValueError
        If a transmittance is not finite, below 0 or above 1.02, or the depth not above 0.
    """
    kept = np.asarray(transmittance, float)
    if not 0 < depth_mm < math.inf:
        raise ValueError(f"A depth must be above 0 mm; found {depth_mm:g}.")
    wrong = kept[~((kept >= 0) & (kept <= 1 + _NOISE))]
    if wrong.size:
        raise ValueError(f"An internal transmittance must lie from 0 to 1; found {wrong[0]:g}.")
    return np.asarray(-np.log(np.clip(kept, _DARKEST, 1.0)) / depth_mm)


def foil_reflectance(
    metal: str,
    glass: ArrayLike,
    invariant: ArrayLike,
    wavelengths: ArrayLike,
    film: tuple[ArrayLike, ArrayLike] | None = None,
) -> Real:
    """Return the reflectance of a foiled back, seen from inside the glass.

    Parameters
    ----------
    metal
        A name in `materials.MATERIALS`, such as ``"Ag"`` or ``"Al"``.
    glass
        (W,) real refractive index of the stone.
    invariant
        (A,) n·sin θ in the glass.
    wavelengths
        (W,) in nanometres.
    film
        Layers between glass and metal, glass side first: thickness (T, L) in nm and index (L, W).

    Returns
    -------
    ndarray
        (T, A, W), unpolarised; T is 1 without a film.
    """
    wl = np.asarray(wavelengths, float)
    thickness, layers = film or (np.empty((1, 0)), np.empty((0, wl.size)))
    return stack(wl, invariant, thickness, layers, glass, refractive_index(metal, wl)).front
