"""Reads the published tables in ``shared/``: numbers under one header row, remarks after ``#``."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from planner.data import shared


@cache
def read_table(name: str) -> dict[str, NDArray[np.float64]]:
    """Return the columns of ``shared/<name>``, each a read-only array; a blank cell becomes NaN."""
    lines = shared(name).read_text(encoding="utf-8").splitlines()
    header, *rows = [line for line in lines if not line.startswith("#")]
    cells = [[float(cell) if cell else np.nan for cell in row.split(",")] for row in rows]
    columns = np.array(cells, dtype=np.float64).T.copy()
    columns.setflags(write=False)
    return dict(zip(header.split(","), columns, strict=True))
