"""Pictures hold what the readings say: the same light through the same stones, found another way.

The readings merge beams over a cone of tilts; the picture follows single rays through single stones.
In even light both must come to the same average.
"""

from dataclasses import replace

import numpy as np
import pytest

from planner.catalogue import load
from planner.colour.cielab import xyz_to_lab
from planner.colour.difference import delta_components, delta_e
from planner.colour.names import FLASH_FAMILIES, flash_family
from planner.colour.screen import parse_hex, xyz_to_linear
from planner.colour.tristimulus import white_d65
from planner.data import demo
from planner.picture.picture import frame, light_at, prepare, render, scene_at_distance
from planner.picture.tone import on_screen
from planner.reading.look import glow_xyz
from planner.reading.matter import QUICK, absorption, gem
from planner.reading.question import Question, coating_called, typed_colour
from planner.reading.read import nominal
from planner.reading.scene import perceived, scene, tristimulus_weights
from planner.reading.states import states

TO_XYZ = np.linalg.inv(xyz_to_linear(np.eye(3)))

# Evenly spread over the cone of tilts that a reading averages over.
TILTS = (-28.0, -22.0, -16.0, 10.0, 20.0, 25.0)

PAIRINGS = [
    ("pulley-blue", "none"), ("pulley-blue", "halyard-aurora"), ("tackle-clear", "none"),
    ("tackle-jet", "none"), ("tackle-jet", "halyard-aurora"), ("pelmet-clear", "gantry-aurora"),
    ("shackle-red", "swivel-gilt"), ("grommet-clear", "cleat-blue"),
]  # fmt: skip


@pytest.fixture(scope="module")
def palette():
    return load(demo())


@pytest.fixture(scope="module")
def ask(palette):
    noon = palette.venues["noon"]
    floor = noon.floor.model_copy(update={"reflectance": 0.0})
    even = noon.model_copy(update={"id": "even", "lights": (), "floor": floor})

    def question(stone, coating, venue="even", cloth="#1b2440", cover=0.45):
        one, colour = palette.stones[stone], typed_colour(cloth)
        place = even if venue == "even" else palette.venues[venue]
        return Question(
            one, palette.cuts[one.cut], coating_called(coating, palette), "SS20", colour, colour, place,
            place.distance, cover,
        )  # fmt: skip

    return question


def stones_alone(prepared, tilt):
    """Mean linear light of what stones hide, the cloth in half-covered pixels taken off."""
    light = light_at(prepared, tilt)
    cloth = (1.0 - light.stone[..., None]) * prepared.cloth
    return (light.linear - cloth).sum(axis=(0, 1)) / light.stone.sum()


def lab_of(linear):
    return xyz_to_lab(np.asarray(linear, float) @ TO_XYZ)


def glow_of(question):
    place, film = scene(question.venue), states(question.coating, full=False)
    stone = gem(question.stone, question.cut, replace(QUICK, stride=1))
    body = absorption(question.stone, question.cut)[None]
    size = np.array([question.millimetres])
    xyz = glow_xyz(stone, question.coating, film, body, size, (place,), question.cloth.reflectance)
    spread = question.coating.stone_spread if question.coating else 0.0
    return perceived(nominal(film, spread, xyz[:, :, 0]), place)


@pytest.mark.parametrize(("stone", "coating"), PAIRINGS)
def test_the_average_stone_is_the_readings_glow(ask, stone, coating):
    question = ask(stone, coating)
    prepared = prepare(question, 70, 50, mm_across=70.0)
    mean = lab_of(np.mean([stones_alone(prepared, tilt) for tilt in TILTS], axis=0))
    assert delta_e(glow_of(question), mean) < 2.0


def test_a_film_moves_the_picture_as_it_moves_the_reading(ask):
    for stone in ("tackle-jet", "pulley-blue"):
        pair = [ask(stone, coating) for coating in ("none", "halyard-aurora")]
        seen = [lab_of(stones_alone(prepare(one, 50, 40, mm_across=50.0), 16.0)) for one in pair]
        read = [glow_of(one) for one in pair]
        assert delta_e(*seen) > 5
        np.testing.assert_allclose(delta_components(*seen)[:2], delta_components(*read)[:2], atol=4.0)


@pytest.mark.parametrize("cover", [0.1, 0.3, 0.6])
def test_stones_hide_the_share_of_cloth_that_was_asked(ask, cover):
    prepared = prepare(ask("tackle-jet", "none", cover=cover), 150, 150, mm_across=120.0)
    assert light_at(prepared).stone.mean() == pytest.approx(cover, rel=0.05)


def test_stones_that_cannot_stand_closer_stand_edge_to_edge(ask):
    prepared = prepare(ask("tackle-jet", "none", cover=1.0), 100, 100, mm_across=80.0)
    assert 0.7 < light_at(prepared).stone.mean() < 0.92


