"""What is kept on disk is found again as it was, and nothing that is wrong with it is ever noticed."""

import os
import pickle
import tempfile
from dataclasses import dataclass, fields
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.optics import store
from planner.optics.beams import Beams
from planner.optics.cut import build_cut
from planner.optics.trace import trace


@dataclass(frozen=True)
class Two:
    numbers: np.ndarray
    words: np.ndarray


class Counting:
    def __init__(self, made=None):
        self.made, self.times = made or Two(np.arange(3.0), np.array([1, 2], np.int8)), 0

    def __call__(self):
        self.times += 1
        return self.made


@pytest.fixture
def place(tmp_path, monkeypatch):
    monkeypatch.setattr(store, "folder", lambda: tmp_path / "beams")
    return tmp_path / "beams"


def test_beams_are_found_again_exactly(place):
    facets = build_cut(((8, 38.0, 0.55),), 0.06)

    def make():
        return trace(facets, 1.52, views=4, rays=30)

    first = store.kept(Beams, ("a cut", 1.52), make)
    again = store.kept(Beams, ("a cut", 1.52), lambda: pytest.fail("was to be found"))
    for one in fields(Beams):
        a, b = getattr(first, one.name), getattr(again, one.name)
        assert a.dtype == b.dtype
        assert np.array_equal(a, b)
    assert [path.suffix for path in place.iterdir()] == [".arrays"]


def test_another_key_or_other_code_is_another_thing(place, monkeypatch):
    make = Counting()
    for key in ("a", "b", "a"):
        store.kept(Two, key, make)
    assert make.times == 2
    monkeypatch.setattr(store, "_code", lambda: "changed")
    store.kept(Two, "a", make)
    assert make.times == 3
    assert len(list(place.iterdir())) == 3


@pytest.mark.parametrize("damage", ["cut short", "emptied", "other bytes", "pickled", "another kind"])
def test_a_damaged_file_is_made_anew_and_mended(place, damage):
    make = Counting()
    store.kept(Two, "a", make)
    (path,) = place.iterdir()
    whole = path.read_bytes()
    if damage == "pickled":
        path.write_bytes(pickle.dumps(make.made.numbers))
    elif damage == "another kind":
        with path.open("wb") as file:
            np.savez(file, numbers=np.arange(3))
    else:
        flipped = bytes(byte ^ 0xFF for byte in whole[40:400])
        new = {"cut short": whole[:-90], "emptied": b"", "other bytes": whole[:40] + flipped + whole[400:]}
        path.write_bytes(new[damage])
    assert np.array_equal(store.kept(Two, "a", make).numbers, np.arange(3.0))
    assert make.times == 2
    store.kept(Two, "a", make)
    assert make.times == 2


@given(st.data())
def test_no_byte_of_a_file_can_change_unnoticed(data):
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "folder", lambda: Path(folder))
        make = Counting()
        store.kept(Two, "a", make)
        (path,) = Path(folder).iterdir()
        whole = bytearray(path.read_bytes())
        at = data.draw(st.integers(0, len(whole) - 1))
        whole[at] ^= data.draw(st.integers(1, 255))
        path.write_bytes(whole)
        assert np.array_equal(store.kept(Two, "a", make).numbers, np.arange(3.0))
        assert make.times == 2


@pytest.mark.parametrize("forged", [{"words": None}, {"more": np.zeros(1)}, {"numbers": np.zeros(9_000_000)}])
def test_a_sound_file_of_another_kind_is_not_taken(place, forged):
    make = Counting()
    store.kept(Two, "a", make)
    (path,) = place.iterdir()
    other = {"numbers": np.arange(3.0), "words": np.array([1, 2], np.int8), **forged}
    sound = {name: part for name, part in other.items() if part is not None}
    path.write_bytes(store._written(path.name, sound))
    assert np.array_equal(store.kept(Two, "a", make).numbers, np.arange(3.0))
    assert make.times == 2


