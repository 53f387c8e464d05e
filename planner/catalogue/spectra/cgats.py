"""Measurements as CGATS text (ANSI CGATS.17, ISO 28178): spectra, CIELAB or XYZ, one line a sample."""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.spectra.readings import Readings, number
from planner.refusal import Refusal
from planner.refusal import show as quote

_TOKEN: Final = re.compile(r'"([^"]*)"|(\S+)')
_SPECTRAL: Final = re.compile(r"(?:SPECTRAL|SPEC|NM|R|REFLECTANCE)?_?(?:NM|PCT|DEC)?_?(\d{3,4})(?:NM)?")
_FORMAT: Final = re.compile(
    r"^[ \t]*BEGIN_DATA_FORMAT[ \t\r]*$(.*?)^[ \t]*END_DATA_FORMAT[ \t\r]*$", re.MULTILINE | re.DOTALL
)
_COLOURS: Final = {"lab": ("LAB_L", "LAB_A", "LAB_B"), "xyz": ("XYZ_X", "XYZ_Y", "XYZ_Z")}
_NAMES: Final = ("SAMPLE_NAME", "SAMPLE_ID", "SAMPLEID", "SAMPLENAME")
_MOST_FIELDS: Final = 2000


def is_cgats(text: str) -> bool:
    """Say whether a text is laid out as CGATS."""
    return re.search(r"^[ \t]*BEGIN_DATA[ \t\r]*$", text, re.MULTILINE) is not None


def parse_cgats(path: Path, text: str) -> Readings:
    """Return the readings of the first table that holds spectra, CIELAB or XYZ; spectra come first.

    Raises
    ------
    Refusal
        If there is no such table, it is cut off, or a value is no number: one sentence.
    """
    tables = re.split(r"^[ \t]*END_DATA[ \t\r]*$", text, flags=re.MULTILINE)
    if len(tables) < 2:
        raise Refusal(f"{path}: found BEGIN_DATA without END_DATA; the file is cut off")
    for table in tables[:-1]:
        fields = _fields(path, table)
        rows = _rows(path, table, fields)
        found = _spectra(path, fields, rows) or _colours(path, table, fields, rows)
        if found is not None:
            return found
    raise Refusal(
        f"{path}: found neither spectra (fields such as SPECTRAL_NM450) nor LAB_L, LAB_A, LAB_B nor XYZ_X, "
        "XYZ_Y, XYZ_Z"
    )


def _fields(path: Path, table: str) -> list[str]:
    match = _FORMAT.search(table)
    if match is None:
        raise Refusal(f"{path}: found no BEGIN_DATA_FORMAT … END_DATA_FORMAT, which names the columns")
    fields = [token.upper() for token in _tokens(match[1])]
    if not 0 < len(fields) <= _MOST_FIELDS:
        raise Refusal(f"{path}: found {len(fields)} columns; allowed are 1 to {_MOST_FIELDS}")
    return fields


def _rows(path: Path, table: str, fields: Sequence[str]) -> list[list[str]]:
    tokens = _tokens(re.split(r"^[ \t]*BEGIN_DATA[ \t\r]*$", table, flags=re.MULTILINE)[-1])
    rows, left = divmod(len(tokens), len(fields))
    if left or not rows:
        raise Refusal(
            f"{path}: found {len(tokens)} values for {len(fields)} columns; each sample needs one in each"
        )
    stated = re.search(r"^[ \t]*NUMBER_OF_SETS\s+\"?(\d+)", table, re.MULTILINE)
    if stated and int(stated[1]) != rows:
        raise Refusal(f"{path}: found {rows} samples where NUMBER_OF_SETS says {int(stated[1])}")
    return [tokens[at * len(fields) : (at + 1) * len(fields)] for at in range(rows)]


def _tokens(text: str) -> list[str]:
    kept = [line for line in text.splitlines() if not line.lstrip().startswith("#")]
    return [quoted or plain for line in kept for quoted, plain in _TOKEN.findall(line)]


def _spectra(path: Path, fields: Sequence[str], rows: Sequence[Sequence[str]]) -> Readings | None:
    if fields.count("SPECTRAL_NM") > 1:
        return _paired(path, fields, rows)
    columns = [(at, match) for at, name in enumerate(fields) if (match := _SPECTRAL.fullmatch(name))]
    if len(columns) < 2:
        return None
    places = [at for at, _ in columns]
    percent = True if all("PCT" in fields[at] for at in places) else None
    wavelengths = np.array([float(match[1]) for _, match in columns])
    values = _numbers(path, fields, rows, places)
    return Readings(_names(fields, rows), values, wavelengths, percent=percent)


def _paired(path: Path, fields: Sequence[str], rows: Sequence[Sequence[str]]) -> Readings:
    """Read SPECTRAL_NM followed by SPECTRAL_PCT or SPECTRAL_DEC, again and again (CGATS.17)."""
    places = [at for at, name in enumerate(fields[:-1]) if name == "SPECTRAL_NM"]
    units = {fields[at + 1] for at in places}
    if units not in ({"SPECTRAL_PCT"}, {"SPECTRAL_DEC"}):
        raise Refusal(
            f"{path}: found {', '.join(sorted(units))} after SPECTRAL_NM; SPECTRAL_PCT or SPECTRAL_DEC must "
            "follow each"
        )
    wavelengths = _numbers(path, fields, rows, places)
    if (wavelengths != wavelengths[0]).any():
        raise Refusal(f"{path}: found samples at different wavelengths; all must share theirs")
    values = _numbers(path, fields, rows, [at + 1 for at in places])
    return Readings(_names(fields, rows), values, wavelengths[0], percent=units == {"SPECTRAL_PCT"})


def _colours(path: Path, table: str, fields: Sequence[str], rows: Sequence[Sequence[str]]) -> Readings | None:
    for kind, names in _COLOURS.items():
        if all(name in fields for name in names):
            values = _numbers(path, fields, rows, [fields.index(name) for name in names])
            light = re.search(r"ILLUMINANT[\s,\"]+([A-Z][A-Z0-9.\-]*)", table)
            angle = re.search(r"OBSERVER[\s,\"]+(\d+)", table)
            return Readings(
                _names(fields, rows), values, None, kind, illuminant=light[1] if light else "D50",
                degrees=int(angle[1]) if angle else 2,
            )  # fmt: skip
    return None


def _names(fields: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[str, ...]:
    at = next((fields.index(name) for name in _NAMES if name in fields), None)
    return tuple(str(number_) if at is None else row[at] for number_, row in enumerate(rows, 1))


def _numbers(
    path: Path, fields: Sequence[str], rows: Sequence[Sequence[str]], places: Sequence[int]
) -> NDArray[np.float64]:
    values = np.empty((len(rows), len(places)))
    for count, row in enumerate(rows):
        for column, at in enumerate(places):
            value = number(row[at])
            if value is None:
                raise Refusal(
                    f"{path}, sample {count + 1}, {fields[at]}: found {quote(row[at])}, which is no number"
                )
            values[count, column] = value
    return values
