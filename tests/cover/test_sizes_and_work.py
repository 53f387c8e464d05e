"""The size picture, weights and hours."""

from decimal import Decimal

import numpy as np
import pytest

from planner.catalogue import size
from planner.cover import Need
from planner.cover.practice import garments, pace, use_of
from planner.cover.sizes_picture import COIN_MM, USUAL, rule, size_picture
from planner.cover.work import cut_volume, grams, hours, stone_grams
from planner.optics.cut import build_cut

from .made import job


@pytest.mark.parametrize("mm", [0.25, 0.5])
def test_discs_are_as_wide_as_their_millimetres(mm):
    for name in USUAL:
        lines = size_picture((name,), 200, mm)
        disc = [line[round(COIN_MM / mm) + 2 :].strip() for line in lines[: lines.index("") - 1]]
        assert max(map(len, disc)) * mm == pytest.approx(size(name).nominal_mm, abs=1.01 * mm)
        pixels = sum({"█": 2, "▀": 1, "▄": 1}.get(mark, 0) for line in disc for mark in line)
        assert pixels * mm**2 == pytest.approx(np.pi / 4 * size(name).nominal_mm ** 2, rel=0.35 * mm * 2)


def test_the_coin_is_as_wide_as_it_says_and_the_rule_as_long():
    lines = size_picture((), 80, 0.5)
    coin = lines[: lines.index("") - 1]
    assert max(map(len, coin)) - min(len(line) - len(line.lstrip()) for line in coin) in (46, 47)
    marks, numbers = rule(80, 0.5)
    assert [at * 0.5 for at, mark in enumerate(marks) if mark == "┃"] == [0, 10, 20, 30]
    assert numbers.split() == ["0", "10", "20", "30", "mm"]


def test_a_picture_that_does_not_fit_is_refused():
    with pytest.raises(ValueError, match=r"does not fit into 40 columns, so at least 0\.60 are needed"):
        size_picture(("SS20",), 40, 0.5)


def test_every_size_has_a_use_and_ss20_is_the_usual_one():
    # Common practice, no source: very small for nails and fine lines, SS20 the usual, larger for accents.
    assert "nails" in use_of("SS5")
    assert "usual" in use_of("SS20")
    assert "accents" in use_of("SS30")
    assert [one.gross for one in garments()][:2] == [(2, 3), (8, 10)]


def test_the_volume_of_a_cut_is_that_of_points_inside_it(palette):
    rng = np.random.default_rng(1)
    for cut in palette.cuts.values():
        facets = build_cut([(row.facets, row.angle, row.inner) for row in cut.rows], cut.girdle)
        points = rng.uniform([-0.6, -0.6, 0.0], [0.6, 0.6, facets.height], (200_000, 3))
        share = (points @ facets.normals.T <= facets.offsets).all(axis=1).mean()
        assert cut_volume(cut) == pytest.approx(share * 1.44 * facets.height, rel=0.02)


def test_a_frustum_of_twelve_facets_has_the_volume_of_the_handbook(palette):
    # V = h/3 (A₁ + A₂ + √(A₁A₂)); n sides and inradius r: n r² tan(π/n) (Bronshtein & Semendyayev).
    ground, top = (12 * r**2 * np.tan(np.pi / 12) for r in (0.5, 0.25))
    height = 0.25 * np.tan(np.radians(38))
    volume = 0.04 * ground + height / 3 * (ground + top + np.sqrt(ground * top))
    assert cut_volume(palette.cuts["twelve"]) == pytest.approx(volume)


def test_weight_is_of_the_stones_worn_and_lead_is_heavier(palette):
    clear = palette.stones["tackle-clear"]
    one = stone_grams(clear, "SS20", palette)
    assert grams((Need("tackle-clear", "none", "SS20", 100, 30),), palette) == pytest.approx(100 * one)
    # Twice as wide is eight times as heavy: 4.7 mm against 2.3 mm (SS8).
    assert one / stone_grams(clear, "SS8", palette) == pytest.approx((4.7 / 2.3) ** 3)
    lead = clear.model_copy(update={"material": "lead crystal"})
    assert stone_grams(lead, "SS20", palette) > one


def test_hours_cost_exact_money():
    found = hours(job(hourly_rate="18.50", fixing="glue"), (Need("a", "none", "SS20", 1000, 74),))
    assert found.least < found.usual < found.most
    assert found.usual == pytest.approx(1000 / pace("glue").usual)
    assert found.cost == Decimal("102.78")
    assert hours(job(), (Need("a", "none", "SS20", 1000),)).cost is None
