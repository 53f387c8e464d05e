"""Layouts: as many stones as counted, in their shares, on the area, none on top of another."""

import numpy as np
import pytest
from scipy.spatial import cKDTree

from planner.colour.screen import srgb_to_linear
from planner.cover.count import stones_on
from planner.cover.layout import Piece, layout
from planner.cover.outline import inside
from planner.cover.picture import letters, plan, rgb
from planner.cover.surface import edge_mm, worn_mm
from planner.job import Area

from .made import PATTERNS, SHAPES, area, lines_of

CASES = [
    (shape, pattern)
    for shape in SHAPES
    for pattern in PATTERNS
    if (shape, "line") != ("surface", pattern[-4:])
]


@pytest.mark.parametrize(("shape", "pattern"), CASES)
def test_a_layout_has_the_stones_that_were_counted(shape, pattern):
    one = area(shape, pattern, stretch=1.2)
    drawn = layout(one, lines_of(one))
    counted = stones_on(one, lines_of(one))
    if "line" in pattern:
        assert len(drawn.centres) == counted
    else:
        # A lattice cut by an outline is off by about half a stone for each step of its edge.
        wide, high = worn_mm(one)
        steps = (edge_mm(one) or 2 * (wide + high)) / np.sqrt(wide * high / counted)
        assert abs(len(drawn.centres) - counted) <= max(3.0, 0.5 * steps)
        assert len(drawn.centres) == pytest.approx(counted, rel=0.07)
        assert inside(one, drawn.centres).all()
    shares = np.bincount(drawn.which, minlength=2) / len(drawn.which)
    assert shares == pytest.approx([2 / 3, 1 / 3], abs=0.04)


@pytest.mark.parametrize(("shape", "pattern"), CASES)
def test_no_stone_lies_on_another(shape, pattern):
    one = area(shape, pattern)
    drawn = layout(one, lines_of(one))
    pairs = cKDTree(drawn.centres).query_pairs(8.0, output_type="ndarray")
    apart = np.hypot(*(drawn.centres[pairs[:, 0]] - drawn.centres[pairs[:, 1]]).T)
    radii = drawn.diameters / 2
    assert (apart - radii[pairs[:, 0]] - radii[pairs[:, 1]]).min() > -0.05


def test_the_same_area_and_piece_give_the_same_places():
    one = area("rectangle", "scatter")
    first, second = (layout(one, lines_of(one), Piece(10, 10, 60, 40)) for _ in range(2))
    assert (first.centres == second.centres).all()
    assert (first.which == second.which).all()


def test_a_gradient_thins_out():
    one = area("rectangle", "gradient")
    heights = layout(one, lines_of(one)).centres[:, 1]
    counted = np.histogram(heights, bins=4, range=(0, 120))[0]
    assert (np.diff(counted) < 0).all()
    down = area("triangle", "gradient")
    heights = layout(down, lines_of(down)).centres[:, 1]
    assert np.median(heights) > 140  # it stands on its dense end, and its middle of surface is at 141 mm


def test_a_piece_of_a_huge_cloth_is_quick_and_too_large_a_piece_is_refused():
    huge = area("rectangle", "full", width_cm=2000, height_cm=2000)
    assert len(layout(huge, lines_of(huge), Piece(9000, 9000, 60, 40)).centres) > 100
    with pytest.raises(ValueError, match="choose a smaller piece"):
        layout(huge, lines_of(huge))


def test_a_picture_is_to_scale_and_in_the_colours_given():
    one = area("band", "single line", [("body", 1.0)], length_cm=10, width_cm=4)
    drawn = plan(one, lines_of(one), 400, 200, across_mm=100)
    picture = rgb(drawn, np.array([[0, 0, 255]]), np.array([255, 0, 0])).astype(int)
    assert set(map(tuple, picture.reshape(-1, 3))) >= {(0, 0, 255), (255, 0, 0), (96, 96, 96)}
    # 20 stones of 4.7 mm; the light of a pixel is blue as far as it is stone.
    blue = srgb_to_linear(picture[(picture != 96).any(axis=-1)] / 255.0)[:, 2]
    assert blue.sum() * drawn.mm**2 == pytest.approx(20 * np.pi / 4 * 4.7**2, rel=0.01)


@pytest.mark.parametrize("pattern", ["single line", "double line", "gradient", "full", "scatter"])
@pytest.mark.parametrize("shape", ["sleeve", "triangle", "circle", "band"])
def test_letters_show_stones_of_every_area(shape, pattern):
    one = area(shape, pattern)
    lines = letters(plan(one, lines_of(one), 76, 40))
    assert len(lines) == 20
    assert max(map(len, lines)) <= 76
    assert sum(line.count("A") for line in lines) > sum(line.count("B") for line in lines) > 0


def test_a_motif_is_drawn_with_all_its_stones():
    one = Area(name="m", shape="circle", pattern="motif", mix=(("bold", 1.0), ("fill", 12.0)))
    text = "".join(letters(plan(one, lines_of(one), 76, 40)))
    assert (text.count("A"), text.count("B")) == (1, 12)


@pytest.mark.parametrize("shape", ["rectangle", "triangle"])
def test_lines_of_a_run_follow_one_another_and_are_counted_as_ever(shape):
    mix = (("body", 1.0), ("fill", 2.0), ("fine", 1.0))
    strewn, run = (
        layout(one, lines_of(one))
        for one in (area(shape, "gradient", mix, end_spacing_mm=8, run=run) for run in (False, True))
    )
    np.testing.assert_allclose(np.bincount(run.which), np.bincount(strewn.which), atol=2)
    level = [np.mean(run.centres[run.which == kind, 1]) for kind in range(3)]
    # From the dense end: from above, but in a triangle from its width, below.
    steps = np.diff(level) if shape == "rectangle" else -np.diff(level)
    assert (steps > 15.0).all()
    assert np.ptp([np.mean(strewn.centres[strewn.which == kind, 1]) for kind in range(3)]) < 20.0


def test_lines_of_a_run_follow_one_another_along_a_row():
    one = area("band", "single line", run=True)
    assert (np.diff(layout(one, lines_of(one)).which) >= 0).all()
