"""A workbook read in this very process, within limits: what `planner.order.workbook` starts.

It is started for every workbook, so it imports next to nothing.
"""

import pickle
import re
import sys
import zipfile
import zlib
from functools import reduce
from io import BytesIO
from pathlib import Path
from typing import Any, Final, TypeAlias

from planner.refusal import Refusal, show

MAX_ROWS = 50_001
"""Most rows: fifty thousand offers and their header."""

MAX_COLUMNS = 200
"""Most columns."""

MAX_UNPACKED: Final = 200_000_000
"""Most bytes that a workbook may unpack to."""

MAX_CELLS: Final = MAX_ROWS * MAX_COLUMNS
"""Most cells between the first and the last one of a sheet, filled or not."""

MOST_MEMORY: Final = 600_000_000
"""Bytes that reading one may take (our choice)."""

MOST_SECONDS: Final = 8
"""Seconds of the processor that reading one may take (our choice)."""

Workbook: TypeAlias = tuple[list[list[Any]], tuple[str, ...]]
"""Its rows from the first, each with every cell, and what had to be decided on the way."""


def letter(column: int) -> str:
    """Return the letters by which a spreadsheet calls a column; 0 is A."""
    letters = ""
    column += 1
    while column:
        column, left = divmod(column - 1, 26)
        letters = chr(65 + left) + letters
    return letters


def _serve() -> None:
    """Read the one workbook asked for, within limits."""
    answers, sys.stdout = sys.stdout.buffer, sys.stderr  # what a library prints must not get between
    path, data = pickle.load(sys.stdin.buffer)  # noqa: S301 - from the process that started this one
    _limit()
    answer: tuple[bool, Workbook | str]
    try:
        answer = (True, _parsed(path, data))
    except Refusal as problem:
        answer = (False, str(problem))
    pickle.dump(answer, answers, pickle.HIGHEST_PROTOCOL)


def _limit() -> None:
    """Set the limits, where the system has such; Windows has none, and there the clock alone must do."""
    try:
        import resource
    except ImportError:
        return
    for what, most in ((resource.RLIMIT_AS, MOST_MEMORY), (resource.RLIMIT_CPU, MOST_SECONDS),
                       (resource.RLIMIT_CORE, 0)):  # fmt: skip
        _, hard = resource.getrlimit(what)
        resource.setrlimit(what, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))


def _parsed(path: Path, data: bytes) -> Workbook:
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
            rows = sheet.to_python(skip_empty_area=False)
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
    return rows, tuple(notes)


_PLACE = re.compile(rb"""<(?:\w+:)?c\b[^>]*?\br=["']([A-Za-z]{1,9})(\d{1,12})["']""")
# A cell may leave its place out: it then follows the one before it, in the row that says its own number.
_PLACELESS = re.compile(
    rb"""<(?:\w+:)?row\b[^>]*?\br=["'](\d{1,12})["'][^>]*>\s*<(?:\w+:)?c\b(?![^>]*\br=)"""
)
_FORMULA = re.compile(rb'<c\b[^>]*?\br="([A-Z]{1,3}\d{1,7})"[^>]*>\s*<f\b')
_OTHER_FORMULA = re.compile(rb"\btable:formula=")


def _check_reach(path: Path, part: bytes) -> None:
    """Refuse a sheet whose cells lie so far apart that the library would fill memory with what is between."""
    columns, rows = set(), set()
    for column, row in _PLACE.findall(part):
        columns.add(column.upper())
        rows.add(int(row))
    rows.update(map(int, _PLACELESS.findall(part)))
    places = [1, *map(_number, columns)]
    last = max(rows, default=1)
    if (last - min(rows, default=1) + 1) * max(places) > MAX_CELLS:
        raise Refusal(
            f"{path}: a sheet reaches to row {last:,} and column {letter(max(places) - 1)[:9]}; at most "
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
                name = part.filename.lower()
                if name.endswith(".xml") and name != "content.xml":
                    content = parts.read(part)
                    _check_reach(path, content)  # whatever it is called: a sheet may lie anywhere
                    found.append([one.decode() for one in _FORMULA.findall(content)])
                elif name == "content.xml":
                    found.append([""] * len(_OTHER_FORMULA.findall(parts.read(part))))
    except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError) as problem:
        said = " ".join(str(problem).split())[:120]
        raise Refusal(f"{path}: is no sound workbook ({said}); save it again, or as CSV") from None
    filled = [one for one in found if one]
    return tuple(filled[0]) if len(filled) == 1 else ("",) * sum(map(len, filled))


if __name__ == "__main__":
    _serve()
