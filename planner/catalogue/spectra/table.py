"""Spectra in plain tables (CSV): wavelengths down the side or along the top, in any usual spelling."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from planner.catalogue.spectra.readings import Readings, number
from planner.refusal import Refusal
from planner.refusal import show as quote

_NM: Final = (200.0, 3000.0)
# A line of at least so many rising or falling wavelengths is a heading.
_LEAST_HEADING: Final = 8
_WAVELENGTH: Final = re.compile(r"[A-Za-z_ λ(\[]{0,12}(\d{3,4}(?:[.,]\d+)?)\s*(?:nm)?", re.IGNORECASE)


class _Row(NamedTuple):
    line: int
    cells: list[str]


def parse_table(path: Path, text: str) -> Readings:
    """Return the spectra of a table.

    Cells are parted by semicolons, tabs, commas or blanks; decimals have points or, unless commas part
    the cells, commas. Lines that begin with # are remarks.

    Raises
    ------
    Refusal
        If it holds no spectra, or a cell is no number: one sentence with the line.
    """
    lines = [(at, line) for at, line in enumerate(text.splitlines(), 1) if _holds_something(line)]
    if not lines:
        raise Refusal(f"{path}: found nothing; a table of wavelengths and reflectances is needed")
    part = _parting([line for _, line in lines])
    rows = [_Row(at, [cell.strip() for cell in part(line)]) for at, line in lines]
    percent = True if re.search(r"%|per ?cent|prozent", text, re.IGNORECASE) else None
    for at, row in enumerate(rows):
        heading = _heading(row)
        if heading is not None:
            return _along_the_top(path, rows[at + 1 :], *heading, percent)
    return _down_the_side(path, rows, percent)


def _holds_something(line: str) -> bool:
    return bool(line.strip(" \t;,\r")) and not line.lstrip().startswith("#")


def _parting(lines: list[str]) -> Callable[[str], list[str]]:
    """Return what parts a line into cells."""
    for mark in (";", "\t"):
        if sum(mark in line for line in lines) > len(lines) / 2:
            return lambda line: line.split(mark)
    if not any("," in line for line in lines) or all(_blank_parted(line) for line in lines[1:]):
        return str.split
    return lambda line: line.split(",")


def _blank_parted(line: str) -> bool:
    """Say whether a line is numbers with decimal commas, parted by blanks."""
    cells = line.split()
    # A comma at a cell's end parts "450, 0.4".
    return len(cells) > 1 and all(number(cell) is not None and cell.strip(",") == cell for cell in cells)


def _heading(row: _Row) -> tuple[list[int], list[float]] | None:
    """Return which columns of a heading are wavelengths, and which those are; None for no heading."""
    found = [(at, _wavelength(cell)) for at, cell in enumerate(row.cells)]
    columns = [(at, nm) for at, nm in found if nm is not None]
    if len(columns) < _LEAST_HEADING:
        return None
    return [at for at, _ in columns], [nm for _, nm in columns]


def _wavelength(cell: str) -> float | None:
    match = _WAVELENGTH.fullmatch(cell.strip().strip('"'))
    nm = number(match[1]) if match else None
    return nm if nm is not None and _NM[0] <= nm <= _NM[1] else None


def _along_the_top(
    path: Path, rows: list[_Row], columns: list[int], wavelengths: list[float], percent: bool | None
) -> Readings:
    if not rows:
        raise Refusal(f"{path}: found wavelengths but no reading below them")
    names, values = [], []
    for row in rows:
        labels = [cell for at, cell in enumerate(row.cells) if at not in columns and cell]
        names.append(labels[0].strip('"') if labels else f"line {row.line}")
        values.append([
            _value(path, row, at, nm) for at, nm in zip(columns, wavelengths, strict=True)
        ])  # fmt: skip
    return Readings(tuple(names), np.array(values), np.array(wavelengths), percent=percent)


def _down_the_side(path: Path, rows: list[_Row], percent: bool | None) -> Readings:
    head: list[str] | None = None
    wavelengths: list[float] = []
    values = []
    wide = max(len(row.cells) for row in rows)
    for row in rows:
        nm = _wavelength(row.cells[0])
        if nm is None:
            if wavelengths:
                raise Refusal(
                    f"{path} line {row.line}: found {quote(row.cells[0])}; a wavelength in nm must be first"
                )
            head = row.cells
            continue
        wavelengths.append(nm)
        values.append([_value(path, row, at, nm) for at in range(1, wide)])
    if not wavelengths or wide < 2:
        raise Refusal(
            f"{path}: found no spectrum; each line must hold a wavelength in nm and a reflectance, or the "
            "first the wavelengths and each other one reading"
        )
    titled = head is not None and len(head) == wide and wide > 2
    names = [head[at] if titled and head else f"reading {at}" for at in range(1, wide)]
    return Readings(tuple(names), np.array(values).T, np.array(wavelengths), percent=percent)


def _value(path: Path, row: _Row, at: int, nm: float) -> float:
    cell = row.cells[at] if at < len(row.cells) else ""
    value = number(cell.removesuffix("%"))
    if value is None:
        found = f"found {quote(cell)}" if cell else "found nothing"
        raise Refusal(f"{path} line {row.line}: {found} at {nm:g} nm; a reflectance must stand there")
    return value