def test_bare_cloth_is_the_cloths_own_colour(ask):
    question = ask("pulley-blue", "none", venue="theatre", cloth="#6b4a2f", cover=0.2)
    prepared = prepare(question, 60, 40)
    light, rgb = light_at(prepared), frame(prepared)
    place = scene(question.venue)
    in_light = question.cloth.reflectance * place.white
    wanted = perceived(in_light @ tristimulus_weights(), place)
    bare = light.stone == 0
    assert delta_e(lab_of(light.linear[bare]), wanted).max() < 1.0
    assert bare.any()
    # Beyond the stones there is nothing of them; on the screen at most glare, which only adds.
    assert (rgb[bare] >= on_screen(prepared.cloth)).all()
    assert (light.linear[bare] == light.linear[bare][0]).all()


def test_without_cover_there_is_cloth_alone(ask):
    rgb = render(ask("pulley-blue", "none", cloth="#808080", cover=0.0), 8, 8)
    assert np.abs(rgb.astype(int) - parse_hex("#808080")).max() <= 2


def test_the_same_question_gives_the_same_picture(ask):
    question = ask("tackle-clear", "halyard-aurora", venue="low-sun")
    assert (render(question, 48, 32) == render(question, 48, 32)).all()


def test_a_wider_window_shows_the_same_stones(ask):
    question = ask("tackle-jet", "halyard-aurora")
    small = light_at(prepare(question, 40, 40, mm_across=20.0)).linear
    large = light_at(prepare(question, 80, 80, mm_across=40.0)).linear
    np.testing.assert_allclose(large[20:60, 20:60], small, rtol=1e-3, atol=1e-4)


def test_tilting_moves_the_flashes_and_hardly_the_average(ask):
    lit = prepare(ask("tackle-clear", "none", venue="ballroom"), 120, 80)
    bright = [light_at(lit, tilt).linear.max(axis=-1) > 5.0 for tilt in (0.0, 6.0)]
    assert min(one.sum() for one in bright) > 10
    assert (bright[0] & bright[1]).sum() < 0.5 * min(one.sum() for one in bright)
    even = prepare(ask("tackle-clear", "none"), 80, 50)
    assert delta_e(*(lab_of(stones_alone(even, tilt)) for tilt in (0.0, 6.0))) < 1.0


def test_flashes_have_the_hues_of_the_body(ask):
    prepared = prepare(ask("shackle-red", "none", venue="ballroom"), 100, 80, mm_across=60.0, samples=1)
    linear = np.concatenate([light_at(prepared, tilt).linear.reshape(-1, 3) for tilt in (-15.0, 0.0, 15.0)])
    xyz = linear @ TO_XYZ
    found = flash_family(xyz[xyz[:, 1] > 3.0], white_d65())
    assert {FLASH_FAMILIES[one] for one in found} <= {"red", "white", "orange", "pink"}


def test_a_lamp_to_the_right_is_met_by_facets_that_lean_right(ask, palette):
    question = ask("tackle-jet", "none", venue="low-sun", cover=0.6)
    lamp = question.venue.lights[0].model_copy(update={"azimuth": 76.0, "elevation": 0.0, "size": 8.0})
    surround = question.venue.surround.model_copy(update={"lux": 1.0})
    aside = question.venue.model_copy(update={"id": "aside", "lights": (lamp,), "surround": surround})
    prepared = prepare(replace(question, venue=aside), 200, 160, mm_across=60.0, samples=1)
    # One facet in a full turn of twelve leans 38 degrees towards a lamp at twice that.
    light = light_at(prepared)
    x = (np.arange(200) + 0.5 - 100) * prepared.mm_per_pixel
    y = (80 - np.arange(160) - 0.5) * prepared.mm_per_pixel
    at = np.stack(np.broadcast_arrays(x[None], y[:, None]), axis=-1)[light.linear.max(axis=-1) > 5.0]
    nearest = np.argmin(((at[:, None] - prepared.stones.centre[None]) ** 2).sum(axis=-1), axis=1)
    offset = at - prepared.stones.centre[nearest]
    assert len(at) > 20
    assert (offset[:, 0] > 0.3).mean() > 0.95


def test_from_further_stones_melt_into_one(ask):
    prepared = prepare(ask("tackle-clear", "none"), 60, 40)
    spread = [scene_at_distance(prepared, 0.0, metres).std() for metres in (0.5, 10.0, 60.0)]
    assert spread[0] > spread[1] > spread[2]


@pytest.mark.parametrize(("width", "mm", "tilt"), [(0, 10.0, 0.0), (8, -1.0, 0.0), (8, 10.0, 70.0)])
def test_what_cannot_be_drawn_is_refused_in_a_sentence(ask, width, mm, tilt):
    with pytest.raises(ValueError, match="found"):
        render(ask("tackle-jet", "none"), width, 8, mm_across=mm, tilt=tilt)
