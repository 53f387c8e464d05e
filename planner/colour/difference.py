"""CIEDE2000, how far apart two colours look (ISO/CIE 11664-6:2014), and its plain parts.

Our own array form, since a planner compares many with many: the packages at hand take one colour
against a list, or import in most of a second. Equation numbers are those of G. Sharma, W. Wu,
E. N. Dalal, "The CIEDE2000 color-difference formula: implementation notes, supplementary test
data, and mathematical observations", Color Res. Appl. 30, 21–30 (2005); the tests hold this form
to that paper's table and to two packages.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.colour.cielab import hue_difference, hue_is_defined, lab_to_lch

# Pairs worked on at once: enough to outweigh the calls, few enough to stay in the cache.
_BLOCK: Final = 8192


def delta_e(
    lab1: NDArray[np.float64], lab2: NDArray[np.float64], k_L: float = 1.0
) -> NDArray[np.float64]:  # fmt: skip
    """Return CIEDE2000 between colours, with kC = kH = 1.

    Parameters
    ----------
    lab1, lab2 : ndarray, shape (..., 3)
        CIELAB; leading shapes broadcast, so ``delta_e(a[:, None], b)`` compares all with all.
    k_L : float
        How much further lightness may differ: 1, or 2 as for textiles, whose lightness is forgiven about
        twice as much as hue and chroma (CMC(2:1), ISO 105-J03; ISO/CIE 11664-6:2014 has 1 as reference
        and leaves other values to the trade).

    Returns
    -------
    ndarray, shape (...)
        ΔE00 ≥ 0.

    Examples
    --------
    Pair 1 of Sharma, Wu & Dalal's table:

    >>> float(delta_e(np.array([50.0, 2.6772, -79.7751]), np.array([50.0, 0.0, -82.7485])).round(4))
    2.0425
    """
    first, second = np.broadcast_arrays(np.asarray(lab1, np.float64), np.asarray(lab2, np.float64))
    one, two = first.reshape(-1, 3), second.reshape(-1, 3)
    result = np.empty(len(one))
    for at in range(0, len(one), _BLOCK):
        block = slice(at, at + _BLOCK)
        l, c, h, RT = _terms(one[block].T.copy(), two[block].T.copy())  # noqa: E741 - the terms are L, C and H
        l /= k_L  # noqa: E741
        # (22)
        result[block] = np.sqrt(np.maximum(l * l + c * c + h * h + RT * c * h, 0.0))
    return result.reshape(first.shape[:-1])


def delta_e_terms(lab1: NDArray[np.float64], lab2: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the three signed terms of CIEDE2000 from the first colours to the second.

    Parameters
    ----------
    lab1, lab2 : ndarray, shape (..., 3)
        CIELAB; leading shapes broadcast.

    Returns
    -------
    ndarray, shape (..., 3)
        ΔL'/SL, ΔC'/SC and ΔH'/SH: what lightness, chroma and hue contribute, in units of ΔE00, but
        for the rotation term of the blues.
    """
    first, second = np.broadcast_arrays(np.asarray(lab1, np.float64), np.asarray(lab2, np.float64))
    one, two = first.reshape(-1, 3).T, second.reshape(-1, 3).T
    return np.stack(_terms(one, two)[:3], axis=-1).reshape(first.shape)


