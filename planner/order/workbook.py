"""Workbooks, read in a process of their own that may use so much memory and time and no more.

The library that reads them ends the whole process where a crafted sheet makes it ask for more memory than
there is, and may be busy for minutes. Here only that process ends, and its workbook is refused in a sentence.
"""

import pickle
import subprocess
import sys
from pathlib import Path
from typing import Final

from planner.order import workbook_reader
from planner.order.workbook_reader import Workbook
from planner.refusal import Refusal

_PATIENCE: Final = 60.0
"""Seconds by the clock after which a reader that does not answer is ended, on a machine however busy."""


def read(path: Path, data: bytes) -> Workbook:
    """Return the rows of the first sheet that can be seen, and notes; what `data` holds stands at `path`.

    Raises
    ------
    Refusal
        If it is no workbook, has no such sheet, or takes more memory or time than a list of offers does.

    """
    try:
        done = subprocess.run(  # noqa: S603 - this very program
            [sys.executable, "-m", workbook_reader.__name__], input=pickle.dumps((path, data)),
            capture_output=True, timeout=_PATIENCE, check=False,
        )  # fmt: skip
        good, answer = pickle.loads(done.stdout)  # noqa: S301 - from a process of our own
    except (subprocess.TimeoutExpired, EOFError, pickle.UnpicklingError):
        raise Refusal(
            f"{path}: cannot be read as a workbook (it asks for more memory or time than a list of offers "
            "needs); save it again, or as CSV"
        ) from None
    if good:
        rows, notes = answer
        return rows, notes
    raise Refusal(answer)
