"""What is found by a shorter way is what the longer way finds."""

from contextlib import contextmanager
from dataclasses import replace

import numpy as np
import pytest
from made_readings import asked

from planner.catalogue import load
from planner.colour.difference import delta_e
from planner.data import demo
from planner.optics import held, store, table
from planner.optics.glow import glow
from planner.optics.lean import SPREAD
from planner.optics.moments import moments
from planner.reading import ahead, among, eye, look, matter, together
from planner.reading import instead as instead_of
from planner.reading import read as reading
from planner.reading.ahead import read_ahead
from planner.reading.instead import instead
from planner.reading.look import flash_xyz, glow_and_ground, glow_xyz
from planner.reading.looks import FEWEST, NODES
from planner.reading.lots import BODY_STEP, draw, scale_weights, spread_over
from planner.reading.matter import QUICK, absorption, film_factors, gem, stacked_factors
from planner.reading.rank import rank
from planner.reading.read import read
from planner.reading.scene import perceived, scene
from planner.reading.sparkle import flash_at, shares
from planner.reading.states import States, states
from planner.reading.together import colours
from planner.reading.viewer import Viewer


@pytest.fixture(scope="module")
def palette():
    return load(demo())


@pytest.mark.parametrize("name", ["halyard-aurora", "cleat-blue", "lining-aurora"])
def test_states_of_even_films_are_found_among_all_states(palette, name):
    coating, stone = palette.coatings[name], palette.stones["pulley-blue"]
    glass = gem(stone, palette.cuts[stone.cut], QUICK)
    few = states(coating, full=False)
    alone = States(few.crown, few.under, few.scale, few.evenness, 0.0, 0)  # not known as a part of any
    assert np.allclose(film_factors(glass, coating, few), film_factors(glass, coating, alone), atol=1e-6)
    assert states(coating, full=True).nominal_evenness() is few


