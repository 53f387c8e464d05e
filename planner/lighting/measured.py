"""The file of a spectrometer: a lamp's power, or a filter's transmittance, against wavelength.

Plain text with two columns, nm and value; separated by commas, semicolons, tabs or spaces, with decimal
points or, except between commas, decimal commas. Lines that begin with # and one line of headings are
passed over.
"""

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Final

import numpy as np

from planner.catalogue.fields import Table
from planner.catalogue.files import read_text
from planner.catalogue.lamp import LEAST_PASSED
from planner.colour.grid import WAVELENGTHS, resample
from planner.refusal import Refusal, show

COARSEST: Final = 20.0
"""Widest step of a spectrum, nm."""

MOST_ROWS: Final = 5000

_UNEVEN: Final = 1.6  # times the usual step: beyond it a row is missing
_PER_CENT: Final = 1.5  # a transmittance above this is in per cent
_DIGITS: Final = 5


def read_lamp_file(path: Path) -> Table:
    """Return a measured lamp as rows of (nm, power relative to its peak) on the planner's grid.

    Raises
    ------
    Refusal
        If the file is no spectrum from 400 to 700 nm: wavelengths that repeat, fall or leave a gap, steps
        over `COARSEST`, values below 0, or nothing but zeros.

    """
    nm, values = _columns(path, "a lamp's power")
    peak = max(values)
    if peak == 0.0:
        raise Refusal(f"{path}: found nothing but zeros; a lamp needs some power")
    return _gridded(nm, [value / peak for value in values])


def read_transmittance_file(path: Path) -> Table:
    """Return a filter as rows of (nm, transmittance 0 to 1) on the planner's grid; per cent are understood.

    Raises
    ------
    Refusal
        As for `read_lamp_file`, and for values over 1 (or over 100 per cent).

    """
    nm, values = _columns(path, "a transmittance")
    scale = 100.0 if max(values) > _PER_CENT else 1.0
    if max(values) > scale:
        raise Refusal(
            f"{path}: found a transmittance of {max(values):g}; it must be from 0 to 1, or 0 to 100 per cent"
        )
    if max(values) <= LEAST_PASSED * scale:
        raise Refusal(f"{path}: found no transmittance above {LEAST_PASSED:g}; that is no filter")
    return _gridded(nm, [value / scale for value in values])


def _gridded(nm: list[float], values: list[float]) -> Table:
    """Return rows on the planner's grid where the file reaches."""
    on_grid = resample(nm, values)
    inside = (nm[0] <= WAVELENGTHS) & (nm[-1] >= WAVELENGTHS)
    rows = zip(WAVELENGTHS[inside], on_grid[inside], strict=True)
    return tuple((float(one), float(f"{value:.{_DIGITS}g}")) for one, value in rows)


def _columns(path: Path, what: str) -> tuple[list[float], list[float]]:
    rows = list(_rows(path, what))
    if len(rows) < 2:
        raise Refusal(f"{path}: found {len(rows)} rows of numbers; a spectrum from 400 to 700 nm is needed")
    if len(rows) > MOST_ROWS:
        raise Refusal(f"{path}: found {len(rows)} rows; a spectrum may have at most {MOST_ROWS}")
    usual = float(np.median(np.diff([nm for _, nm, _ in rows])))
    for (_, before, _), (line, after, _) in pairwise(rows):
        _check_step(f"{path} line {line}", before, after, usual)
    first, last = rows[0][1], rows[-1][1]
    if first > 400.0 or last < 700.0:
        raise Refusal(f"{path}: found {first:g} to {last:g} nm; a spectrum must reach from 400 to 700 nm")
    return [nm for _, nm, _ in rows], [value for _, _, value in rows]


def _check_step(where: str, before: float, after: float, usual: float) -> None:
    found = f"{where}: found {after:g} nm after {before:g} nm"
    if after == before:
        raise Refusal(f"{found}; each wavelength may stand once")
    if after < before:
        raise Refusal(f"{found}; wavelengths must rise")
    if after - before > COARSEST:
        raise Refusal(f"{found}; steps may be at most {COARSEST:g} nm wide, so rows are missing or too few")
    if after - before > _UNEVEN * usual:
        raise Refusal(f"{found}, a gap where the other steps are {usual:g} nm; fill it or measure again")


def _rows(path: Path, what: str) -> Iterator[tuple[int, float, float]]:
    """Yield line number, nm and value."""
    begun = False
    for line, raw in enumerate(read_text(path).text.splitlines(), 1):
        text = raw.strip()
        if not text or text.startswith("#"):
            continue
        cells = _cells(text)
        if not begun and not any(_number(cell) is not None for cell in cells):
            continue
        begun = True
        numbers = [_number(cell) for cell in cells]
        if len(cells) != 2 or None in numbers:
            raise Refusal(
                f"{path} line {line}: found {show(text)}; a line must be a wavelength in nm and {what}"
            )
        nm, value = numbers
        assert nm is not None  # noqa: S101 - for the type checker: None was refused above
        assert value is not None  # noqa: S101 - the same
        if value < 0.0:
            raise Refusal(f"{path} line {line}: found {value:g}; {what} must be 0 or more")
        yield line, nm, value


def _cells(text: str) -> list[str]:
    """Return the cells of a line: a comma parts them only where nothing else does."""
    for separator in (r"\s*;\s*", r"\s*\t\s*", r"\s*,\s+|\s+", r","):
        cells = [cell for cell in re.split(separator, text) if cell]
        if len(cells) > 1:
            return cells
    return [text]


def _number(cell: str) -> float | None:
    """Return a finite number, its decimals after a point or a comma; None for anything else."""
    try:
        value = float(cell.strip('"').replace(",", "."))
    except ValueError:
        return None
    return value if np.isfinite(value) else None
