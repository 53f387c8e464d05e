"""What comes of putting numbers in order: which there are, and below which value a share of them lies.

As NumPy's `unique` and `quantile`, which first load a package for masked arrays; a first answer would wait
for that.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray


def distinct(values: NDArray[Any]) -> NDArray[Any]:
    """Return (N,) which values an array of any shape has, rising."""
    found = np.sort(values, axis=None)
    return np.concatenate([found[:1], found[1:][found[1:] != found[:-1]]])


def numbered(values: NDArray[Any], end: int) -> tuple[NDArray[np.intp], NDArray[np.int32]]:
    """Return (F,) which whole numbers from 0 to below `end` occur, rising, and (N,) the place of each.

    Where `end` is not much larger than N this takes a fraction of what sorting does.
    """
    there = np.zeros(end, bool)
    there[values] = True
    found = np.flatnonzero(there)
    place = np.empty(end, np.int32)
    place[found] = np.arange(len(found))
    return found, place[values]


def in_order(values: NDArray[Any]) -> NDArray[np.int64]:
    """Return the places (N,) of whole numbers, 0 to 2³¹, in rising order; alike ones stay in theirs.

    As a stable `argsort`, and several times as fast: number and place are sorted as one.
    """
    both = (values.astype(np.int64) << 32) | np.arange(len(values))
    both.sort()
    return np.asarray(both & 0xFFFFFFFF)


def alike(values: NDArray[Any]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return where each distinct value of (N,) comes first, values rising, and (N,) the place of each."""
    order = np.argsort(values)
    ordered = values[order]
    begins = np.ones(len(values), bool)
    begins[1:] = ordered[1:] != ordered[:-1]
    place = np.empty(len(values), np.intp)
    place[order] = np.cumsum(begins) - 1
    lead = np.empty(int(begins.sum()), np.intp)
    lead[place[::-1]] = np.arange(len(values))[::-1]  # the last that is written stays: the first of all
    return lead, place


def quantiles(values: NDArray[np.float64], shares: Sequence[float]) -> NDArray[np.float64]:
    """Return the values (len(shares), ...) below which those shares of all (..., N) lie."""
    places = np.array(shares) * (values.shape[-1] - 1)
    low = np.minimum(places.astype(int), max(values.shape[-1] - 2, 0))
    high = np.minimum(low + 1, values.shape[-1] - 1)
    ordered = np.partition(values, sorted({*low.tolist(), *high.tolist()}), axis=-1)
    least, most = np.moveaxis(ordered[..., low], -1, 0), np.moveaxis(ordered[..., high], -1, 0)
    part = (places - low).reshape(-1, *(1,) * (values.ndim - 1))
    return np.asarray(least + part * (most - least))
