"""Tables written for spreadsheets, in which no cell can act as a formula."""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO
from pathlib import Path

from planner import atomic

_ACTS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What spreadsheets take for the beginning of a formula, also after a blank (OWASP, "CSV Injection")."""


def harmless(value: object) -> str:
    """Return a cell that a spreadsheet shows and does not run: text that could act begins with ``'``.

    Numbers stay numbers, negative ones too.
    """
    text = "" if value is None else str(value)
    if text.lstrip(" ").startswith(_ACTS) and not _is_number(text):
        return "'" + text
    return text


def _is_number(text: str) -> bool:
    digits = text[1:] if text[:1] in {"-", "+"} else text
    return digits.replace(".", "", 1).isdecimal() and digits.isascii()


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a table as CSV, every cell made `harmless`."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow([harmless(one) for one in head])
    writer.writerows([harmless(one) for one in row] for row in rows)
    return out.getvalue()


def write_csv(path: Path, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Write a table as a new CSV file.

    Raises
    ------
    Refusal
        If there is a file of that name already, or it cannot be written.

    """
    # The mark makes spreadsheets read UTF-8.
    atomic.write(path, csv_text(head, rows).encode("utf-8-sig"), new=True)
