"""Lots are interpolated between computed states; here they are held against computing every lot."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.catalogue import palette as palettes
from planner.catalogue.sizes import size
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.colour.names import family_index
from planner.data import demo
from planner.optics.materials import refractive_index
from planner.optics.table import Film
from planner.reading import eye
from planner.reading.drift import within
from planner.reading.look import glow_xyz
from planner.reading.lots import BODY_STEP, Draws, draw, scale_weights, spread_over
from planner.reading.matter import QUICK, absorption, gem
from planner.reading.question import Question, colour_called
from planner.reading.read import bodies, cloth_lab, nominal, read
from planner.reading.scene import perceived, scene
from planner.reading.states import States, states
from planner.swatch.resolve import from_reflectance

PALETTE = palettes.load(demo())
COARSE = replace(QUICK, views=12, rays=120)
"""What is compared does not depend on how finely stones are followed."""


def asked(stone: str, coating: str, swatch: str = "2a4b9c", venue: str = "theatre") -> Question:
    one, place = PALETTE.stones[stone], PALETTE.venues[venue]
    colour = colour_called(swatch, PALETTE)
    film = None if coating == "none" else PALETTE.coatings[coating]
    return Question(one, PALETTE.cuts[one.cut], film, "SS20", colour, colour, place, place.distance)


def directly(question: Question, lots: Draws, chunk: int = 500) -> np.ndarray:
    """(N, 3) CIELAB of every lot, computed and not interpolated; stones of a lot all alike."""
    coating, place = question.coating, scene(question.venue)
    glass = gem(question.stone, question.cut, COARSE)
    index = np.stack([refractive_index(layer.material, WAVELENGTHS) for layer in coating.layers])
    nominal_nm = np.array([layer.nm for layer in coating.layers])
    body = absorption(question.stone, question.cut)
    found = []
    for start in range(0, len(lots.scale), chunk):
        part = slice(start, start + chunk)
        thickness = nominal_nm * (lots.scale[part, None] + lots.layers[part])
        power = (coating.lay.evenness + lots.evenness[part]).clip(0)
        film = States(Film(index, thickness, power), None, np.ones(len(power)), np.zeros(1), 0.0, 0)
        # The body is stepped finely and looked up by lot: 41 concentrations are as good as any.
        step = np.linspace(-4, 4, 41)
        strength = (1 + step * question.stone.body_spread).clip(0)
        several = body[None] * strength[:, None]
        mm = np.full(len(several), question.millimetres)
        xyz = glow_xyz(glass, coating, film, several, mm, (place,), question.cloth.reflectance)[:, :, 0]
        place_of = np.interp(lots.body[part], step, np.arange(41))
        low = np.minimum(place_of.astype(int), 39)
        share = (place_of - low)[:, None]
        rows = np.arange(len(power))
        found.append((1 - share) * xyz[rows, low] + share * xyz[rows, low + 1])
    return perceived(np.concatenate(found), place)


CASES = [
    ("pulley-blue", "halyard-aurora", "2a4b9c", "theatre"),
    ("tackle-jet", "bobbin-aurora", "net-teal", "followspot"),
    ("treadle-blue", "treadle-aurora", "2a4b9c", "noon"),
    ("grommet-clear", "cleat-blue", "#88aaff", "gym"),
    ("shackle-red", "chain-rust", "bodice-red", "ballroom"),
]


@pytest.mark.parametrize(("stone", "coating", "swatch", "venue"), CASES)
@pytest.mark.campaign
def test_shares_of_lots_agree_with_computing_every_lot(stone, coating, swatch, venue, whole):
    question = asked(stone, coating, swatch, venue)
    film = states(question.coating, full=True)
    lots = draw(question.coating, (10_000 if coating == "halyard-aurora" else 2_500) // (1 if whole else 10))
    glass, place = gem(question.stone, question.cut, COARSE), scene(question.venue)
    body = bodies(question.stone, question.cut)
    mm = np.full(len(body), question.millimetres)
    nodes = glow_xyz(glass, question.coating, film, body, mm, (place,), question.cloth.reflectance)[:, :, 0]
    quick = perceived(spread_over(film, 0.0, nodes, lots), place)
    slow = directly(question, lots)
    target = cloth_lab(question.swatch.reflectance, place)
    apart = {}
    for name, test in (
        ("family", lambda lab: family_index(lab) == family_index(target)),
        ("arm", lambda lab: within(lab, target, "arm")),
        ("seats", lambda lab: within(lab, target, "seats")),
        ("20", lambda lab: within(lab, target, 20.0)),
        ("30", lambda lab: within(lab, target, 30.0)),
    ):
        apart[name] = abs(test(quick).mean() - test(slow).mean())
    print(
        f"\n{stone} {coating}: shares differ by", {name: round(float(one), 4) for name, one in apart.items()}
    )
    assert max(apart.values()) < 0.02


def test_reading_twice_gives_the_same_lots():
    question = asked("pulley-blue", "halyard-aurora")
    one, two = read(question, COARSE), read(question, COARSE)
    shares = [
        (lots.within_tolerance, lots.same_hue_family, lots.dE00, lots.towards)
        for lots in (one.lots, two.lots)
    ]
    assert shares[0] == shares[1]
    assert np.array_equal(one.lab_lots, two.lab_lots)


def test_lots_without_any_spread_are_all_alike(monkeypatch):
    monkeypatch.setattr(eye, "SPREAD", 0.0)  # nor any doubt about how widely stones lean
    coating = PALETTE.coatings["halyard-aurora"].model_copy(
        update={
            "id": "even",
            "lot_spread": 0.0,
            "index_spread": 0.0,
            "stone_spread": 0.0,
            "evenness_spread": 0.0,
        }
    )
    question = replace(asked("tackle-jet", "halyard-aurora"), coating=coating)
    assert np.ptp(read(question, COARSE).lab_lots, axis=0).max() < 1e-9


def test_of_a_hundred_lots_ten_are_nearer_and_ten_farther_than_is_told():
    question = replace(asked("tackle-jet", "halyard-aurora"), distance=1.0)
    known = from_reflectance(WAVELENGTHS, question.swatch.reflectance, uncertainty=0.0)
    reading = read(replace(question, swatch=known), COARSE)
    apart = delta_e(reading.lab_lots, np.array(reading.swatch.lab))
    low, half, high = reading.lots.dE00
    assert low + 1 < half < high - 1, "lots that are all alike would show nothing"
    assert (apart < low).mean() == pytest.approx(0.1, abs=0.002)
    assert (apart < half).mean() == pytest.approx(0.5, abs=0.002)
    assert (apart > high).mean() == pytest.approx(0.1, abs=0.002)


def test_a_wider_spread_gives_a_wider_range_of_differences(monkeypatch):
    monkeypatch.setattr(eye, "SPREAD", 0.0)  # which is the same whatever the film
    wide = PALETTE.coatings["halyard-aurora"]
    narrow = wide.model_copy(
        update={"id": "narrow", "lot_spread": 0.005, "index_spread": 0.0, "evenness_spread": 0.0}
    )
    # Single stones: of a field far away the cloth is most.
    question = replace(asked("tackle-jet", "halyard-aurora"), distance=1.0)
    exactly = from_reflectance(WAVELENGTHS, question.swatch.reflectance, uncertainty=0.0)
    question = replace(question, swatch=exactly)
    ranges = []
    for coating in (narrow, wide):
        low, _, high = read(replace(question, coating=coating), COARSE).lots.dE00
        ranges.append(high - low)
    assert ranges[0] < 0.5 * ranges[1]


@given(st.floats(0.85, 1.15), st.floats(0.0, 0.04))
def test_weights_in_thickness_add_up_to_one_and_reproduce_a_cubic(at, spread):
    nodes = np.linspace(0.7, 1.3, 13)
    weights = scale_weights(nodes, np.array([at]), spread)
    assert weights.sum() == pytest.approx(1.0)
    # E[(s + z)^3] = s^3 + 3 s spread^2 for a normal z.
    assert weights @ nodes**3 == pytest.approx([at**3 + 3 * at * spread**2], rel=1e-3)


def test_the_nominal_lot_lies_amid_the_lots():
    question = asked("tackle-jet", "halyard-aurora")
    film = states(question.coating, full=True)
    assert film.scale[len(film.scale) // 2] == pytest.approx(1.0)
    assert nominal(film, 0.0, np.arange(film.count)[:, None, None].astype(float))[0] == pytest.approx(
        len(film.evenness) // 2 * len(film.scale) + len(film.scale) // 2
    )
    assert pytest.approx(3**0.5) == BODY_STEP
    assert size("SS20").nominal_mm == pytest.approx(4.7)
