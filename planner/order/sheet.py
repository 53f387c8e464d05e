"""A table as a person keeps it, CSV or a workbook, read into rows of cells with nothing run.

A row's number is the one that a spreadsheet shows. What had to be decided on the way (the letter that
parts columns, an old encoding, formulas) is noted in a sentence each.
"""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from io import StringIO
from pathlib import Path
from typing import Any, TypeAlias

from planner.catalogue.files import read_bytes, unread_cell
from planner.order.workbook_reader import MAX_COLUMNS, MAX_ROWS, letter
from planner.refusal import Refusal

MAX_BYTES = 20_000_000
"""Largest file that is read."""

MAX_CELL = 2000
"""Most characters of a cell."""

MOST_LINES = 20
"""Line ends in one quoted cell from which a quotation mark was most likely never closed."""

Cell: TypeAlias = str | Decimal | date
"""Text as written, without blanks around it; a workbook also has numbers and dates of its own."""

_PARTS = {",": "commas", ";": "semicolons", "\t": "tabs"}
_OLD = b"\xd0\xcf\x11\xe0"
_WORKBOOKS = frozenset({".xlsx", ".xlsm", ".ods"})


@dataclass(frozen=True)
class Sheet:
    """Rows of cells."""

    path: Path

    rows: tuple[tuple[int, tuple[Cell, ...]], ...]
    """Number of each row, from 1, with its cells; rows without any cell filled are left out, and
    remarks, which begin with #."""

    notes: tuple[str, ...] = ()
    """What was decided on the way, a sentence each."""


def read_sheet(path: Path) -> Sheet:
    """Return the table in a file: a workbook by the end of its name or its first bytes, else CSV.

    Raises
    ------
    Refusal
        If it is missing, too large, no such file, or empty.

    """
    data = read_bytes(path, MAX_BYTES)
    if data.startswith(_OLD):
        raise Refusal(
            f"{path}: found a workbook that is locked or of an old kind; save it without a password as "
            ".xlsx, or as CSV"
        )
    packed = path.suffix.lower() in _WORKBOOKS or data.startswith(b"PK\x03\x04")
    sheet = _workbook(path, data) if packed else _csv(path, data)
    if not sheet.rows:
        raise Refusal(f"{path}: found nothing in it; column names and rows of offers are needed")
    return sheet


def _csv(path: Path, data: bytes) -> Sheet:
    text, notes = _text(path, data)
    delimiter = _delimiter(path, text)
    if delimiter != ",":
        notes += (f"Columns are separated by {_PARTS[delimiter]}.",)
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter)
    rows: list[tuple[int, tuple[Cell, ...]]] = []
    try:
        for number, raw in enumerate(reader, 1):
            cells = tuple(map(str.strip, raw))
            if any(cells) and not _remark(cells[0], rows) and not _says_parts(number, raw, text):
                _check_row(path, number, cells, len(rows))
                rows.append((number, cells))
    except csv.Error as problem:
        raise unread_cell(path, reader.line_num, problem) from None
    return Sheet(path, tuple(rows), notes)


def _remark(first: Cell, before: object) -> bool:
    """Return whether a row is a remark: # above the column names, # and a blank below them."""
    return str(first).startswith("# " if before else "#")


def _says_parts(number: int, raw: Sequence[str], text: str) -> bool:
    """Return whether a first line only says what parts columns, as some spreadsheets write it."""
    return number == 1 and len("".join(raw)) <= 5 and text[:4].lower() == "sep="


def _check_row(path: Path, number: int, cells: Sequence[Cell], before: int) -> None:
    if before >= MAX_ROWS:
        raise Refusal(f"{path} row {number}: found more than {MAX_ROWS - 1:,} offers; part the file")
    if len(cells) > MAX_COLUMNS:
        raise Refusal(f"{path} row {number}: found {len(cells)} columns; at most {MAX_COLUMNS} are allowed")
    for column, cell in enumerate(cells):
        if isinstance(cell, str) and (len(cell) > MAX_CELL or cell.count("\n") > MOST_LINES):
            raise Refusal(
                f"{path} row {number}, column {letter(column)}: found {len(cell):,} characters in one cell; "
                f"at most {MAX_CELL:,} and {MOST_LINES} lines are allowed; is a quotation mark never closed?"
            )


def _text(path: Path, data: bytes) -> tuple[str, tuple[str, ...]]:
    """Return the text of a CSV, and what had to be assumed of its encoding."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return data.decode("utf-16"), ("The file is UTF-16.",)
        except UnicodeDecodeError:
            raise Refusal(f"{path}: found damaged UTF-16; save it as CSV in UTF-8") from None
    try:
        return data.decode("utf-8-sig"), ()
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        raise Refusal(
            f"{path} line {line}: found letters neither of UTF-8 nor of Windows-1252; save it as CSV in UTF-8"
        ) from None
    note = f"Line {line} is not UTF-8, so the file was read as Windows-1252: look at its accents and signs."
    return text, (note,)


def _delimiter(path: Path, text: str) -> str:
    """Return what parts columns: whichever makes most of the first filled line that is no remark."""
    if text[:4].lower() == "sep=" and text[4:5] in _PARTS:
        return text[4]
    lines = (line for line in StringIO(text, newline="") if line.strip())
    head = next((line for line in lines if not line.lstrip('" ').startswith("#")), "")
    head = head.rstrip("\r\n")[: csv.field_size_limit()]
    if not head:
        return ","
    counts = {one: len(next(csv.reader([head], delimiter=one), ())) for one in _PARTS}
    best = max(counts, key=lambda one: counts[one])
    if counts[best] == 1 and head.count("|"):
        raise Refusal(f"{path}: found columns separated by |; commas, semicolons and tabs are allowed")
    return best


def _workbook(path: Path, data: bytes) -> Sheet:
    from planner.order.workbook import read

    rows, notes = read(path, data)
    return Sheet(path, tuple(_cells(path, rows)), notes)


def _cells(path: Path, raw: Sequence[Sequence[Any]]) -> Iterator[tuple[int, tuple[Cell, ...]]]:
    before = 0
    for number, row in enumerate(raw, 1):
        cells = tuple(map(_cell, row))
        if any(cell != "" for cell in cells) and not _remark(cells[0], before):
            _check_row(path, number, cells, before)
            before += 1
            yield number, cells


def _cell(value: Any) -> Cell:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        # Workbooks keep binary fractions: 12.1 may stand there as 12.100000000000001.
        number = Decimal(repr(round(value, 4)))
        return Decimal(f"{number.normalize():f}") if number.is_finite() else str(value)
    if isinstance(value, datetime):
        return value.date()
    return value if isinstance(value, date) else str(value).strip()
