"""A whole costume: outlines and their scale, where areas lie, and files of a maker's own, read safely.

Paths are SVG 2's (W3C, chapter 9); their curves are held against closed forms: a quarter of a circle in one
cubic curve is off by 2.7 in 10,000 (common knowledge of computer drawing, e.g. A. Riskus, Information
Technology and Control 35, 2006), and a polygon's area against the shoelace formula.
"""

import os
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.cover.costume import dressed, names, outline_of, within
from planner.cover.count import area_count
from planner.cover.path import corners
from planner.cover.svg import MOST_BYTES, paths
from planner.data import demo
from planner.job import read_job_file
from planner.job.area import Area
from planner.refusal import InvalidValue, Refusal

SVG = '<svg xmlns="http://www.w3.org/2000/svg">{}</svg>'
SQUARE = '<path id="front" d="M0 0 H400 V600 H0 Z"/><path id="neck" d="M100 20 L300 20"/>'


@pytest.fixture(scope="module")
def job():
    return read_job_file(demo() / "jobs" / "hoop-second-half.toml").job


def changed(job, **update):
    return type(job).model_validate(job.model_copy(update=update).__dict__)


def shoelace(points):
    x, y = points.T
    return 0.5 * abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1)))


def test_a_quarter_circle_is_round_and_relative_is_absolute():
    k = 0.5522847498
    points, closed = corners(f"M 1 0 C 1 {k} {k} 1 0 1")
    np.testing.assert_allclose(np.hypot(*points.T), 1.0, atol=3e-4)
    assert not closed
    turned, _ = corners(f"m1,0c0,{k}-{1 - k},1-1,1")
    np.testing.assert_allclose(turned, points, atol=1e-9)


@pytest.mark.parametrize(
    ("path", "area"),
    [("M0 0 10 0 10 5 0 5z", 50.0), ("M0 0h10v5H0Z", 50.0), ("M0,0 Q 6 9 12 0 Z", 36.0),
     ("M0 0 C0 3 3 6 6 6 S 12 3 12 0Z", 54.9)],
)  # fmt: skip
def test_areas_of_paths(path, area):
    # The last: x = 9t² − 3t³, y = 9t − 3t³, so ∫ y dx = 27.45 for each half.
    points, closed = corners(path)
    assert closed
    assert shoelace(points) == pytest.approx(area, rel=0.01)


@pytest.mark.parametrize(
    ("path", "said"),
    [("", "empty"), ("L 1 1", "begin with M"), ("M 0 0 L 1", "too few numbers"),
     ("M0 0 A 1 1 0 0 0 2 2", '"A"'),
     ("M0 0 L1 1 M2 2 L3 3", "several strokes"), ("M 0 0", "go somewhere"), ("M0 0 L $", "numbers and the"),
     ("M0 0 L 1e9 0", "beyond a million"), ("M0 0 " + "L1 1 " * 21_000, "corners"),
     ("M" + " 0" * 200_000, "characters")],
)  # fmt: skip
def test_a_path_that_cannot_be_read_is_one_sentence(path, said):
    with pytest.raises(InvalidValue, match=said):
        corners(path)


@given(st.text(alphabet="MLHVCSQTZmlz0123456789.,-e ", max_size=60))
def test_no_text_breaks_the_reader(text):
    try:
        points, _ = corners(text)
    except InvalidValue:
        return
    assert np.isfinite(points).all()


def test_within_is_even_odd():
    star = np.array([[0, 0], [10, 0], [10, 10], [5, 5], [0, 10]], float)
    found = within(star, np.array([[5.0, 2.0], [5.0, 8.0], [1.0, 7.0], [11.0, 5.0]]))
    assert found.tolist() == [True, False, True, False]


@pytest.mark.parametrize("name", names())
def test_every_outline_is_whole_and_scales_with_the_wearer(job, name, tmp_path):
    plain = outline_of(changed(job, outline=name, areas=(), height_cm=168.0), tmp_path)
    large = outline_of(
        changed(job, outline=name, areas=(), height_cm=184.8, chest_cm=96.8, waist_cm=77.0, hips_cm=103.4),
        tmp_path,
    )  # fmt: skip
    for part, points in plain.parts.items():
        assert shoelace(large.parts[part]) == pytest.approx(1.21 * shoelace(points), rel=0.01)
        # Nothing of a costume is as small as a hand or as large as a curtain.
        assert 100.0 < shoelace(points) / 100.0 < 12_000.0


def test_a_front_is_half_of_what_goes_round(job, tmp_path):
    outline = outline_of(changed(job, outline="leotard", height_cm=168.0, waist_cm=80.0), tmp_path)
    front = outline.parts["front"]
    waist = np.abs(front[np.abs(front[:, 1] - 400.0) < 1.0, 0]).max()
    assert 2.0 * waist == pytest.approx(400.0, rel=0.01)


