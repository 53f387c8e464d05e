"""The drawer: what is taken from it, and that counting down leaves a person's file theirs."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.catalogue import load, palette_file
from planner.cover import Need
from planner.data import demo
from planner.order.stock import Lot, after_taking, read_stock, take
from planner.refusal import Refusal

TEXT = """# What is left, counted in May.

[[lot]]
stone = "pulley-blue"
size = "SS20"
count = 120   # in the tin
note = "From the hoop."

# Nobody knows whose these are.
[[lot]]
stone = "pulley-blue"
coating = "none"
size = "20ss"
count = 40
"""


def lot(**fields):
    data = {"stone": "pulley-blue", "size": "SS20", "count": 1, **fields}
    lines = [f"{key} = {one!r}".replace("'", '"') for key, one in data.items()]
    return "\n".join(["[[lot]]", *lines, ""])


@pytest.fixture(scope="module")
def palette():
    return load(demo())


@pytest.fixture
def drawer(tmp_path, palette):
    def written(text=TEXT):
        path = tmp_path / "drawer.toml"
        path.write_text(text, encoding="utf-8")
        return read_stock(path, palette)

    return written


def test_counting_down_changes_the_counts_and_nothing_else(drawer):
    file = drawer()
    need = (Need("pulley-blue", "none", "SS20", 130, 5),)
    file.without(take(file.lots, need)).save()
    assert file.path.read_text() == TEXT.replace("count = 120", "count = 0").replace("= 40", "= 25")
    assert Path(f"{file.path}.bak").read_text() == TEXT


def test_a_file_that_changed_meanwhile_is_not_overwritten(drawer):
    file = drawer()
    file.path.write_text("# mine\n")
    with pytest.raises(Refusal, match="was changed by someone else"):
        file.without(take(file.lots, (Need("pulley-blue", "none", "SS20", 10),))).save()
    assert file.path.read_text() == "# mine\n"


def test_one_lot_that_is_enough_goes_before_two(drawer):
    lots = drawer().lots
    assert [(one.number, one.count) for one in take(lots, (Need("pulley-blue", "none", "SS20", 40),))] == [
        (1, 40)
    ]
    assert [(one.number, one.count) for one in take(lots, (Need("pulley-blue", "none", "SS20", 41),))] == [
        (0, 41)
    ]


@given(
    counts=st.lists(st.integers(0, 60), max_size=5),
    worn=st.integers(0, 150),
    spares=st.integers(0, 30),
)
@settings(max_examples=200, deadline=None)
def test_what_is_taken_and_what_is_left_to_buy_add_up(counts, worn, spares):
    lots = [Lot(stone="a", size="SS20", count=count) for count in counts]
    needs = (Need("a", "none", "SS20", worn, spares), Need("b", "none", "SS20", 7, 1))
    taken = take(lots, needs)
    rest, other = after_taking(needs, taken)
    had = sum(one.count for one in taken)
    assert had == min(sum(counts), worn + spares)
    assert rest.count == worn + spares - had
    assert rest.worn == max(worn - had, 0)
    assert other == needs[1]
    assert all(0 < one.count <= one.lot.count for one in taken)
    assert len({one.number for one in taken}) == len(taken)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (lot(stone="pulley-blu"), 'line 1, lot 1, field stone: found "pulley-blu"'),
        (lot(size="SS19"), 'field size: found "SS19"; no millimetres are in common use'),
        ("\n" + lot(count=-3), "line 2, lot 1, field count: found -3"),
        (lot(count=1.5), "field count: found 1.5; a count must be a whole number from 0"),
        (lot().replace("count", "# count"), "field count: is missing"),
        (lot().replace("size", "sise"), 'did you mean "size"?'),
        (lot().replace("[[lot]]", "[lot]"), "needs a header in double brackets"),
        (lot().replace("lot", "drawer"), 'field "drawer": is not known here; stones stand under [[lot]]'),
        (lot().replace("[[lot]]", "[[lot]"), "line 1: is not valid TOML"),
        (lot(coating="gilt"), "there is no such coating"),
    ],
)
def test_a_bad_file_gives_one_sentence(drawer, text, said):
    with pytest.raises(Refusal) as problem:
        drawer(text)
    assert said in str(problem.value)
    assert "\n" not in str(problem.value)


def test_a_large_drawer_is_cut_into_lots_once(drawer, monkeypatch):
    cuts = []
    whole = palette_file.split
    monkeypatch.setattr(palette_file, "split", lambda *asked: cuts.append(1) or whole(*asked))
    assert len(drawer("".join(lot(count=number) for number in range(200))).lots) == 200
    assert len(cuts) == 1
