"""Tables written for spreadsheets, in which no cell can act as a formula."""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO
from pathlib import Path

from planner.catalogue.errors import PaletteError

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
    PaletteError
        If there is a file of that name already, or it cannot be written.

    """
    begun = False
    try:
        # The mark makes spreadsheets read UTF-8.
        with path.open("x", encoding="utf-8-sig", newline="") as file:
            begun = True
            file.write(csv_text(head, rows))
    except FileExistsError:
        raise PaletteError(f"{path}: is there already and stays as it is; give another name") from None
    except (OSError, ValueError) as problem:
        if begun:
            # Half a list would pass for a whole one, and stand in the way of the next try.
            path.unlink(missing_ok=True)
        reason = getattr(problem, "strerror", None) or str(problem)
        raise PaletteError(f"{path}: cannot be written ({reason}); name a file you may write") from None