@pytest.mark.parametrize("name", ["halyard-aurora", "treadle-aurora"])
def test_lots_are_what_plain_sums_over_all_states_give(palette, name):
    coating = palette.coatings[name]
    film, lots = states(coating, full=True), draw(coating, 50)
    rng = np.random.default_rng(1)
    nodes = 1.0 + 0.02 * rng.random((film.count, 3, 2))
    even, thick = len(film.evenness), len(film.scale)
    by_scale = scale_weights(film.scale, lots.scale, coating.stone_spread)

    def parabola(x):
        return np.stack([0.5 * x * (x - 1), 1 - x * x, 0.5 * x * (x + 1)], axis=1)

    most = film.evenness[-1]
    by_even = parabola(lots.evenness.clip(-2 * most, 2 * most) / most)
    by_body = parabola(lots.body / BODY_STEP)
    grid = nodes[: even * thick].reshape(even, thick, 3, 2)
    plain = np.einsum("nk,ne,ns,eksx->nx", by_scale, by_even, by_body, grid)
    for layer in range(film.layers):
        thin, more = nodes[even * thick + 2 * layer : even * thick + 2 * layer + 2, 1]
        three = np.stack([thin, grid[1, thick // 2, 1], more])
        plain += parabola(lots.layers[:, layer] / film.layer_step) @ three - three[1]
    assert np.allclose(spread_over(film, coating.stone_spread, nodes, lots), plain, rtol=1e-10)


def test_flashes_of_one_lot_are_found_without_thicknesses_it_has_not(palette):
    coating, stone = palette.coatings["halyard-aurora"], palette.stones["pulley-blue"]
    glass, place = gem(stone, palette.cuts[stone.cut], QUICK), scene(palette.venues["rink"])
    film, mm = states(coating, full=False), np.array([4.7])
    body = absorption(stone, palette.cuts[stone.cut])[None]
    glow = glow_xyz(glass, coating, film, body, mm, (place,), np.full(81, 0.3))[:, 0, 0, 1]
    found = flash_xyz(glass, coating, film, body, mm, place, by_facet=False)
    spread = coating.stone_spread
    every = flash_at(shares(found, film.scale, glow, place.white_xyz), 1.0, spread, 1.0)
    near = flash_at(shares(found, film.scale, glow, place.white_xyz, about=(1.0, spread)), 1.0, spread, 1.0)
    assert near.per_stone == pytest.approx(every.per_stone, rel=1e-3)
    for family, share in every.by_luminance.items():
        assert near.by_luminance.get(family, 0.0) == pytest.approx(share, abs=1e-3)


def test_a_look_is_the_same_whether_its_beams_were_kept_or_followed(palette, tmp_path, monkeypatch):
    coating, stone = palette.coatings["halyard-aurora"], palette.stones["tackle-clear"]
    place, mm = scene(palette.venues["rink"]), np.array([4.7])
    body = absorption(stone, palette.cuts[stone.cut])[None]

    def seen():
        for cached in (
            matter.traced,
            matter.merged_of,
            matter._gem,
            look._seen,
            look._followed,
            look._received,
        ):
            cached.cache_clear()
        glass = gem(stone, palette.cuts[stone.cut], QUICK)
        film = states(coating, full=False)
        glow = glow_xyz(glass, coating, film, body, mm, (place,), np.full(81, 0.3))
        return glow, flash_xyz(glass, coating, film, body, mm, place, by_facet=True)

    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    (first, flashes), (again, same) = seen(), seen()
    assert any(tmp_path.iterdir())
    assert np.array_equal(first, again)
    assert np.array_equal(flashes.measure, same.measure)
    assert np.array_equal(flashes.xyz, same.xyz)


def test_a_second_process_goes_on_with_something_else_until_beams_are_there(tmp_path, monkeypatch):
    question = asked("pulley-blue", "halyard-aurora", "leotard-blue", "theatre")
    coarse = replace(QUICK, views=24, rays=100)
    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    taken = []

    def steps():
        """Take some, after which the first process has followed its beams; there are more."""
        for number in range(9):
            if number == 4:
                matter.traced(matter.gem(question.stone, question.cut, coarse, question.lean).shape)
            taken.append(number)
            yield

    for _ in read_ahead(question, coarse, steps()):
        pass
    assert taken == [0, 1, 2, 3, 4]


def test_what_to_order_instead_finds_what_a_second_process_read(palette, tmp_path, monkeypatch):
    question = asked("batten-mint", "none", "leotard-blue", "theatre")
    asked_about = read(question, QUICK)
    best = rank(palette, question)
    alone = instead(palette, asked_about, best=best, venues=[palette.venues["rink"]])
    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    done = []

    @contextmanager
    def first(work, *, known):
        assert not known
        done.extend(work())
        held._ROOM.found.clear()
        held._ROOM.bytes = 0
        monkeypatch.setattr(matter, "trace", lambda *_: pytest.fail("all was left in the store"))
        yield

    monkeypatch.setattr(instead_of, "beside", first)
    both = instead(palette, asked_about, best=best, venues=[palette.venues["rink"]])
    assert len(done) > 1
    assert [one.reading.seen for one in both] == [one.reading.seen for one in alone]
    assert [one.gives_up for one in both] == [one.gives_up for one in alone]


def test_a_reading_finds_what_a_second_process_left_for_it(tmp_path, monkeypatch):
    question = asked("pulley-blue", "halyard-aurora", "leotard-blue", "theatre")
    coarse = replace(QUICK, views=24, rays=100)  # no beams that anything else here asks for
    monkeypatch.setattr(ahead, "PATIENCE", 0.0)  # nobody follows them meanwhile

    def begin():
        """Do as a process does that has just begun."""
        held._ROOM.found.clear()
        held._ROOM.bytes = 0
        for cached in (among.white, reading._crystal, look._received):
            cached.cache_clear()

    alone = read(question, coarse)
    hand = alone.hand
    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    begin()
    assert len(list(read_ahead(question, coarse, iter(())))) == 3
    begin()
    monkeypatch.setattr(matter, "trace", lambda *_: pytest.fail("beams are followed once"))
    looked, find = [], look.sightings
    monkeypatch.setattr(look, "sightings", lambda *args, **how: looked.append(how) or find(*args, **how))
    both = read(question, coarse)
    assert (
        not looked
    )  # neither standing lamps nor those that move past a clear stone as they do past this one
    assert both.hand == hand
    assert both.seen == alone.seen
    assert both.sparkle == alone.sparkle
    assert both.flash == alone.flash


@pytest.mark.parametrize("venue", ["rink", "theatre", "gym"])
def test_light_gathered_along_a_few_paths_is_what_each_body_leaves(palette, venue, monkeypatch):
    # Foiled, glued and opaque; from clear to deep, in the smallest and the largest sizes.
    place, cloth = scene(palette.venues[venue]), np.full(81, 0.3)
    film = palette.coatings["halyard-aurora"]
    for name in ("tackle-clear", "pelmet-clear"):
        stone = palette.stones[name]
        glass = gem(stone, palette.cuts[stone.cut], QUICK)
        body = np.stack(
            [
                depth * absorption(one, palette.cuts[one.cut])
                for one in map(
                    palette.stones.get, ("pulley-blue", "shackle-red", "tackle-clear", "tackle-jet")
                )
                for depth in (0.5, 1.0, 3.0)
            ]
        )
        for mm in (1.8, 9.0):
            given = (glass, 0.0, film_factors(glass, film, states(film, full=False)), body)
            size = np.full(len(body), mm)
            short = glow_and_ground(*given, size, place, cloth)
            with monkeypatch.context() as patch:
                patch.setattr(look, "MANY", 1000)
                long = glow_and_ground(*given, size, place, cloth)
            for one, other in zip(short, long, strict=True):
                assert delta_e(perceived(one, place), perceived(other, place)).max() < 0.1


@pytest.mark.parametrize("name", ["shackle-aurora", "halyard-aurora", "cleat-blue", "ab"])
def test_batches_are_coloured_by_few_thicknesses_as_by_many(palette, name):
    coating, place, stone = (
        palette.coatings[name],
        scene(palette.venues["theatre"]),
        palette.stones["tackle-jet"],
    )
    glass, body = gem(stone, palette.cuts[stone.cut], QUICK), absorption(stone, palette.cuts[stone.cut])[None]

    def batches(least, most):
        film = states(coating, full=False, least=least, most=most)
        found = glow_xyz(glass, coating, film, body, np.array([4.7]), (place,), np.full(81, 0.3))[:, :, 0]
        return perceived(spread_over(film, coating.stone_spread, found, draw(coating, 128)), place)

    assert delta_e(batches(FEWEST, NODES), batches(25, 41)).max() < 0.1


@pytest.mark.parametrize("name", ["halyard-aurora", "bodkin-copper", "shroud-grey", "lining-aurora"])
def test_films_at_few_cosines_are_as_at_many(palette, name, monkeypatch):
    # Clear, of several layers, absorbing (whose total reflections lose light), and under the foil.
    coating, stone = palette.coatings[name], palette.stones["tackle-clear"]
    glass, film = gem(stone, palette.cuts[stone.cut], QUICK), states(coating, full=False)
    places = [scene(palette.venues[one]) for one in ("theatre", "noon")]

    def looks():
        matter._factors.cache_clear()
        body, mm = absorption(stone, palette.cuts[stone.cut])[None], np.array([4.7])
        return glow_xyz(glass, coating, film, body, mm, places, np.full(81, 0.3))

    few = looks()
    monkeypatch.setattr(table, "_PROPAGATING", 161)
    monkeypatch.setattr(table, "_TOTAL", 49)
    many = looks()
    matter._factors.cache_clear()
    for number, place in enumerate(places):
        one, other = (perceived(each[:, :, number], place) for each in (few, many))
        assert 0.0 < delta_e(one, other).max() < 0.1


def test_where_a_lamp_is_seen_does_not_depend_on_the_film(palette):
    stone, place = palette.stones["pulley-blue"], scene(palette.venues["rink"])
    glass = gem(stone, palette.cuts[stone.cut], QUICK)
    straight, aslant = (look.sightings_of(glass, angle, place, by_facet=False) for angle in (0.0, 0.35))
    for one, other in zip(straight, aslant, strict=True):
        assert np.array_equal(one.measure, other.measure)
        assert np.array_equal(one.gain, other.gain)


def _seen_together(palette, *names, distance=12.0, cloth=0.3):
    stone = palette.stones["pulley-blue"]
    glass = gem(stone, palette.cuts[stone.cut], QUICK)
    films = [(one, states(one, full=False, most=9)) for one in map(palette.coatings.get, names)]
    body = np.stack([absorption(stone, palette.cuts[stone.cut])[None]] * 3)
    place, viewer = scene(palette.venues["rink"]), Viewer(distance, 0.3)
    return colours(glass, films, body, np.array([4.7]), place, np.full(81, cloth), viewer)


def test_colours_kept_for_a_ranking_are_those_just_worked_out(palette, tmp_path, monkeypatch):
    names = ("halyard-aurora", "cleat-blue")
    monkeypatch.setattr(store, "folder", lambda: None)
    fresh = _seen_together(palette, *names)
    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    first = _seen_together(palette, *names)
    with monkeypatch.context() as patch:
        patch.setattr(together, "_worked_out", lambda *_: pytest.fail("worked out again"))
        again = _seen_together(palette, *names)
    for one in (first, again):
        assert np.array_equal(one.nodes, fresh.nodes)
        assert np.array_equal(one.widely, fresh.widely)


def test_a_body_kept_for_a_colour_is_the_one_just_found(palette, tmp_path, monkeypatch):
    stone = next(one for one in palette.stones.values() if one.colour is not None)

    def found(**changed):
        absorption.cache_clear()
        return absorption(stone.model_copy(update=changed), palette.cuts[stone.cut])

    monkeypatch.setattr(store, "folder", lambda: None)
    fresh = found()
    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    first = found()
    with monkeypatch.context() as patch:
        patch.setattr(matter, "_matched", lambda *_: pytest.fail("worked out again"))
        again = found()
    assert np.array_equal(first, fresh)
    assert np.array_equal(again, fresh)
    for changed in ({"colour": "#336699"}, {"seen_size": "SS34"}, {"material": "lead crystal"}):
        assert not np.array_equal(found(**changed), fresh)
    absorption.cache_clear()


@pytest.mark.parametrize("other", [{"distance": 60.0}, {"cloth": 0.05}])
def test_colours_kept_for_one_question_are_not_given_to_another(palette, tmp_path, monkeypatch, other):
    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    one, two = _seen_together(palette, "halyard-aurora"), _seen_together(palette, "halyard-aurora", **other)
    assert not np.array_equal(one.nodes, two.nodes)


def test_films_looked_up_together_are_those_looked_up_one_by_one(palette):
    stone = palette.stones["pulley-blue"]
    glass = gem(stone, palette.cuts[stone.cut], QUICK)
    # On the crown and under the foil, with absorption and without, and none at all.
    names = ("halyard-aurora", "lining-aurora", "cleat-blue", "none")
    films = [(one, states(one, full=False, most=9)) for one in map(palette.coatings.get, names)]
    alone = np.concatenate([film_factors(glass, *one) for one in films], axis=1)
    assert np.allclose(stacked_factors(glass, films), alone, atol=2e-6)


@pytest.mark.parametrize(("stone", "coating"), [("pulley-blue", "gantry-aurora"), ("pelmet-clear", "none")])
def test_a_reading_from_what_was_kept_is_the_one_just_made(palette, tmp_path, monkeypatch, stone, coating):
    start = asked(stone, coating, "leotard-blue", "rink")

    def found(question):
        one = read(question, QUICK)
        lots = one.lots.within_tolerance, one.lots.same_hue_family, one.lots.dE00, one.lots.towards
        return one.seen, one.seen_stone, one.seen_field, one.glow, one.flash, one.sparkle, lots

    monkeypatch.setattr(store, "folder", lambda: None)
    fresh = found(start)
    monkeypatch.setattr(store, "folder", lambda: tmp_path)
    first = found(start)
    with monkeypatch.context() as patch:
        for room, name in ((eye, "_looked_at"), (eye, "medians_by_lean"), (reading, "flash_xyz")):
            patch.setattr(room, name, lambda *_, **__: pytest.fail("worked out again"))
        again = found(start)
    assert first == fresh
    assert again == fresh
    assert found(replace(start, movement="turning")) != fresh
    assert found(replace(start, lean="swinging")) != fresh


@pytest.mark.parametrize(("name", "venue"), [("pulley-blue", "theatre"), ("pelmet-clear", "rink")])
def test_stones_that_lean_otherwise_are_seen_together_as_one_by_one(palette, name, venue):
    stone, film, place = palette.stones[name], palette.coatings["gantry-aurora"], scene(palette.venues[venue])
    glass, body = gem(stone, palette.cuts[stone.cut], QUICK), absorption(stone, palette.cuts[stone.cut])[None]
    factors, angle = film_factors(glass, film, states(film, full=False)), matter.lay_angle(film)
    given = (angle, factors, body, 4.7, place, np.full(81, 0.3), Viewer(12.0, 0.3))
    found = eye.medians_by_lean(glass, *given, None, "stones")
    for each, step in zip(found, (-BODY_STEP, 0.0, BODY_STEP), strict=True):
        other = matter.widened(glass, 1.0 + step * SPREAD)
        _, ground = glow_and_ground(other, angle, factors, body, np.array([4.7]), place, np.full(81, 0.3))
        long = eye.medians(other, *given, ground, None, ("stones",))["stones"]
        assert delta_e(perceived(each, place), perceived(long, place)).max() < 0.02


def test_how_a_reading_changes_with_the_lean_is_what_stones_that_lean_so_show(palette):
    stone, film, place = (
        palette.stones["pulley-blue"],
        palette.coatings["halyard-aurora"],
        palette.venues["rink"],
    )
    glass, body = gem(stone, palette.cuts[stone.cut], QUICK), absorption(stone, palette.cuts[stone.cut])[None]
    given = (film, states(film, full=True), body, 4.7, scene(place), np.full(81, 0.3), Viewer(12.0, 0.3))
    found = eye.sights(glass, *given, ("stones",), "stones")
    usual = given[1].middle.start + len(given[1].scale) // 2
    assert np.array_equal(found.widely[1], found.seen["stones"][usual, 0])
    for each, step in zip(found.widely, (-BODY_STEP, 0.0, BODY_STEP), strict=True):
        other = matter.widened(glass, 1.0 + step * SPREAD)
        long = eye.sights(other, *given, ("stones",)).seen["stones"][usual, 0]
        assert delta_e(perceived(each, given[4]), perceived(long, given[4])) < 0.02


@pytest.mark.parametrize("venue", ["rink", "theatre"])
def test_moments_have_the_light_of_the_flashes_that_fall_into_them(palette, venue):
    stone, film, place = (
        palette.stones["pulley-blue"],
        palette.coatings["gantry-aurora"],
        palette.venues[venue],
    )
    glass, body = gem(stone, palette.cuts[stone.cut], QUICK), absorption(stone, palette.cuts[stone.cut])[None]
    angle, factors = matter.lay_angle(film), film_factors(glass, film, states(film, full=False))
    given, mm = (glass, angle, factors, body), np.array([4.7])
    sight, beams = Viewer(12.0, 0.3).sight(4.7, "stones", 64), matter.beams_of(glass)
    found = look.sightings_of(glass, angle, scene(place), by_facet=False, sweep=sight.sweep)
    lamps = [
        (float(scene(place).light.number[lamp]), one.measure, one.view, one.part)
        for lamp, one in zip(scene(place).lamps, found, strict=True)
    ]
    drawn = moments(sight, beams.share, np.arccos(beams.views[:, 2]), beams.share, lamps)
    (short,) = look.in_moments(*given, mm, scene(place), [eye.flashes_in(drawn, found, scene(place))])
    each = look.flashes_of(*given, mm, scene(place), found).xyz[drawn.flash_event]
    long = np.zeros_like(short)
    np.add.at(long, drawn.flash_moment, drawn.flash_share[:, None, None, None] * each)
    assert long.any()
    assert np.allclose(short, long, rtol=1e-4, atol=1e-5 * long.max())


def test_glow_is_what_every_group_of_beams_brings(palette):
    rng = np.random.default_rng(3)
    factors, body = rng.random((700, 5, 41)), rng.random((3, 700, 41))
    lights = [(rng.random((700, count)), rng.random((count, 41, 3))) for count in (4, 2)]
    plain = [np.einsum("mtw,smw,mk,kwx->tsx", factors, body, *one, optimize=True) for one in lights]
    assert np.allclose(glow(factors, body, lights), np.stack(plain, axis=2), rtol=1e-5)


def test_lead_crystal_is_looked_at_when_the_sparkle_is_compared_with_it(monkeypatch):
    with monkeypatch.context() as patch:
        patch.setattr(reading, "_crystal", lambda *_: pytest.fail("nobody asked"))
        found = read(asked("pulley-blue", "halyard-aurora", "leotard-blue", "theatre"), QUICK)
    assert found.flash is not None
    assert found.sparkle.per_stone == found.flash.per_stone
