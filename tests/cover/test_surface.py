"""Surfaces and edges as worn, against geometry worked out another way."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe

from planner.cover.outline import curves, inside
from planner.cover.surface import edge_mm, edges, ellipse_round, surface_cm2, worn_mm
from planner.job import Area

from .made import SHAPES, area


def test_a_sleeve_is_the_mantle_of_a_cone_frustum():
    # Bronshtein & Semendyayev, Handbook of Mathematics: M = π s (R + r), with circumferences 2πR and 2πr.
    R, r, s = 15 / math.pi, 9 / math.pi, 40
    found = surface_cm2(Area(name="s", shape="sleeve", top_around_cm=30, bottom_around_cm=18, length_cm=40,
                             pattern="full", mix=(("a", 1.0),)))  # fmt: skip
    assert found == pytest.approx(math.pi * s * (R + r))


@pytest.mark.parametrize("shape", SHAPES)
def test_stretch_counts_the_worn_cloth(shape):
    flat = surface_cm2(area(shape, "full"))
    assert surface_cm2(area(shape, "full", stretch=1.5, stretch_down=1.2)) == pytest.approx(1.8 * flat)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_outline_holds_the_surface(shape):
    one = area(shape, "full", stretch=1.4)
    wide, high = worn_mm(one)
    steps = 600
    x, y = (np.arange(steps) + 0.5) * wide / steps, (np.arange(steps) + 0.5) * high / steps
    points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    assert inside(one, points).mean() * wide * high / 100 == pytest.approx(surface_cm2(one), rel=2e-3)


@given(st.floats(10, 2000), st.floats(1 / 3, 3))
def test_the_round_of_an_ellipse_is_that_of_the_elliptic_integral(wide, ratio):
    a, b = max(wide, wide * ratio) / 2, min(wide, wide * ratio) / 2
    exact = 4 * a * ellipe(1 - (b / a) ** 2)
    assert ellipse_round(wide, wide * ratio) == pytest.approx(exact, rel=1e-4)


@pytest.mark.parametrize("shape", [one for one in SHAPES if one not in {"surface", "band"}])
@pytest.mark.parametrize("inset", [0.0, 5.0, 12.0])
def test_edges_are_as_long_as_the_curves_that_follow_them(shape, inset):
    one = area(shape, "double line", stretch=1.3, stretch_down=1.1)
    lengths = [np.hypot(*np.diff(curve, axis=0).T).sum() for curve in curves(one, inset)]
    assert lengths == pytest.approx([edge.length_mm for edge in edges(one, inset)], rel=1e-3)


def test_a_surface_has_no_edge_and_takes_no_line():
    assert edge_mm(area("surface", "full")) is None
    with pytest.raises(ValueError, match="no edge to follow"):
        area("surface", "single line")


@pytest.mark.parametrize("shape", ["rectangle", "triangle", "circle", "sleeve"])
def test_an_inner_row_without_room_has_no_length(shape):
    assert [edge.length_mm for edge in edges(area(shape, "double line"), 500.0)] == pytest.approx(
        [0.0] * (2 if shape == "sleeve" else 1)
    )
