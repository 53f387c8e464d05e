"""A table as a person keeps it, CSV or a workbook, read into rows of cells with nothing run.

A row's number is the one that a spreadsheet shows. What had to be decided on the way (the letter that
parts columns, an old encoding, formulas) is noted in a sentence each.
"""

import csv
import re
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import reduce
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any, TypeAlias

from planner.catalogue.errors import show
from planner.catalogue.files import read_bytes
from planner.refusal import Refusal

MAX_BYTES = 20_000_000
"""Largest file that is read."""

MAX_UNPACKED = 200_000_000
"""Most bytes that a workbook may unpack to."""

MAX_ROWS = 50_001
"""Most rows: fifty thousand offers and their header."""

MAX_COLUMNS = 200
"""Most columns."""

MAX_CELLS = MAX_ROWS * MAX_COLUMNS
"""Most cells between the first and the last one of a sheet, filled or not."""

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


def letter(column: int) -> str:
    """Return the letters by which a spreadsheet calls a column; 0 is A."""
    letters = ""
    column += 1
    while column:
        column, left = divmod(column - 1, 26)
        letters = chr(65 + left) + letters
    return letters


def _csv(path: Path, data: bytes) -> Sheet:
    text, notes = _text(path, data)
    delimiter = _delimiter(path, text)
    if delimiter != ",":
        notes += (f"Columns are parted by {_PARTS[delimiter]}.",)
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter)
    rows: list[tuple[int, tuple[Cell, ...]]] = []
    try:
        for number, raw in enumerate(reader, 1):
            cells = tuple(map(str.strip, raw))
            if any(cells) and not _remark(cells[0], rows) and not _says_parts(number, raw, text):
                _check_row(path, number, cells, len(rows))
                rows.append((number, cells))
    except csv.Error as problem:
        raise Refusal(
            f"{path}, near line {reader.line_num}: found a cell that cannot be read ({problem}); is a "
            "quotation mark never closed?"
        ) from None
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
        raise Refusal(f"{path}: found columns parted by |; commas, semicolons and tabs are allowed")
    return best


def _workbook(path: Path, data: bytes) -> Sheet:
    """Return the first sheet that can be seen. The library gives a formula's stored value and runs none."""
    from python_calamine import CalamineError, SheetTypeEnum, SheetVisibleEnum, load_workbook

    formulas = _formulas(path, data)
    try:
        with load_workbook(BytesIO(data)) as book:
            names = [
                one.name
                for one in book.sheets_metadata
                if one.typ == SheetTypeEnum.WorkSheet and one.visible == SheetVisibleEnum.Visible
            ]
            if not names:
                raise Refusal(f"{path}: found no sheet that can be seen; one with offers is needed")
            sheet = book.get_sheet_by_name(names[0])
            if sheet.total_height > 10 * MAX_ROWS or sheet.total_width > MAX_COLUMNS:
                raise Refusal(
                    f"{path}, sheet {show(names[0])}: found {sheet.total_height:,} rows and "
                    f"{sheet.total_width:,} columns; at most {MAX_ROWS - 1:,} offers and "
                    f"{MAX_COLUMNS} columns are allowed"
                )
            rows = tuple(_cells(path, sheet.to_python(skip_empty_area=False)))
    except (CalamineError, zipfile.BadZipFile, OSError, ValueError) as problem:
        if isinstance(problem, Refusal):
            raise
        said = " ".join(str(problem).split())[:120]
        raise Refusal(f"{path}: cannot be read as a workbook ({said}); save it again, or as CSV") from None
    notes = [f"Read the sheet {show(names[0])}."] if len(names) > 1 else []
    if formulas:
        first = f", such as {', '.join(formulas[:3])}" if formulas[0] else ""
        notes.append(
            f"{len(formulas)} cell{'s hold formulas' if len(formulas) > 1 else ' holds a formula'}{first}: "
            "what the workbook stored as its result was read, nothing was computed, and what it never stored "
            "is empty."
        )
    return Sheet(path, rows, tuple(notes))


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


_PLACE = re.compile(rb"""<(?:\w+:)?c\b[^>]*?\br=["']([A-Z]{1,3})(\d{1,7})["']""")
# A cell may leave its place out: it then follows the one before it, in the row that says its own number.
_PLACELESS = re.compile(rb"""<(?:\w+:)?row\b[^>]*?\br=["'](\d{1,7})["'][^>]*>\s*<(?:\w+:)?c\b(?![^>]*\br=)""")
_FORMULA = re.compile(rb'<c\b[^>]*?\br="([A-Z]{1,3}\d{1,7})"[^>]*>\s*<f\b')
_OTHER_FORMULA = re.compile(rb"\btable:formula=")


def _check_reach(path: Path, part: bytes) -> None:
    """Refuse a sheet whose cells lie so far apart that the library would fill memory with what is between."""
    columns, rows = set(), set()
    for column, row in _PLACE.findall(part):
        columns.add(column)
        rows.add(int(row))
    rows.update(map(int, _PLACELESS.findall(part)))
    places = [1, *map(_number, columns)]
    last = max(rows, default=1)
    if (last - min(rows, default=1) + 1) * max(places) > MAX_CELLS:
        raise Refusal(
            f"{path}: a sheet reaches to row {last:,} and column {letter(max(places) - 1)}; at most "
            f"{MAX_ROWS - 1:,} offers and {MAX_COLUMNS} columns are allowed, so clear the cell far out"
        )


def _number(letters: bytes) -> int:
    """Return the number of a column from its letters; A is 1."""
    return reduce(lambda before, one: 26 * before + one - 64, letters, 0)


def _formulas(path: Path, data: bytes) -> tuple[str, ...]:
    """Return the cells that hold formulas, named where one sheet alone has any; refuse a zip bomb."""
    found: list[list[str]] = []
    try:
        with zipfile.ZipFile(BytesIO(data)) as parts:
            if sum(part.file_size for part in parts.infolist()) > MAX_UNPACKED:
                raise Refusal(f"{path}: would unpack to over {MAX_UNPACKED:,} bytes; that is no list")
            for part in parts.infolist():
                if part.filename.startswith("xl/worksheets/") and part.filename.endswith(".xml"):
                    content = parts.read(part)
                    _check_reach(path, content)
                    found.append([name.decode() for name in _FORMULA.findall(content)])
                elif part.filename == "content.xml":
                    found.append([""] * len(_OTHER_FORMULA.findall(parts.read(part))))
    except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError) as problem:
        said = " ".join(str(problem).split())[:120]
        raise Refusal(f"{path}: is no sound workbook ({said}); save it again, or as CSV") from None
    filled = [one for one in found if one]
    return tuple(filled[0]) if len(filled) == 1 else ("",) * sum(map(len, filled))
