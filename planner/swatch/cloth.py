"""Kinds of cloth, and what each does to a reading of its colour."""

import tomllib
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from planner.data import shared


@dataclass(frozen=True, slots=True)
class ClothKind:
    """What a kind of cloth does to a reading."""

    id: str
    """Such as "velvet"."""

    says: str
    """One sentence for a person."""

    lightness: float
    """L* by which it changes with direction, one standard deviation."""

    ab: float
    """The same for a* and for b*."""

    backing: bool
    """Whether it shows what lies behind it."""

    @property
    def covariance(self) -> NDArray[np.float64]:
        """What it adds to the covariance of a reading in CIELAB, shape (3, 3)."""
        return np.diag([self.lightness, self.ab, self.ab]) ** 2


@cache
def cloth_kinds() -> dict[str, ClothKind]:
    """Return the kinds of cloth by id; sizes are our choice (``shared/cloth_kinds.toml``)."""
    table = tomllib.loads(shared("cloth_kinds.toml").read_text(encoding="utf-8"))
    return {name: ClothKind(name, **fields) for name, fields in table.items()}


def cloth_kind(name: str, backing: str | None = None) -> ClothKind:
    """Return a kind of cloth.

    Parameters
    ----------
    name : str
        A key of `cloth_kinds`.
    backing : str, optional
        What lay behind the cloth when it was read, such as "skin" or "white lining".

    Raises
    ------
    ValueError
        If there is no such kind, or a sheer cloth comes without its backing.
    """
    kinds = cloth_kinds()
    if name not in kinds:
        raise ValueError(f"found '{name}', which is no kind of cloth; allowed are {', '.join(kinds)}")
    if kinds[name].backing and not backing:
        raise ValueError(
            f"a {name} cloth shows what lies behind it; say what that was, such as skin or white lining"
        )
    return kinds[name]
