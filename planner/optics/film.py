"""Exact coherent thin films: reflectance and transmittance of a stack of layers, many cells at once.

A cell is one Snell invariant (n·sin θ, conserved through all layers) at one wavelength; each is
computed for T thickness draws. The physics of one stack is in `planner.optics.climb`. This module
shares the work out:

- Each cell takes the cheapest road that is exact for it: real numbers where no layer absorbs or is
  evanescent, complex ones elsewhere, and none for total reflection off a film without absorption.
- Cells × draws go in chunks, large enough to be worth a call and small enough for the processor's
  cache, each thread using its own buffers again. NumPy frees the interpreter meanwhile, so plain
  threads work side by side.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.optics.climb import Cells, Complex, Real, Scratch, absorbing, cells_of, lossless

_CHUNK = 20800
"""Cells × draws worked at once: more leave the cache, and with fewer the threads wait for each other."""


@dataclass(frozen=True, slots=True)
class FilmResponse:
    """What a film does to light that meets it, as fractions of the power that arrives.

    Each array is (T, A, W), or (2, T, A, W) with s before p when asked for polarised; read-only.
    """

    front: Real
    """Reflectance from the outside medium; 1 where no wave can arrive there (invariant ≥ its index)."""
    back: Real
    """Reflectance from inside the substrate; NaN where the substrate absorbs or carries no wave."""
    through: Real
    """Transmittance, the same in both directions; 0 where either side carries no wave."""

    def arrays(self) -> tuple[Real, Real, Real]:
        """Return front, back, through."""
        return self.front, self.back, self.through


_Road: TypeAlias = Callable[[Cells, Real, bool, Scratch], tuple[Real, Real, Real]]
"""From cells, (t, L) draws and whether s and p are averaged to front, back and through (1 or 2, t, M)."""

_Place: TypeAlias = tuple[slice, slice | NDArray[np.intp]]
"""Thickness draws and cells of a chunk."""

_Job: TypeAlias = Callable[[Scratch], None]


def stack(
    wavelengths: ArrayLike,
    invariant: ArrayLike,
    thickness: ArrayLike,
    layer_index: ArrayLike,
    outside_index: ArrayLike,
    substrate_index: ArrayLike,
    *,
    polarised: bool = False,
    single: bool = False,
    threads: int = 2,
) -> FilmResponse:
    """Return reflectance from both sides and transmittance of a coherent stack of layers.

    Parameters
    ----------
    wavelengths
        (W,) in nanometres.
    invariant
        (A,) Snell invariant n·sin θ ≥ 0, conserved through the stack. For a film on glass in air,
        [0, 1) crosses the film; [1, n of the glass) is total reflection inside the glass.
    thickness
        (T, L) in nanometres ≥ 0: T draws of a stack of L layers, outermost first. L may be 0.
    layer_index
        (L, W) complex n + ik of each layer, k ≥ 0.
    outside_index
        (W,) real index of the medium outside.
    substrate_index
        (W,) complex index beneath the layers: glass, silicon, metal.
    polarised
        Keep s and p apart instead of their mean.
    single
        In single precision: right to 10⁻⁵ (a few of these for hundreds of layers), in half the time.
    threads
        Threads that share the work, when there is enough of it.

    Returns
    -------
    FilmResponse
        Fractions of power, each (T, A, W) or (2, T, A, W).

    Raises
    ------
    ValueError
        If shapes disagree or a value is outside its range.

    Examples
    --------
    A quarter wave of magnesium fluoride on glass (Hecht, Optics, ch. 9): 1.26 %.

    >>> film = stack([550.0], [0.0], [[550 / 4 / 1.38]], [[1.38]], [1.0], [1.52])
    >>> round(float(film.front[0, 0, 0]), 4)
    0.0126
    """
    wl, beta, nm, layers, n0, ns = _checked(
        wavelengths, invariant, thickness, layer_index, outside_index, substrate_index
    )
    b = beta[:, None]
    outer_wave = b < n0
    inner_wave = (ns.imag == 0) & (b < ns.real)
    absorbs = (layers.imag > 0).any(axis=0)
    waves = (b < layers.real[:, None]).all(axis=0)  # every layer carries a wave; (A, W)
    plain = outer_wave & inner_wave & ~absorbs & waves
    dark = inner_wave & ~outer_wave & ~absorbs

    shape = (2 if polarised else 1, nm.shape[0], b.size * wl.size)
    kind = np.float32 if single else np.float64
    out = FilmResponse(np.ones(shape, kind), np.ones(shape, kind), np.zeros(shape, kind))
    cells = cells_of(wl, b, layers, n0, ns)
    if single:
        cells, nm = cells.single(), nm.astype(kind)
    jobs = _jobs(lossless, cells, plain, nm, out) + _jobs(absorbing, cells, ~plain & ~dark, nm, out)
    _run(jobs, threads, kind)

    out.front[..., ~outer_wave.ravel()] = 1.0
    out.through[..., ~outer_wave.ravel()] = 0.0
    out.back[..., ~inner_wave.ravel()] = np.nan
    final = (nm.shape[0], b.size, wl.size)
    return FilmResponse(*(_sealed(a, (2, *final) if polarised else final) for a in out.arrays()))


def fresnel(
    invariant: ArrayLike, outside_index: ArrayLike, substrate_index: ArrayLike, *, polarised: bool = False
) -> FilmResponse:
    """Return the response of a bare interface: `stack` without layers, T = 1.

    Parameters are those of `stack`. Fresnel's equations: Born & Wolf, Principles of Optics, §1.5.2.
    """
    n0 = np.atleast_1d(np.asarray(outside_index))
    no_layer = np.empty((0, n0.size))
    return stack(
        np.ones(n0.size), invariant, np.empty((1, 0)), no_layer, n0, substrate_index, polarised=polarised
    )


def _jobs(road: _Road, cells: Cells, chosen: NDArray[np.bool_], nm: Real, out: FilmResponse) -> list[_Job]:
    """Return the work of taking `road` for the `chosen` (A, W) cells, in chunks that fit the cache."""
    at = np.flatnonzero(chosen)
    jobs: list[_Job] = []
    for block in np.array_split(at, -(-at.size // _CHUNK)) if at.size else ():
        whole = block[-1] - block[0] + 1 == block.size
        where = slice(block[0], block[-1] + 1) if whole else block
        part = cells.part(where)
        rows = max(1, _CHUNK // block.size)
        for first in range(0, len(nm), rows):
            draws = slice(first, first + rows)
            jobs.append(partial(_write, out, (draws, where), road, part, nm[draws]))
    return jobs


def _write(out: FilmResponse, place: _Place, road: _Road, part: Cells, nm: Real, scratch: Scratch) -> None:
    """Take `road` for one chunk and write what it finds in its place."""
    for target, found in zip(out.arrays(), road(part, nm, len(out.front) == 1, scratch), strict=True):
        target[(slice(None), *place)] = found


def _run(jobs: list[_Job], threads: int, kind: Any) -> None:
    """Do the jobs, on several threads if there are enough of them."""
    if threads <= 1 or len(jobs) < 4 * threads:
        _do(jobs, kind)
        return
    from concurrent.futures import ThreadPoolExecutor  # its logging takes long to import

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(partial(_do, kind=kind), [jobs[first::threads] for first in range(threads)]))


def _do(jobs: list[_Job], kind: Any) -> None:
    """Do the jobs one after another."""
    scratch = Scratch(kind)
    for job in jobs:
        job(scratch)


def _sealed(array: Real, shape: tuple[int, ...]) -> Real:
    """Return `array` in its final shape, read-only."""
    array = array.reshape(shape)
    array.flags.writeable = False
    return array


def _checked(*given: ArrayLike) -> tuple[Real, Real, Real, Complex, Real, Complex]:
    """Return the six arrays of `stack`, in its order, with agreeing shapes; or say what is wrong."""
    wavelengths, invariant, thickness, layer_index, outside_index, substrate_index = given
    wl, beta, nm = (np.asarray(a, float) for a in (wavelengths, invariant, thickness))
    layers, ns = np.asarray(layer_index, complex), np.asarray(substrate_index, complex)
    if np.iscomplexobj(outside_index):
        raise ValueError("The medium outside a film must have a real index: light reaches it from there.")
    n0 = np.asarray(outside_index, float)
    W, L = wl.size, len(layers)
    for name, array, shape in (
        ("wavelengths", wl, (W,)),
        ("invariant", beta, (beta.size,)),
        ("layer_index", layers, (L, W)),
        ("thickness", nm, (len(nm), L)),
        ("outside_index", n0, (W,)),
        ("substrate_index", ns, (W,)),
    ):
        if array.shape != shape:
            raise ValueError(f"{name} has shape {array.shape} where {shape} was expected.")
    for name, value in (
        ("invariant", beta),
        ("thickness", nm),
        ("k", layers.imag),
        ("k", ns.imag),
    ):
        wrong = value[~((value >= 0) & np.isfinite(value))]
        if wrong.size:
            raise ValueError(f"{name} must be at least 0 and finite; found {wrong[0]:g}.")
    return wl, beta, nm, layers, n0, ns
