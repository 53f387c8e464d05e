"""Exact coherent thin films: reflectance and transmittance of a stack of layers, many cells at once.

A stack of layers between an outside medium and a substrate is the product of one 2 × 2
characteristic matrix per layer (F. Abelès, Ann. Phys. 12, 596, 1950; H. A. Macleod, Thin-Film
Optical Filters, ch. 2). Fields go as exp(−iωt), so an absorbing index is n + ik with k ≥ 0. With
β the Snell invariant n·sin θ, κ = √(n² − β²), phase δ = 2πκd/λ, and tilted admittance η = κ for s
and n²/κ for p polarisation, the tangential fields (B, C) climb through a layer as

    B' = cos δ · B − i sin δ/η · C,      C' = cos δ · C − i η sin δ · B,

from (1, η of the substrate) at the bottom. The arrangement below asks less of the processor:

- cos δ is divided out. Only u = tan δ is left, one quick function instead of two slow ones, and with
  Q = −iC a layer is B' = B + (u/η)·Q, Q' = Q − (u·η)·B. Ratios (reflectances) do not notice; for the
  transmittance the divided-out |cos δ|² are collected, or got back from the conserved power.
- Without absorption E = u·η and F = u/η are real, so real and imaginary parts are separate planes,
  reflectance is the same from both sides, and it is 1 − transmittance.
- With absorption the same recurrence runs in complex numbers. Reflectance from inside the substrate
  needs a second pair, started from (1, −η): up to the first absorbing layer it is the conjugate of
  the first pair, so it is only split off there.
- Each cell (invariant, wavelength) takes the cheapest road that is exact for it; total reflection
  off a film without absorption costs nothing.
- Cells × thickness draws are worked in chunks that stay in a core's own cache, with every result
  written into buffers made once per chunk; NumPy frees the interpreter meanwhile, so that plain
  threads share the chunks.
"""

import math
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Real: TypeAlias = NDArray[np.float64]
Complex: TypeAlias = NDArray[np.complex128]

_CHUNK = 10400
"""Cells × draws worked at once: larger chunks leave the cache, smaller ones pay more for each call."""

_RESCALE = 8
"""Layers between rescalings: eight tangents of at most 2·10¹⁶, squared, stay below 10³⁰⁸."""

_LEAST_KAPPA = 1e-7
"""Stands in for κ = 0 (a wave grazing a layer): tan(κz)/κ is then z to 10⁻¹⁴ (κz)² parts."""


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


@dataclass(frozen=True, slots=True)
class _Cells:
    """Constants of M cells (invariant, wavelength), flattened; an axis of 2 is s, p."""

    phase: Complex
    """δ per nanometre of thickness (L, M)."""
    slopes: Complex
    """η and 1/η, which turn u into E and F (L, 2, 2, 1, M)."""
    outside: Complex
    """Admittance η₀ (2, 1, M)."""
    substrate: Complex
    """Admittance ηₛ (2, 1, M)."""
    absorbs: NDArray[np.bool_]
    """Whether the layer absorbs (L, M)."""

    def part(self, at: slice | NDArray[np.intp]) -> "_Cells":
        """Return the cells `at`."""
        return _Cells(
            self.phase[:, at],
            self.slopes[..., at],
            self.outside[..., at],
            self.substrate[..., at],
            self.absorbs[:, at],
        )


class _Scratch:
    """Buffers that one thread uses again for each of its chunks: fresh memory costs more than sums do."""

    def __init__(self) -> None:
        self._flat: dict[tuple[str, type], NDArray[Any]] = {}

    def real(self, name: str, *shape: int) -> Real:
        """Return the buffer of that name, its content left over from another use."""
        return self._lend(name, float, shape)

    def complex(self, name: str, *shape: int) -> Complex:
        """Return the complex buffer of that name, likewise."""
        return self._lend(name, complex, shape)

    def _lend(self, name: str, kind: type, shape: tuple[int, ...]) -> NDArray[Any]:
        size = math.prod(shape)
        flat = self._flat.get((name, kind))
        if flat is None or flat.size < size:
            flat = self._flat[name, kind] = np.empty(size, kind)
        return flat[:size].reshape(shape)


_Road: TypeAlias = Callable[[_Cells, Real, bool, _Scratch], tuple[Real, Real, Real]]
"""From cells, (t, L) draws and whether s and p are averaged to front, back and through (1 or 2, t, M)."""

_Place: TypeAlias = tuple[slice, slice | NDArray[np.intp]]
"""Thickness draws and cells of a chunk."""

