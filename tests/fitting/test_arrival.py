"""Predicted beside seen, the lot in hand, and the log."""

import threading
from dataclasses import replace

import made_cards as made
import numpy as np
import pytest

from planner.assess.assess import assess_question
from planner.catalogue.stone import Stone
from planner.colour.everyday import ENOUGH, overlap
from planner.colour.screen import parse_hex, srgb_to_lab
from planner.fitting.arrival import compare, lot_in_hand
from planner.fitting.own_stone import own_stone
from planner.fitting.record import append, kind_of, line_of, read_log, take_back, track
from planner.fitting.sight import Sight, sight
from planner.job import Job, Line
from planner.order.parcel import parcel
from planner.reading.instead import instead
from planner.reading.matter import QUICK
from planner.reading.question import Question, typed_colour
from planner.reading.read import read
from planner.refusal import Refusal

TEAL, BLUE = (45.0, -28.0, -12.0), "#2b4ea0"


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


def test_a_lot_that_came_out_teal_reads_as_teal_and_is_warned_of():
    """It is ordered as a blue; no lot of its film, nor any other film on that blue, looks so."""
    at, palette = made.placed("treadle-blue"), made.palette()
    found = arrived("treadle-blue", "halyard-aurora", TEAL)
    assert found.another
    assert "No batch of Halyard aurora" in found.remark
    lot = lot_in_hand(found, "teal-box", "Teal box", "measured")
    assert lot.id == "teal-box"
    blue = typed_colour(BLUE)
    asked = Question(lot, at.cut, None, "SS20", blue, blue, palette.venues["noon"], 12.0)
    assessed = assess_question(asked, QUICK)
    assert assessed.reading.seen.family in {"blue green", "green", "bluish green", "greenish blue"}
    assert assessed.verdict.tone == "bad"
    assert "glow-drifts" in {one.code for one, _ in assessed.concerns}


def test_a_lot_known_by_a_word_alone_reads_as_that_word():
    """Of a wide range of films some are near enough to a rough colour; their mean is like none of them."""
    cut, seen = made.palette().cuts["twelve"], seen_as(srgb_to_lab(parse_hex("#029386")), "words")
    stone = own_stone("Royal blue", ("SS20",), cut, colour="royal blue").stone
    found = compare(stone, cut, made.palette().coatings["ab"], "SS20", seen)
    assert not found.another
    lot = lot_in_hand(found, "spring-lot", "Spring lot", "estimated")
    asked = found.reading.question
    again = replace(asked, stone=lot, coating=None) if isinstance(lot, Stone) else replace(asked, coating=lot)
    assert overlap(np.array(read(again, QUICK).seen.lab), found.lab) >= ENOUGH


def test_what_follows_from_it_for_a_job_is_told():
    at, whole = made.placed("treadle-blue"), made.palette()
    palette = replace(
        whole,
        stones={one: whole.stones[one] for one in ("treadle-blue", "pulley-blue", "marlinspike-navy")},
        coatings={one: whole.coatings[one] for one in ("halyard-aurora", "cleat-blue")},
    )
    found = arrived("treadle-blue", "halyard-aurora", TEAL)
    line = Line(stone=at.stone.id, coating="halyard-aurora", size="SS20")
    other = Line(stone="pulley-blue", size="SS20")
    job = Job(title="Hoop", swatch=BLUE, venues=("noon",), lines=(line, other))
    follows = parcel(job, palette, found.reading.question, lot_in_hand(found, "x", "X", "estimated"))
    assert [(one.number, one.holds) for one in follows.lines] == [(1, False)]
    assert not follows.keep
    assert follows.lines[0].swaps
    assert all(one.fits for one in follows.lines[0].swaps), "a lot that fails is swapped to what does"
    red = replace(palette, stones={"shackle-red": whole.stones["shackle-red"]}, coatings={})
    nearest = instead(red, follows.lines[0].assessed.reading)
    assert [(one.ranked.question.stone.id, one.fits) for one in nearest] in ([], [("shackle-red", False)])


def test_an_uncoated_stone_of_quite_another_colour_takes_the_one_seen():
    jet = arrived("tackle-jet", None, TEAL)
    lot = lot_in_hand(jet, "x", "X", "measured")
    assert (lot.opaque, lot.seen_size) == (False, "SS20")


def test_what_is_seen_as_a_family_alone_is_too_little():
    at = made.placed("tackle-jet")
    with pytest.raises(ValueError, match="family alone"):
        compare(at.stone, at.cut, None, "SS20", sight("black"))


@pytest.fixture(scope="module")
def line():
    return line_of(arrived("pulley-blue", "halyard-aurora", (50, 10, -50)))


def test_the_log_keeps_every_line_of_two_writers(tmp_path, line):
    path = tmp_path / "new" / "arrivals.csv"
    mine = [[replace(line, dE00=float(100 * at + number)) for number in range(15)] for at in range(2)]
    writers = [
        threading.Thread(target=lambda lines=lines: [append(path, one) for one in lines]) for lines in mine
    ]
    for one in writers:
        one.start()
    for one in writers:
        one.join()
    assert set(read_log(path)) == {*mine[0], *mine[1]}
    assert len(read_log(path)) == 30


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
        (lambda text: text + "x" * 200_000 + "\n", "near line 4"),
    ],
)
def test_a_damaged_log_is_one_sentence_and_stays_as_it_is(tmp_path, line, spoil, where):
    path = tmp_path / "arrivals.csv"
    for one in (line, replace(line, dE00=1.0)):
        append(path, one)
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


def test_what_is_logged_twice_counts_once_and_is_taken_back(tmp_path):
    path, found = tmp_path / "arrivals.csv", arrived("treadle-blue", None, TEAL)
    assert append(path, line_of(found))
    assert not append(path, line_of(found))
    assert len(read_log(path)) == 1
    assert take_back(path).stone == "treadle-blue"
    assert read_log(path) == ()
    with pytest.raises(Refusal, match="nothing is logged"):
        take_back(path)
