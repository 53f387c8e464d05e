"""Products of sparse matrices with full ones: sums over a few of many rows, by SciPy's compiled code.

Of SciPy's sparse matrices that code alone is loaded, by its place: the package around it takes 0.3 s to
import (it looks at all of NumPy, its Fortran compiler's front end too), and a fifth of a millisecond for each
small matrix. Where the code is not found so, the package does the same.
"""

from dataclasses import dataclass
from functools import cache
from importlib.machinery import EXTENSION_SUFFIXES, ExtensionFileLoader
from importlib.util import find_spec, module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import numpy as np

from planner.optics.arrays import Floats, Ints

_NAME = "_sparsetools"


@dataclass(frozen=True, eq=False)
class Sparse:
    """A matrix of R rows with N entries in all, some of which may stand in one place: they are added."""

    starts: Ints
    """(R + 1,) where each row's entries begin, and their number."""
    columns: Ints
    """(N,)"""
    shares: Floats
    """(N,)"""
    width: int
    """How many columns there are."""

    def __post_init__(self) -> None:
        """Refuse a place that is not there: compiled code would read it all the same."""
        if len(self.columns) and not 0 <= self.columns.min() <= self.columns.max() < self.width:
            raise ValueError(f"columns up to {self.columns.max()} of {self.width}")

    def __matmul__(self, full: Floats) -> Floats:
        """Return (R, V) the product with (width, V), in single precision."""
        if len(full) != self.width:
            raise ValueError(f"{self.width} columns for {len(full)} rows")
        starts, columns = (np.ascontiguousarray(part, np.int32) for part in (self.starts, self.columns))
        shares, full = (np.ascontiguousarray(part, np.float32) for part in (self.shares, full))
        tools, rows = _tools(), len(starts) - 1
        if tools is None:
            from scipy.sparse import csr_array

            return np.asarray(csr_array((shares, columns, starts), shape=(rows, self.width)) @ full)
        found = np.zeros((rows, full.shape[1]), np.float32)
        values = full.shape[1]
        tools.csr_matvecs(rows, self.width, values, starts, columns, shares, full.ravel(), found.ravel())
        return found


def starts_of(counts: Ints) -> Ints:
    """Return (R + 1,) where each of R rows begins that have so many entries (R,), and how many there are."""
    return np.concatenate([[0], np.cumsum(counts)])


def entries(counts: Ints, rows: Ints) -> Ints:
    """Return (N,) the places of all entries of some rows (F,), where R rows have so many entries (R,)."""
    own = counts[rows]
    ends = np.cumsum(own)
    return np.arange(own.sum()) + np.repeat(starts_of(counts)[rows] - ends + own, own)


@cache
def _tools() -> ModuleType | None:
    """Return SciPy's compiled sums over sparse matrices, without the package around them."""
    try:
        home = find_spec("scipy")
        places = (Path(one) / "sparse" for one in (home and home.submodule_search_locations) or ())
        names = [f"{_NAME}{suffix}" for suffix in EXTENSION_SUFFIXES]
        path = next(place / name for place in places for name in names if (place / name).is_file())
        spec = spec_from_file_location(_NAME, path, loader=ExtensionFileLoader(_NAME, str(path)))
        if spec is None or spec.loader is None:
            return None
        tools = module_from_spec(spec)
        spec.loader.exec_module(tools)
    except (ImportError, OSError, StopIteration):
        return None
    return tools if hasattr(tools, "csr_matvecs") else None
