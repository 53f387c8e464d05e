"""Results are held in memory up to so many bytes, whatever is asked in whichever order."""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from planner.optics.held import Held, Room, array_bytes


@dataclass(frozen=True)
class Beam:
    one: np.ndarray
    others: tuple[np.ndarray, ...]
    name: str = "x"


def test_bytes_are_counted_in_tuples_and_dataclasses():
    ten = np.zeros(10)
    assert array_bytes((ten, [ten, 3], Beam(ten, (ten, ten)))) == 5 * 80


@given(st.lists(st.tuples(st.booleans(), st.integers(0, 12)), max_size=80))
def test_no_more_is_held_in_all_than_is_said_and_what_is_held_is_made_once(asked):
    made, room = Counter(), Room(1000)

    def maker(name):
        def make(number):
            made[name, number] += 1
            return np.full(20 * number, number)  # up to twice as much as may be held

        return Held(make, room)

    makers, last = {True: maker("a"), False: maker("b")}, None
    for which, number in asked:
        before = made.total()
        assert (makers[which](number) == number).all()
        assert (which, number) != last or made.total() == before
        last = which, number
        assert room.bytes == sum(size for _, size in room.found.values())
        assert room.bytes <= 1000 or len(room.found) == 1


def test_the_longest_unused_goes_first():
    made, room = [], Room(1000)
    make = Held(lambda number: made.append(number) or np.zeros(50), room)
    other = Held(lambda number: np.full(26, number), room)
    for number in (1, 2, 1, 3, 1, 2):
        make(number)
    assert made == [1, 2, 3, 2]
    other(1)
    make(2)
    make(1)
    assert made == [1, 2, 3, 2, 1], "it made room for the other's"
    other(1)
    make.cache_clear()
    assert room.bytes == 26 * 8, "what the other function found is still there"
    make(1)
    assert made[-2:] == [1, 1]
