"""Products of sparse matrices, against the same as full ones."""

import subprocess
import sys

import numpy as np
import pytest

from planner.optics import sparse
from planner.optics.sparse import Sparse, entries, starts_of


def some(rows=40, width=30, count=200):
    rng = np.random.default_rng(3)
    into, column = np.sort(rng.integers(0, rows, count)), rng.integers(0, width, count)
    share, full = rng.random(count), rng.random((width, 7))
    matrix = np.zeros((rows, width))
    np.add.at(matrix, (into, column), share)
    return Sparse(starts_of(np.bincount(into, minlength=rows)), column, share, width), full, matrix @ full


@pytest.mark.parametrize("alone", [True, False], ids=["compiled sums alone", "with the package"])
def test_a_product_is_that_of_full_matrices(alone, monkeypatch):
    if not alone:
        monkeypatch.setattr(sparse, "_tools", lambda: None)
    given, full, expected = some()
    assert (given @ full).dtype == np.float32
    assert np.allclose(given @ full, expected, rtol=1e-5)


def test_a_matrix_without_entries_gives_nothing():
    empty = Sparse(starts_of(np.zeros(3, int)), np.zeros(0, int), np.zeros(0), 2)
    assert np.array_equal(empty @ np.ones((2, 5)), np.zeros((3, 5)))


def test_entries_of_rows_are_where_they_stand():
    counts = np.array([2, 0, 3, 1])
    assert entries(counts, np.array([2, 0, 1, 2])).tolist() == [2, 3, 4, 0, 1, 2, 3, 4]
    assert entries(counts, np.zeros(0, int)).tolist() == []


@pytest.mark.parametrize("column", [-1, 2])
def test_no_column_beyond_the_last_is_read(column):
    with pytest.raises(ValueError, match="of 2"):
        Sparse(np.array([0, 1]), np.array([column]), np.ones(1), 2) @ np.ones((2, 1))


def test_the_package_around_the_sums_is_not_imported():
    code = (
        "import sys, numpy as np; from planner.optics.sparse import Sparse;"
        "Sparse(np.array([0, 1]), np.zeros(1, int), np.ones(1), 1) @ np.ones((1, 1));"
        "print('scipy.sparse' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "False"