def test_one_file_is_not_taken_for_another(place):
    make = Counting()
    store.kept(Two, "a", make)
    (first,) = place.iterdir()
    store.kept(Two, "b", make)
    (other,) = set(place.iterdir()) - {first}
    other.write_bytes(first.read_bytes())
    store.kept(Two, "b", make)
    assert make.times == 3


@pytest.mark.parametrize("kind", [bool, np.int8, np.int64, np.float32, np.complex64])
@pytest.mark.parametrize("shape", [(), (0,), (3, 0), (2, 3), (1, 1, 5)])
def test_arrays_of_all_kinds_and_shapes_are_found_again(place, kind, shape):
    one = np.arange(np.prod(shape)).reshape(shape).astype(kind)
    store.kept(Two, "a", Counting(Two(one, one.T)))
    found = store.kept(Two, "a", lambda: pytest.fail("was to be found"))
    for given_, got in ((one, found.numbers), (one.T, found.words)):
        assert (got.dtype, got.shape) == (given_.dtype, given_.shape)
        assert np.array_equal(got, given_)


@pytest.mark.skipif(os.name != "posix", reason="pipes, links and rights as POSIX has them")
@pytest.mark.parametrize("kind", ["pipe", "link", "anybody's", "folder"])
def test_what_is_no_plain_file_of_ours_is_not_taken(place, kind):
    make = Counting()
    store.kept(Two, "a", make)
    (path,) = place.iterdir()
    if kind == "anybody's":
        path.chmod(0o666)
    else:
        whole = path.rename(place.parent / "elsewhere.arrays")
        ways = {"pipe": lambda: os.mkfifo(path), "link": lambda: path.symlink_to(whole), "folder": path.mkdir}
        ways[kind]()
    store.kept(Two, "a", make)
    assert make.times == 2


def test_no_pickle_is_ever_loaded(place):
    store.kept(Two, "a", Counting(Two(np.array([{"an": "object"}], dtype=object), np.zeros(1))))
    make = Counting()
    store.kept(Two, "a", make)
    assert make.times == 1


def test_where_nothing_can_be_kept_it_is_made_each_time(tmp_path, monkeypatch):
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    for where in (blocked / "beams", None):
        monkeypatch.setattr(store, "folder", lambda where=where: where)
        make = Counting()
        for _ in range(2):
            assert np.array_equal(store.kept(Two, "a", make).numbers, np.arange(3.0))
        assert make.times == 2


def test_the_longest_unused_makes_room(place, monkeypatch):
    monkeypatch.setattr(store, "LIMIT", 30_000)
    big = Counting(Two(np.zeros(1000), np.zeros(1)))
    for key in "ab":
        store.kept(Two, key, big)
    for number, path in enumerate(sorted(place.iterdir(), key=lambda one: one.stat().st_mtime_ns)):
        os.utime(path, (1000 + number, 1000 + number))
    store.kept(Two, "a", big)  # used: b is now the older one
    for key in "cd":
        store.kept(Two, key, big)
    assert big.times == 4
    assert sum(path.stat().st_size for path in place.iterdir()) <= 30_000
    store.kept(Two, "a", big)
    assert big.times == 4, "what was just used went before what was not"


def test_what_a_killed_planner_left_goes_at_the_first_write_and_is_not_looked_for_at_the_next(place):
    place.mkdir()
    left = place / ".planner-left.part"
    left.write_bytes(b"half")
    store.kept(Two, "a", Counting())
    assert not left.exists()
    left.write_bytes(b"half")
    store.kept(Two, "b", Counting())
    assert left.exists()


def test_what_is_too_large_is_not_kept(place, monkeypatch):
    monkeypatch.setattr(store, "_LARGEST", 100)
    make = Counting(Two(np.zeros(1000), np.zeros(1)))
    store.kept(Two, "a", make)
    assert not place.exists()
