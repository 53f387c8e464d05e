"""Counts, against published densities, trade rules of thumb, and what must hold for any area."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference import integrate

from planner.catalogue import Refusal, size
from planner.cover import area_count, counts, needs, unplaced
from planner.cover.count import apportioned, line_step, stones_on
from planner.cover.density import GAP_MM, HAND_SET, HEXAGONAL, ceiling, close_set, florian, gradient_mean
from planner.job import Area, Line

from .made import LINES, SHAPES, area, job, lines_of

shapes = st.sampled_from([one for one in SHAPES if one != "surface"])
mixes = st.lists(
    st.tuples(st.sampled_from(sorted(LINES)), st.floats(0.1, 100)),
    min_size=1,
    max_size=4,
    unique_by=lambda x: x[0],
)


def test_discs_of_one_size_reach_the_hexagonal_density():
    # A. Thue 1910; L. Fejes Tóth 1940: π/√12 = 0.9069.
    assert florian(1.0) == pytest.approx(HEXAGONAL) == pytest.approx(0.90690, abs=1e-5)


def test_the_bound_for_two_sizes_is_above_every_known_best_packing():
    # Densest packings of discs of radii 1 and r (A. Heppes, Discrete Comput. Geom. 30, 2003, and 2000;
    # densities as tabulated by T. Fernique, "Density of binary compact disc packings", 2020; from memory).
    for ratio, best in (
        (0.637556, 0.910683),
        (0.533296, 0.914181),
        (0.414214, 0.920151),
        (0.154701, 0.950308),
    ):
        assert best <= florian(ratio) < 1.0


@given(st.floats(0.05, 1.0))
def test_the_bound_is_the_density_of_its_triangle(ratio):
    # One disc of radius 1 and two of radius r, all touching: angles by the law of cosines.
    sides = 1 + ratio, 1 + ratio, 2 * ratio
    big = math.acos((sides[0] ** 2 + sides[1] ** 2 - sides[2] ** 2) / (2 * sides[0] * sides[1]))
    small = (math.pi - big) / 2
    half = sum(sides) / 2
    triangle = math.sqrt(half * math.prod(half - side for side in sides))
    assert florian(ratio) == pytest.approx((0.5 * big + small * ratio**2) / triangle, rel=1e-9)


def test_stones_to_the_inch_are_those_of_size_guides():
    # Stones per inch: common practice, no source (for SS16 some say 7, some about 6).
    guides = {"SS5": (14,), "SS12": (8,), "SS16": (6, 7), "SS20": (5,), "SS30": (4,)}
    ours = {name: 25.4 / (size(name).nominal_mm + GAP_MM) for name in guides}
    for name, said in guides.items():
        print(f"{name}: {ours[name]:.1f} to the inch; guides say {said}")
    # The smaller the stone, the more of an inch goes into gaps: SS5 is two short of the guide.
    assert all(round(ours[name]) in said for name, said in guides.items() if name != "SS5")
    assert round(ours["SS5"]) == 12


def test_a_seam_of_a_metre_takes_stones_edge_to_edge():
    assert stones_on(area("band", "single line", mix=[("body", 1.0)], length_cm=100), [LINES["body"]]) == 200


def test_hands_set_closer_than_chance_pours():
    # J. G. Berryman, "Random close packing of hard spheres and disks", Phys. Rev. A 27, 1053
    # (1983), abstract: discs fill 0.82 ± 0.02 of a plane.
    assert 0.82 + 0.02 < HAND_SET < HEXAGONAL


@given(shapes, st.floats(1, 3), st.floats(1, 3), mixes)
def test_full_cover_stays_below_the_published_ceilings(shape, stretch, down, mix):
    found = area_count(area(shape, "full", mix, stretch=stretch, stretch_down=down), job())
    widths = [size(LINES[name].size).nominal_mm for name, _ in mix]
    assert found.hidden <= HAND_SET < HEXAGONAL <= ceiling(widths) + 1e-12


@given(st.floats(0.01, 20), mixes)
def test_full_cover_stays_below_them_on_a_spot_of_a_few_stones_too(surface, mix):
    assert area_count(area("surface", "full", mix, surface_cm2=surface), job()).hidden <= HAND_SET


@given(shapes, st.floats(7.1, 60), mixes)
def test_a_scatter_never_covers_more_than_discs_can(shape, spacing, mix):
    found = area_count(area(shape, "scatter", mix, spacing_mm=spacing), job())
    assert found.hidden <= HEXAGONAL


@given(shapes, st.floats(7.1, 60), st.floats(1.0, 3.0), mixes)
def test_more_spacing_never_takes_more_stones(shape, spacing, wider, mix):
    for pattern in ("single line", "double line", "scatter"):
        near, far = (area(shape, pattern, mix, spacing_mm=at) for at in (spacing, spacing * wider))
        assert stones_on(far, lines_of(far)) <= stones_on(near, lines_of(near))


@given(shapes, st.sampled_from(["single line", "double line", "scatter", "gradient", "full"]), mixes,
       st.integers(1, 1000))  # fmt: skip
def test_counts_scale_with_times(shape, pattern, mix, times):
    given_spacing = {"scatter": {"spacing_mm": 9.0}, "gradient": {"spacing_mm": 9.0, "end_spacing_mm": 30.0}}
    more = given_spacing.get(pattern, {})
    one, many = (area_count(area(shape, pattern, mix, times=n, **more), job()) for n in (1, times))
    assert [line.stones * times for line in one.lines] == [line.stones for line in many.lines]


@given(st.integers(0, 10**6), st.lists(st.floats(0.01, 10_000), min_size=1, max_size=20))
def test_shares_add_up_and_none_is_off_by_a_stone(total, parts):
    each = apportioned(total, parts)
    assert sum(each) == total
    exact = total * np.array(parts) / sum(parts)
    assert (np.abs(np.array(each) - exact) < 1.0 + 1e-6).all()


def test_largest_remainders_as_in_the_textbook_example():
    # Hamilton's method (M. L. Balinski & H. P. Young, Fair Representation, 1982); the
    # example of 100,000 votes for 10 seats that encyclopaedias give, from memory.
    assert apportioned(10, [47_000, 16_000, 15_800, 12_000, 6_100, 3_100]) == (5, 2, 1, 1, 1, 0)


@given(st.floats(5, 50), st.floats(1, 6), st.floats(0, 40), st.floats(0.5, 40))
def test_a_gradient_is_the_integral_of_its_density(dense, ratio, first, last):
    sparse = dense * ratio

    def mean(width):
        above = lambda t: width(t) / (dense + (sparse - dense) * t) ** 2  # noqa: E731 - integrated below
        whole = integrate.quad(above, 0, 1, epsabs=0, epsrel=1e-10)[0]
        return whole / integrate.quad(width, 0, 1)[0]

    straight = mean(lambda t: first + (last - first) * t)
    assert gradient_mean(dense, sparse, (first, last)) == pytest.approx(straight, rel=1e-6)
    round_ = mean(lambda t: math.sqrt(max(0.0, t * (1 - t))))
    assert gradient_mean(dense, sparse, None) == pytest.approx(round_, rel=1e-5)


@given(shapes, st.floats(7.1, 40), st.floats(1, 5))
def test_a_gradient_lies_between_its_two_scatters(shape, dense, ratio):
    mix = [("bold", 1.0)]
    one = area(shape, "gradient", mix, spacing_mm=dense, end_spacing_mm=dense * ratio)
    most, least = (area(shape, "scatter", mix, spacing_mm=at) for at in (dense, dense * ratio))
    counted = [stones_on(each, lines_of(each)) for each in (least, one, most)]
    assert counted[0] - 1 <= counted[1] <= counted[2] + 1


def test_close_set_stones_take_the_share_stated():
    n = close_set([4.7, 3.0], [0.5, 0.5])
    assert n * math.pi / 4 * 0.5 * ((4.7 + GAP_MM) ** 2 + (3.0 + GAP_MM) ** 2) == pytest.approx(HAND_SET)


def test_lines_step_by_their_largest_stone():
    one = area("band", "single line", [("fill", 9.0), ("bold", 1.0)])
    assert line_step(one, lines_of(one)) == pytest.approx(7.1 + GAP_MM)


def test_stones_that_would_overlap_are_refused_in_one_sentence():
    with pytest.raises(Refusal, match=r'job area "x", field spacing_mm: found 4 mm; SS20 is 4.7 mm wide'):
        area_count(area("band", "scatter", spacing_mm=4.0), job())


def test_a_motif_is_counted_by_the_piece():
    one = Area(name="m", shape="circle", pattern="motif", times=9, mix=(("bold", 1.0), ("fill", 12.0)))
    found = area_count(one, job())
    assert [line.stones for line in found.lines] == [9, 108]
    assert found.surface_cm2 is None
    assert found.hidden is None


def test_needs_add_areas_up_and_spare_each_pairing_and_size(palette):
    twin = Line(stone="pulley-blue", size="SS20", name="twin")
    motif = {"shape": "circle", "pattern": "motif"}
    areas = (
        Area(name="one", mix=(("body", 10.0), ("fill", 3.0)), **motif),
        Area(name="two", mix=(("twin", 11.0),), times=2, **motif),
    )
    one = job(lines=(*LINES.values(), twin), areas=areas, spares=0.1, repair=24)
    found = needs(one, palette)
    assert [(need.stone, need.size, need.worn, need.spares) for need in found] == [
        ("pulley-blue", "SS20", 32, 4 + 24),
        ("tackle-clear", "SS12", 3, 1 + 24),
    ]
    assert [line.name for line in unplaced(one)] == ["fine", "bold"]


def test_needs_refuse_a_stone_that_is_not_in_the_palette(palette):
    with pytest.raises(Refusal, match='there is no such stone: did you mean "pulley-blue"'):
        needs(job(lines=(Line(stone="pully-blue", size="SS20"),)), palette)


@settings(max_examples=30)
@given(st.lists(st.tuples(shapes, st.sampled_from(["single line", "full"]), mixes), max_size=4),
       st.floats(0, 1), st.integers(0, 100))  # fmt: skip
def test_needs_hold_every_stone_that_areas_take(palette, given_areas, share, repair):
    one = job(*(area(*each) for each in given_areas), spares=share, repair=repair)
    found = needs(one, palette)
    assert sum(need.worn for need in found) == sum(each.stones for each in counts(one))
    assert all(need.spares >= need.worn * share + repair - 1e-6 for need in found)
    assert all(need.spares < need.worn * share + repair + 1 for need in found)