def _terms(
    one: NDArray[np.float64], two: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """ΔL'/SL, ΔC'/SC, ΔH'/SH and R_T, shape (n,) each, of colours in columns, shape (3, n)."""
    (L1, a1, b1), (L2, a2, b2) = one, two

    # (2)–(7) Chroma, with a* stretched near neutral; hue in radians, −π to π.
    C_mean = (np.sqrt(a1 * a1 + b1 * b1) + np.sqrt(a2 * a2 + b2 * b2)) / 2
    stretch = 1.5 - 0.5 * _chroma_share(C_mean)
    a1, a2 = stretch * a1, stretch * a2
    C1, C2 = np.sqrt(a1 * a1 + b1 * b1), np.sqrt(a2 * a2 + b2 * b2)
    h1, h2 = np.arctan2(b1, a1), np.arctan2(b2, a2)

    # (8)–(11) Differences. The hue difference takes the shorter way round; opposite hues, a tie, go
    # the way they do in the paper, whose hues run from 0° to 360°. Where a chroma is 0 the product
    # makes ΔH' 0, whatever the hue.
    dL, dC, dh = L2 - L1, C2 - C1, h2 - h1
    turns = np.where(dh > _OPPOSITE, -1.0, np.where(dh < -_OPPOSITE, 1.0, 0.0))
    dH = 2 * np.sqrt(C1 * C2) * np.sin(dh / 2 + np.pi * turns)

    # (12)–(14) Means. Where the shorter way crosses ±π, the mean hue lies on the other side.
    L_mean, C_mean = (L1 + L2) / 2, (C1 + C2) / 2
    h_mean = np.where(C1 * C2 == 0, h1 + h2, (h1 + h2) / 2 + np.pi * turns)

    # (15) T, its multiple angles by the addition theorems: one cosine and one sine instead of four.
    c1, s1 = np.cos(h_mean), np.sin(h_mean)
    c2, s2 = c1 * c1 - s1 * s1, 2 * c1 * s1
    c3, s3 = c1 * c2 - s1 * s2, s1 * c2 + c1 * s2
    c4, s4 = c2 * c2 - s2 * s2, 2 * c2 * s2
    T = 1 - 0.17 * (c1 * _COS30 + s1 * _SIN30) + 0.24 * c2
    T += 0.32 * (c3 * _COS6 - s3 * _SIN6) - 0.20 * (c4 * _COS63 + s4 * _SIN63)

    # (16)–(21) The rotation of the blue region and the weighting functions.
    from_275 = (np.degrees(h_mean) % 360.0 - 275.0) / 25.0
    rotation = np.radians(60.0) * np.exp(-(from_275 * from_275))
    RT = -2 * _chroma_share(C_mean) * np.sin(rotation)
    from_50 = (L_mean - 50) * (L_mean - 50)
    SL = 1 + 0.015 * from_50 / np.sqrt(20 + from_50)
    SC = 1 + 0.045 * C_mean
    SH = 1 + 0.015 * C_mean * T

    return dL / SL, dC / SC, dH / SH, RT


# Rounding leaves opposite hues some 1e-16 off π.
_OPPOSITE: Final = np.pi - 1e-12
_COS30, _SIN30 = np.cos(np.radians(30.0)), np.sin(np.radians(30.0))
_COS6, _SIN6 = np.cos(np.radians(6.0)), np.sin(np.radians(6.0))
_COS63, _SIN63 = np.cos(np.radians(63.0)), np.sin(np.radians(63.0))


def _chroma_share(chroma: NDArray[np.float64]) -> NDArray[np.float64]:
    """sqrt(C⁷ / (C⁷ + 25⁷)), which equations 4 and 17 share; powers by multiplication, for speed."""
    ratio = chroma / 25.0
    cubed = ratio * ratio * ratio
    seventh = cubed * cubed * ratio
    return np.asarray(np.sqrt(seventh / (seventh + 1.0)))


def delta_components(
    lab1: NDArray[np.float64], lab2: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return ΔL*, ΔC* and Δh from the first colours to the second.

    Parameters
    ----------
    lab1, lab2 : ndarray, shape (..., 3)
        CIELAB; leading shapes broadcast.

    Returns
    -------
    tuple of three ndarray, shape (...)
        ΔL*; ΔC*; Δh in degrees, −180 to 180, NaN where either colour is too near neutral to have a
        hue (see `planner.colour.cielab.hue_is_defined`).
    """
    one, two = lab_to_lch(np.asarray(lab1, np.float64)), lab_to_lch(np.asarray(lab2, np.float64))
    defined = hue_is_defined(np.minimum(one[..., 1], two[..., 1]))
    turn = np.where(defined, hue_difference(one[..., 2], two[..., 2]), np.nan)
    return two[..., 0] - one[..., 0], two[..., 1] - one[..., 1], turn
