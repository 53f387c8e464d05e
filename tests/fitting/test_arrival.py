"""Predicted beside seen, the lot in hand, and the log."""

import threading

import made_cards as made
import numpy as np
import pytest

from planner.fitting.arrival import compare, lot_in_hand
from planner.fitting.record import append, kind_of, line_of, read_log, track
from planner.fitting.sight import Sight, sight
from planner.refusal import Refusal


def seen_as(lab, source="measured"):
    return Sight("made", source, np.asarray(lab), None)


def arrived(stone, coating, lab, source="measured"):
    at = made.placed(stone)
    film = made.palette().coatings[coating] if coating else None
    return compare(at.stone, at.cut, film, "SS20", seen_as(lab, source))


@pytest.mark.parametrize("thicker", [0.95, 1.05])
def test_a_lot_with_another_thickness_is_kept_with_it(thicker):
    usual = made.palette().coatings["halyard-aurora"]
    layer = usual.layers[0]
    true = usual.model_copy(update={"layers": (layer.model_copy(update={"nm": layer.nm * thicker}),)})
    found = arrived("tackle-jet", "halyard-aurora", made.glow(made.placed("tackle-jet"), true))
    lot = lot_in_hand(found, "second-box", "Second box", "measured")
    assert lot.id == "second-box"
    assert lot.basis == "measured"
    assert np.sign(lot.layers[0].nm - layer.nm) == np.sign(thicker - 1.0)
    assert lot.layers[0].nm == pytest.approx(layer.nm * thicker, rel=0.04)
    # One lot in hand is better known than the next one to be ordered.
    assert lot.lot_spread < np.hypot(usual.lot_spread, usual.index_spread)
    assert compare(
        made.placed("tackle-jet").stone, made.placed("tackle-jet").cut, lot, "SS20", found.seen
    ).apart.dE00 < max(found.apart.dE00, 3.0)  # fmt: skip


def test_a_deeper_lot_of_an_uncoated_stone_is_kept_deeper():
    at = made.placed("pulley-blue")
    found = arrived("pulley-blue", None, made.glow(at, None, 1.15))
    lot = lot_in_hand(found, "deep-box", "Deep box", "measured")
    assert lot.colourants["cobalt"] == pytest.approx(1.15 * at.stone.colourants["cobalt"], rel=0.06)
    assert lot.body_spread < at.stone.body_spread


def test_what_comes_as_predicted_is_expected():
    at = made.placed("pulley-blue")
    film = made.palette().coatings["halyard-aurora"]
    found = arrived("pulley-blue", "halyard-aurora", made.glow(at, film))
    assert found.expected
    assert found.apart.dE00 < 2
    assert not arrived("pulley-blue", "halyard-aurora", (50, 60, 40)).expected


def test_what_is_no_such_lot_is_refused():
    with pytest.raises(ValueError, match="no lot of Halyard aurora"):
        lot_in_hand(arrived("tackle-jet", "halyard-aurora", (50, 70, 60)), "x", "X", "measured")
    jet = arrived("tackle-jet", None, made.glow(made.placed("tackle-jet"), None))
    with pytest.raises(ValueError, match="no body colour"):
        lot_in_hand(jet, "x", "X", "measured")
    at = made.placed("tackle-jet")
    with pytest.raises(ValueError, match="family alone"):
        compare(at.stone, at.cut, None, "SS20", sight("black"))


@pytest.fixture(scope="module")
def line():
    return line_of(arrived("pulley-blue", "halyard-aurora", (50, 10, -50)))


def test_the_log_keeps_every_line_of_two_writers(tmp_path, line):
    path = tmp_path / "new" / "arrivals.csv"
    writers = [threading.Thread(target=lambda: [append(path, line) for _ in range(15)]) for _ in range(2)]
    for one in writers:
        one.start()
    for one in writers:
        one.join()
    assert read_log(path) == (line,) * 30


@pytest.mark.parametrize(
    ("spoil", "where"),
    [
        (lambda text: text[:-9], "line 3"),
        (lambda text: text[:-1], "line 3"),
        (lambda text: text.replace("pulley-blue", "a,b"), "line 2"),
        (lambda text: "junk\n" + text, "line 1"),
        (lambda text: text.replace("50.0", "nan"), "line 2, seen_L"),
        (lambda text: text.replace("date", "datum"), "line 1"),
        (lambda _text: "", "line 1"),
        (lambda text: text + '"', "line 4"),
    ],
)
def test_a_damaged_log_is_one_sentence_and_stays_as_it_is(tmp_path, line, spoil, where):
    path = tmp_path / "arrivals.csv"
    for _ in range(2):
        append(path, line)
    path.write_text(spoil(path.read_text(encoding="utf-8")), encoding="utf-8")
    before = path.read_bytes()
    for attempt in (lambda: read_log(path), lambda: append(path, line)):
        with pytest.raises(Refusal) as refused:
            attempt()
        assert where in str(refused.value)
        assert "\n" not in str(refused.value)
    assert path.read_bytes() == before


def test_the_record_is_told_by_kind(tmp_path, line):
    from dataclasses import replace

    lines = [replace(line, dE00=value, within=6.0) for value in (2.0, 9.0, 5.0)]
    found = track([*lines, replace(line, kind="coated, jet")], line.kind)
    assert (found.count, found.median, found.expected) == (3, 5.0, pytest.approx(2 / 3))
    assert track(lines, "uncoated, clear") is None
    assert read_log(tmp_path / "none.csv") == ()
    stones = made.palette().stones
    assert [kind_of(stones[one], None) for one in ("tackle-jet", "tackle-clear", "canopy-wine")] == [
        "uncoated, jet", "uncoated, clear", "uncoated, coloured",
    ]  # fmt: skip
