"""Results are held in memory up to so many bytes, whatever is asked in whichever order."""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from planner.optics.held import Held, array_bytes, held


@dataclass(frozen=True)
class Beam:
    one: np.ndarray
    others: tuple[np.ndarray, ...]
    name: str = "x"


def test_bytes_are_counted_in_tuples_and_dataclasses():
    ten = np.zeros(10)
    assert array_bytes((ten, [ten, 3], Beam(ten, (ten, ten)))) == 5 * 80


@given(st.lists(st.integers(0, 12), max_size=80))
def test_no_more_is_held_than_is_said_and_what_is_held_is_made_once(asked):
    made = Counter()

    @held(megabytes=0.001)
    def make(number):
        made[number] += 1
        return np.full(20 * number, number)  # up to twice as much as may be held

    last = None
    for number in asked:
        before = made[number]
        assert (make(number) == number).all()
        assert number != last or made[number] == before
        last = number
        assert make._bytes == sum(size for _, size in make._found.values())
        assert make._bytes <= 1000 or len(make._found) == 1


def test_the_longest_unused_goes_first():
    made = []
    make = Held(lambda number: made.append(number) or np.zeros(50), 0.001)
    for number in (1, 2, 1, 3, 1, 2):
        make(number)
    assert made == [1, 2, 3, 2]
    make.cache_clear()
    make(1)
    assert made[-1] == 1
