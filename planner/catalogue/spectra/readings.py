"""What an instrument's file holds, before it becomes a colour; and how its numbers are written."""

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

_NUMBER: Final = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_GROUPED: Final = re.compile(r"\d[.,]\d{3}[.,]\d")


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """One or more readings of cloth: spectra, or colours."""

    names: tuple[str, ...]
    """What each reading is called."""

    values: NDArray[np.float64]
    """Spectra, shape (readings, wavelengths), or CIELAB or XYZ, shape (readings, 3)."""

    wavelengths: NDArray[np.float64] | None
    """nm, in the order of the file; None for colours."""

    kind: str = "spectrum"
    """"spectrum", "lab" or "xyz" (Y = 100 for the perfect diffuser)."""

    percent: bool | None = None
    """Whether the file says that its spectra are in per cent; None where it says nothing."""

    illuminant: str = "D50"
    """Light of colours; ISO 13655 has D50 where a file says nothing."""

    degrees: int = 2
    """Observer of colours, degrees."""


def number(text: str) -> float | None:
    """Return the number that a cell holds, with a decimal point or comma; None for anything else."""
    plain = text.strip().strip('"').replace("\u2212", "-")
    if _GROUPED.search(plain):
        return None
    plain = plain.replace(",", ".")
    if not _NUMBER.fullmatch(plain):
        return None
    value = float(plain)
    return value if np.isfinite(value) else None