def test_stones_lie_on_their_parts_and_are_counted(job, tmp_path):
    outline = outline_of(job, tmp_path)
    drawn = dressed(job, outline)
    on = sum(within(part, drawn.centres) for part in outline.parts.values())
    rows = drawn.which == [line.name for line in drawn.lines].index("tackle-clear-bobbin-aurora-ss30")
    assert on[~rows].mean() > 0.95
    counted = sum(area_count(area, job).stones for area in job.areas)
    assert len(drawn.centres) + drawn.beyond == pytest.approx(counted, rel=0.1)
    assert not drawn.left_out


def test_two_of_an_area_lie_mirrored(job, tmp_path):
    side = next(area for area in job.areas if area.name.startswith("Side"))
    drawn = dressed(changed(job, areas=(side,)), outline_of(job, tmp_path))
    assert drawn.centres[:, 0].mean() == pytest.approx(0.0, abs=12.0)
    assert np.abs(drawn.centres[:, 0]).min() > 50.0


def test_a_turn_is_clockwise_and_a_place_is_a_share_of_the_room(job, tmp_path):
    front = next(area for area in job.areas if area.name == "Front")
    found = {}
    for turned in (0.0, 180.0):
        area = Area.model_validate(front.model_copy(update={"turned": turned, "place": (0.5, 0.5)}).__dict__)
        y = dressed(changed(job, areas=(area,)), outline_of(job, tmp_path)).centres[:, 1]
        found[turned] = np.mean(y)
    # Its dense end is the width of the triangle: below as drawn, above when turned round.
    assert found[180.0] < found[0.0] - 50.0


def test_an_area_without_a_part_is_told(job, tmp_path):
    area = Area.model_validate(job.areas[0].model_copy(update={"part": None}).__dict__)
    assert dressed(changed(job, areas=(area,)), outline_of(job, tmp_path)).left_out == (area.name,)


@pytest.mark.parametrize(
    ("area", "said"),
    [({"part": "hood"}, 'found "hood"; the outline "leotard" has "front"'),
     ({"part": "neckline"}, "only a band follows")],
)  # fmt: skip
def test_a_wrong_part_names_area_and_field(job, tmp_path, area, said):
    wrong = Area.model_validate(job.areas[0].model_copy(update=area).__dict__)
    with pytest.raises(Refusal, match=said) as told:
        dressed(changed(job, areas=(wrong,)), outline_of(job, tmp_path))
    assert 'job area "Front", field part' in str(told.value)


def test_an_outline_of_her_own(job, tmp_path):
    (tmp_path / "own.svg").write_text(SVG.format(SQUARE))
    outline = outline_of(changed(job, outline="own.svg"), tmp_path)
    assert shoelace(outline.parts["front"]) == pytest.approx(400 * 600)
    assert set(outline.lines) == {"neck"}


@pytest.mark.parametrize(
    ("text", "said"),
    [('<!DOCTYPE svg [<!ENTITY a "b">]>' + SVG.format(SQUARE), "document type"),
     ('<!DOCTYPE svg SYSTEM "file:///etc/passwd">' + SVG.format(SQUARE), "document type"),
     (SVG.format("<script>x</script>" + SQUARE), "<script>"),
     (SVG.format('<image href="file:///etc/passwd"/>' + SQUARE), "<image>"),
     (SVG.format('<use href="#x"/>' + SQUARE), "<use>"),
     (SVG.format('<g transform="scale(2)">' + SQUARE + "</g>"), "transform"),
     (SVG.format('<path d="M0 0L1 1"/>'), "without an id"), (SVG.format(SQUARE + SQUARE), "twice"),
     (SVG.format(""), "no path"), ("<html/>", "begins with <svg>"), ("<svg>", "no SVG"), ("", "no SVG"),
     ("<svg>" + "<g>" * 100, "deep"),
     (SVG.format("".join(f'<path id="p{i}" d="M0 0L1 1"/>' for i in range(201))), "over 200 paths")],
)  # fmt: skip
def test_what_a_stranger_may_send_is_refused_in_a_sentence(tmp_path, text, said):
    file = tmp_path / "own.svg"
    file.write_text(text)
    with pytest.raises(Refusal, match=said) as told:
        paths(file)
    assert str(file) in str(told.value)
    assert "\n" not in str(told.value)


def test_a_file_without_end_is_not_read(tmp_path):
    file = tmp_path / "own.svg"
    file.write_bytes(b" " * (MOST_BYTES + 1))
    with pytest.raises(Refusal, match="at most 2000000"):
        paths(file)
    with pytest.raises(Refusal, match="no such file"):
        paths(tmp_path / "none.svg")
    with pytest.raises(Refusal, match="a device or pipe"):
        paths(Path(os.devnull))
    with pytest.raises(Refusal, match="null"):
        paths(tmp_path / "a\0b")
    with pytest.raises(ValueError, match="job's own folder or below it, such as bodice"):
        changed(read_job_file(demo() / "jobs" / "hoop-second-half.toml").job, outline="../own.svg")