_Job: TypeAlias = Callable[[_Scratch], None]


def stack(  # noqa: PLR0917 - the stack from the light's side to the substrate, six arrays in that order
    wavelengths: ArrayLike,
    invariant: ArrayLike,
    thickness: ArrayLike,
    layer_index: ArrayLike,
    outside_index: ArrayLike,
    substrate_index: ArrayLike,
    *,
    polarised: bool = False,
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
    out = FilmResponse(np.ones(shape), np.ones(shape), np.zeros(shape))
    cells = _cells(wl, b, layers, n0, ns)
    jobs = _jobs(_lossless, cells, plain, nm, out) + _jobs(_absorbing, cells, ~plain & ~dark, nm, out)
    _run(jobs, threads)

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


def _jobs(road: _Road, cells: _Cells, chosen: NDArray[np.bool_], nm: Real, out: FilmResponse) -> list[_Job]:
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


def _write(out: FilmResponse, place: _Place, road: _Road, part: _Cells, nm: Real, scratch: _Scratch) -> None:
    """Take `road` for one chunk and write what it finds in its place."""
    for target, found in zip(out.arrays(), road(part, nm, len(out.front) == 1, scratch), strict=True):
        target[(slice(None), *place)] = found


def _run(jobs: list[_Job], threads: int) -> None:
    """Do the jobs, on several threads if there are enough of them."""
    if threads <= 1 or len(jobs) < 4 * threads:
        _do(jobs)
        return
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(_do, [jobs[first::threads] for first in range(threads)]))


def _do(jobs: list[_Job]) -> None:
    """Do the jobs one after another."""
    scratch = _Scratch()
    for job in jobs:
        job(scratch)


def _lossless(cells: _Cells, nm: Real, mean: bool, scratch: _Scratch) -> tuple[Real, Real, Real]:
    """Climb layers that neither absorb nor are evanescent: real E and F, planes of B and Q.

    The conserved power Re(B C*) gives the transmittance 4 η₀ Re(B C*) / |η₀B + C|².
    """
    shape = (len(nm), cells.phase.shape[-1])
    outside, substrate = cells.outside.real, cells.substrate.real
    u, EF = scratch.real("u", *shape), scratch.real("EF", 2, 2, *shape)
    # B and Q and what they gain have a real and an imaginary plane, each with s and p.
    B, Q, up, down = (scratch.real(name, 2, 2, *shape) for name in ("B", "Q", "up", "down"))
    B[0], B[1], Q[0], Q[1] = 1.0, 0.0, 0.0, -substrate
    for done, layer in enumerate(reversed(range(nm.shape[1])), 1):
        np.multiply(nm[:, layer, None], cells.phase[layer].real, out=u)
        np.tan(u, out=u)
        np.multiply(cells.slopes[layer].real, u, out=EF)
        if done == 1:  # B is still real and Q imaginary
            np.multiply(EF[1], -substrate, out=B[1])
            np.negative(EF[0], out=Q[0])
            continue
        np.multiply(EF[1], Q, out=up)
        np.multiply(EF[0], B, out=down)
        B += up
        Q -= down
        if done % _RESCALE == 0:
            scale = 1 / np.sqrt((B * B + Q * Q).sum(axis=0))
            B *= scale
            Q *= scale
    np.multiply(B, Q[::-1], out=up)  # power is Bi Qr - Br Qi
    power = np.subtract(up[1], up[0], out=up[0])
    power *= 4 * outside
    B *= outside
    D = np.add(np.square(B[0] - Q[1], out=down[0]), np.square(B[1] + Q[0], out=down[1]), out=down[0])
    through = _settled(np.minimum(np.divide(power, D, out=D), 1.0, out=D), mean)
    front = 1 - through
    return front, front, through


