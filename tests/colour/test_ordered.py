"""What comes of putting numbers in order is what NumPy, an independent library here, makes of it."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from planner.colour.ordered import alike, distinct, in_order, numbered, quantiles

NUMBERS = st.lists(st.floats(-50.0, 50.0), min_size=1, max_size=40)


@given(NUMBERS, st.lists(st.floats(0.0, 1.0), min_size=1, max_size=3))
def test_quantiles_are_the_librarys(values, shares):
    assert np.allclose(quantiles(np.array(values), shares), np.quantile(values, shares))


@given(st.lists(st.integers(-5, 5), max_size=40))
def test_distinct_values_are_the_librarys(values):
    one = np.array(values, int)
    assert np.array_equal(distinct(one), np.unique(one))
    assert np.array_equal(distinct(np.stack([one, one])), np.unique(one))


@given(st.lists(st.integers(0, 30), max_size=40))
def test_numbers_are_the_librarys(values):
    found, place = numbered(np.array(values, int), 31)
    there, inverse = np.unique(np.array(values, int), return_inverse=True)
    assert np.array_equal(found, there)
    assert np.array_equal(place, inverse)


@given(
    st.lists(st.integers(0, 2**31 - 1) | st.integers(0, 5), max_size=60),
    st.sampled_from([np.int32, np.int64]),
)
def test_the_order_is_the_librarys(values, kind):
    one = np.array(values, kind)
    assert np.array_equal(in_order(one), np.argsort(one, kind="stable"))


@given(st.lists(st.integers(-3, 30), max_size=40))
def test_alike_values_are_the_librarys(values):
    lead, place = alike(np.array(values, np.int64).astype(np.uint64))
    _, index, inverse = np.unique(
        np.array(values, np.int64).astype(np.uint64), return_index=True, return_inverse=True
    )
    assert np.array_equal(lead, index)
    assert np.array_equal(place, inverse)


@given(st.lists(NUMBERS, min_size=1, max_size=3), st.lists(st.floats(0.0, 1.0), min_size=1, max_size=3))
def test_quantiles_of_rows_are_the_librarys(rows, shares):
    least = min(len(row) for row in rows)
    values = np.array([row[:least] for row in rows])
    assert np.allclose(quantiles(values, shares), np.quantile(values, shares, axis=-1))
