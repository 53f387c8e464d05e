"""Climbs stacks of layers: the arithmetic of `planner.optics.film`, for one chunk of cells and draws.

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
"""

import math
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Real: TypeAlias = NDArray[Any]
Complex: TypeAlias = NDArray[Any]
"""In double precision or in single, as the cells are."""

_RESCALE = {8: 8, 4: 2}
"""Layers between rescalings, by bytes of a real number: eight tangents of at most 2·10¹⁶, squared, stay below
10³⁰⁸, and two of at most 3·10⁷ below 10³⁸."""

_LEAST_KAPPA = 1e-7
"""Stands in for κ = 0 (a wave grazing a layer): tan(κz)/κ is then z to 10⁻¹⁴ (κz)² parts."""


@dataclass(frozen=True, slots=True)
class Cells:
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

    def part(self, at: slice | NDArray[np.intp]) -> "Cells":
        """Return the cells `at`."""
        return Cells(
            self.phase[:, at],
            self.slopes[..., at],
            self.outside[..., at],
            self.substrate[..., at],
            self.absorbs[:, at],
        )

    def single(self) -> "Cells":
        """Return the cells in single precision."""
        phase, slopes, outside, substrate = (
            part.astype(np.complex64) for part in (self.phase, self.slopes, self.outside, self.substrate)
        )
        return Cells(phase, slopes, outside, substrate, self.absorbs)


class Scratch:
    """Buffers that one thread uses again for each of its chunks: fresh memory costs more than sums do."""

    def __init__(self, kind: Any) -> None:
        """Lend buffers of that real type, and of the complex one that goes with it."""
        self._flat: dict[tuple[str, Any], NDArray[Any]] = {}
        self._real, self._complex = np.dtype(kind), np.result_type(kind, np.complex64)

    def real(self, name: str, *shape: int) -> Real:
        """Return the buffer of that name, its content left over from another use."""
        return self._lend(name, self._real, shape)

    def complex(self, name: str, *shape: int) -> Complex:
        """Return the complex buffer of that name, likewise."""
        return self._lend(name, self._complex, shape)

    def _lend(self, name: str, kind: Any, shape: tuple[int, ...]) -> NDArray[Any]:
        size = math.prod(shape)
        flat = self._flat.get((name, kind))
        if flat is None or flat.size < size:
            flat = self._flat[name, kind] = np.empty(size, kind)
        return flat[:size].reshape(shape)


def cells_of(wl: Real, b: Real, layers: Complex, n0: Real, ns: Complex) -> Cells:
    """Return the constants of all cells, from b (A, 1) and indices (L, W) and (W,)."""
    L, M = len(layers), b.size * wl.size
    kappa, eta = _admittances(layers, b)
    return Cells(
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


def lossless(cells: Cells, nm: Real, mean: bool, scratch: Scratch) -> tuple[Real, Real, Real]:
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
        if done % _RESCALE[nm.itemsize] == 0:
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


def absorbing(cells: Cells, nm: Real, mean: bool, scratch: Scratch) -> tuple[Real, Real, Real]:
    """Climb any layers: complex E and F, and a second pair (B, Q) for the light from inside."""
    shape = (len(nm), cells.phase.shape[-1])
    u, EF = scratch.complex("u", *shape), scratch.complex("EF", 2, 2, *shape)
    # Pairs from outside and, once split off, from inside; each with s and p.
    B, Q, up, down = (scratch.complex(name, 2, 2, *shape) for name in ("B", "Q", "up", "down"))
    pairs = slice(0, 1)
    B[0], Q[0] = 1.0, -1j * cells.substrate
    kept: Real = np.ones((1, *shape), nm.dtype)  # product of 1/|cos δ|²
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
        if done % _RESCALE[nm.itemsize] == 0:
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