def _absorbing(cells: _Cells, nm: Real, mean: bool, scratch: _Scratch) -> tuple[Real, Real, Real]:
    """Climb any layers: complex E and F, and a second pair (B, Q) for the light from inside."""
    shape = (len(nm), cells.phase.shape[-1])
    u, EF = scratch.complex("u", *shape), scratch.complex("EF", 2, 2, *shape)
    # Pairs from outside and, once split off, from inside; each with s and p.
    B, Q, up, down = (scratch.complex(name, 2, 2, *shape) for name in ("B", "Q", "up", "down"))
    pairs = slice(0, 1)
    B[0], Q[0] = 1.0, -1j * cells.substrate
    kept: Real = np.ones((1, *shape))  # product of 1/|cos δ|²
    inside = not cells.substrate.imag.all()  # otherwise no light comes from there
    for done, layer in enumerate(reversed(range(nm.shape[1])), 1):
        if inside and pairs.stop == 1 and cells.absorbs[layer].any():
            pairs = _split(B, Q)
        kept *= _tangent(cells.phase[layer], nm[:, layer, None], u)
        np.multiply(cells.slopes[layer], u, out=EF)
        np.multiply(EF[1], Q[pairs], out=up[pairs])
        np.multiply(EF[0], B[pairs], out=down[pairs])
        B[pairs] += up[pairs]
        Q[pairs] -= down[pairs]
        if done % _RESCALE == 0:
            scale = 1 / np.sqrt(_power(B[0]) + _power(Q[0]))
            B[pairs] *= scale
            Q[pairs] *= scale
            kept = kept * scale**2
    if pairs.stop == 1:
        _split(B, Q)
    B *= cells.outside
    Q *= 1j
    over = 1 / _power(B[0] + Q[0])
    front = _power(B[0] - Q[0]) * over
    back = _power(B[-1] + Q[-1]) * over
    through = kept * over
    through *= 4 * cells.outside.real * cells.substrate.real
    return _settled(front, mean), _settled(back, mean), _settled(through, mean)


def _split(B: Complex, Q: Complex) -> slice:
    """Start the pair for light from inside: so far it is the conjugate of the other. Return both."""
    np.conjugate(B[0], out=B[1])
    np.conjugate(Q[0], out=Q[1])
    return slice(0, 2)


def _tangent(phase: Complex, nm: Real, u: Complex) -> Real:
    """Write tan δ into `u`, return 1/|cos δ|²; δ = a + ib from tan a and tanh b, which never overflow."""
    t = np.tan(phase.real * nm)
    tt = t * t
    if not phase.imag.any():
        u.real, u.imag = t, 0.0
        return 1 + tt
    h = np.tanh(phase.imag * nm)
    hh = h * h
    share = 1 / (1 + tt * hh)
    u.real = t * (1 - hh) * share
    u.imag = h * (1 + tt) * share
    kept: Real = (1 + tt) * (1 - hh) * share
    return kept


def _settled(both: Real, mean: bool) -> Real:
    """Return s and p (2, t, M), or their mean (1, t, M)."""
    return 0.5 * (both[:1] + both[1:]) if mean else both


def _power(amplitude: Complex) -> Real:
    """Return |amplitude|²."""
    power: Real = amplitude.real**2 + amplitude.imag**2
    return power


def _sealed(array: Real, shape: tuple[int, ...]) -> Real:
    """Return `array` in its final shape, read-only."""
    array = array.reshape(shape)
    array.flags.writeable = False
    return array


def _cells(wl: Real, b: Real, layers: Complex, n0: Real, ns: Complex) -> _Cells:
    """Return the constants of all cells, from b (A, 1) and indices (L, W) and (W,)."""
    L, M = len(layers), b.size * wl.size
    kappa, eta = _admittances(layers, b)
    return _Cells(
        phase=(2 * np.pi * kappa / wl).reshape(L, M),
        slopes=np.stack([eta, 1 / eta], axis=1).reshape(L, 2, 2, 1, M),
        outside=_admittances(n0[None].astype(complex), b)[1].reshape(2, 1, M),
        substrate=_admittances(ns[None], b)[1].reshape(2, 1, M),
        absorbs=np.broadcast_to((layers.imag > 0)[:, None], kappa.shape).reshape(L, M),
    )


def _admittances(index: Complex, b: Real) -> tuple[Complex, Complex]:
    """Return κ (L, A, W) and η (L, 2, A, W) of media `index` (L, W) at invariants `b` (A, 1)."""
    squared = index[:, None] ** 2
    kappa = np.sqrt(squared - b**2)  # k ≥ 0, so the branch with decaying waves is the principal one
    kappa[np.abs(kappa) < _LEAST_KAPPA] = _LEAST_KAPPA
    return kappa, np.stack([kappa, squared / kappa], axis=1)


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
    for name, value, low in (
        ("invariant", beta, 0.0),
        ("thickness", nm, 0.0),
        ("k", layers.imag, 0.0),
        ("k", ns.imag, 0.0),
    ):
        if not (value >= low).all():
            raise ValueError(f"{name} must be at least {low:g}; found {np.min(value):g}.")
    return wl, beta, nm, layers, n0, ns
