"""One stone large, against a tracer that shares nothing with the planner's but the cut and the light.

No table of a foiled flat-back's looks is published, so a plain tracer of this file follows every ray by
itself in double precision, with Fresnel's equations written out (Born & Wolf, Principles of Optics, 7th
edition, section 1.5.2), and the *statistics* of what is seen are compared: mean and spread of luminance
over a stone, share of it that is dark, number of bright patches that one lamp makes. Cut evaluation
judges gems by such figures: brightness, contrast, and how many facets are lit (J. Sasián et al.,
"Evaluation of brilliance, fire, and scintillation in round brilliant gemstones", Optical Engineering 46,
2007), with an observer's head of 15 to 20 degrees to either side; ours is 12, for a stone further off.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import label

from planner.catalogue import load
from planner.data import demo
from planner.optics.cut import BACK
from planner.picture.lamps import REACH
from planner.picture.picture import light_at, prepare
from planner.picture.room import lit
from planner.picture.scatter import turned
from planner.picture.view import picture, view
from planner.reading.question import Question, coating_called, typed_colour

NODE = 7
PIXELS = 56
MIRROR = 0.85


@pytest.fixture(scope="module")
def palette():
    return load(demo())


def ask(palette, stone="tackle-clear", coating="none", venue="ballroom", cloth="#101418"):
    one, colour, place = palette.stones[stone], typed_colour(cloth), palette.venues[venue]
    return Question(
        one, palette.cuts[one.cut], coating_called(coating, palette), "SS20", colour, colour, place,
        place.distance, 0.3,
    )  # fmt: skip


def fresnel(inside, index):
    """Reflectance of unpolarised light that meets the surface from inside, by the cosine there."""
    sine2 = index**2 * (1.0 - inside**2)
    out = np.sqrt(np.maximum(1.0 - sine2, 0.0))
    s = (index * inside - out) / (index * inside + out)
    p = (inside - index * out) / (inside + index * out)
    return np.where(sine2 >= 1.0, 1.0, 0.5 * (s**2 + p**2))


def plainly(facets, index, turn, lobes, start):
    """Luminance that each of the points (R, 2), in diameters, shows: every ray by itself."""
    normals, offsets, eye = facets.normals, facets.offsets, turn[2]
    towards = np.column_stack([start, np.zeros(len(start))]) @ turn
    seen = np.full(len(start), np.nan)

    def luminance(way):
        world = turn @ way
        return sum(lux * np.exp(-0.5 * ((world - m) ** 2).sum() / s**2) for m, s, lux in lobes)

    for number, point in enumerate(towards):
        along, gap = -normals @ eye, offsets - normals @ point
        enter = np.where(along < 0, gap / np.where(along < 0, along, 1.0), -np.inf)
        leave = np.where(along > 0, gap / np.where(along > 0, along, 1.0), np.inf)
        first = enter.argmax()
        if enter[first] >= leave.min():
            continue
        place, normal = point - enter[first] * eye, normals[first]
        cosine = eye @ normal
        inner = np.sqrt(1.0 - (1.0 - cosine**2) / index**2)
        way = -eye / index + (cosine / index - inner) * normal
        reflected = fresnel(inner, index)
        light = reflected * luminance(2.0 * cosine * normal - eye)
        carried = 1.0 - reflected
        while carried > 1e-4:
            along = normals @ way
            ahead = along > 1e-9
            step = np.where(ahead, (offsets - normals @ place) / np.where(ahead, along, 1.0), np.inf)
            met = np.maximum(step, 1e-12).argmin()
            place, normal, cosine = place + step[met] * way, normals[met], along[met]
            if met == BACK:
                carried *= MIRROR
            else:
                kept = fresnel(cosine, index)
                if kept < 1.0:
                    air = np.sqrt(1.0 - index**2 * (1.0 - cosine**2))
                    out = index * way + (air - index * cosine) * normal
                    if out[2] > 0:
                        light += carried * (1.0 - kept) * luminance(out)
                carried *= kept
            way = way - 2.0 * cosine * normal
        seen[number] = light
    return seen


def planners(prepared, lobes):
    """The planner's picture with one wavelength, a plain mirror for a foil, and the same lights."""
    matter, index = prepared.matter, 1.55
    count = matter.front.shape[1]
    classes, nodes = matter.shape
    u = np.linspace(matter.lowest, 1.0, nodes)
    inside = np.sqrt(1.0 - (1.0 - np.sign(u) * u**2) / index**2)
    kept = np.where(u > 0, fresnel(inside, index), 1.0)
    # The foil's class is the one that facet 0, the back, belongs to.
    table = np.tile(kept[None, None, :, None], (1, classes, 1, count))
    table[:, matter.classes[0, BACK]] = MIRROR
    through = np.concatenate([table, 1.0 - table], axis=-1).reshape(-1, 2 * count).astype(np.float32)
    front = np.tile(kept[None, None, :, None], (1, classes, 1, count)).reshape(-1, count).astype(np.float32)
    plain = replace(
        matter, index=index, offset=np.zeros(count, np.float32), table=through, front=front,
        absorption=np.zeros(count, np.float32), waviness=np.asarray(0.0),
    )  # fmt: skip
    weights = np.zeros((1, count, 3), np.float32)
    weights[0, NODE] = 1.0
    none = np.zeros((count, 3), np.float32)
    lights = replace(
        prepared.lights,
        small=np.array([m for m, _, _ in lobes], np.float32),
        small_spread=np.array([s for _, s, _ in lobes], np.float32),
        small_lux=np.array([2.0 * np.pi * s**2 * lux for _, s, lux in lobes], np.float32),
        small_light=np.zeros(len(lobes), int), weights=weights, anywhere=none, cloth=none,
        broad=np.zeros((0, 3), np.float32), broad_kappa=np.zeros(0, np.float32),
        broad_lux=np.zeros(0, np.float32), broad_weights=np.zeros((count, 0), np.float32),
    )  # fmt: skip
    return replace(
        prepared, matter=plain, lights=lights, cloth=np.zeros(3), wedge=0.0, state=0 * prepared.state
    )


def test_a_stone_shows_the_luminances_and_patches_that_plain_tracing_finds(palette):
    lobes = [
        (np.array([0.35, 0.55, np.sqrt(1 - 0.35**2 - 0.55**2)]), np.radians(4.0), 40.0),
        (np.array([-0.6, 0.2, np.sqrt(1 - 0.6**2 - 0.2**2)]), np.radians(3.0), 60.0),
    ]
    question = ask(palette)
    prepared = prepare(question, PIXELS, PIXELS, mm_across=1.2 * question.millimetres, samples=1)
    ready = planners(prepared, lobes)
    middle = int(np.argmin((ready.stones.centre**2).sum(axis=1)))
    shift = ready.stones.centre[middle]
    for tilt in (0.0, 9.0):
        turn = turned(np.radians(tilt)) @ ready.stones.pose[middle]
        foot = turned(np.radians(tilt)) @ np.array([*shift, 0.0])
        at = ((np.arange(PIXELS) + 0.5) / PIXELS - 0.5) * 1.2
        x, y = np.meshgrid(at, -at)
        points = np.stack([x, y], axis=-1).reshape(-1, 2) - foot[:2] / question.millimetres
        wanted = plainly(ready.matter.facets, 1.55, turn, lobes, points).reshape(PIXELS, PIXELS)
        found = light_at(ready, tilt).linear[..., 1]
        stone = ~np.isnan(wanted)
        one, other = found[stone], wanted[stone]
        rows = [
            ("mean", one.mean(), other.mean(), 0.05),
            ("dark share", (one < 0.02).mean(), (other < 0.02).mean(), 0.05),
            ("bright share", (one > 1.0).mean(), (other > 1.0).mean(), 0.15),
            ("95th percentile", np.percentile(one, 95), np.percentile(other, 95), 0.15),
            ("patches", *(patches(np.where(stone, image, 0.0)) for image in (found, wanted)), 0.25),
        ]
        for name, ours, plain, within in rows:
            print(f"tilt {tilt:2.0f}, {name}: {ours:.3f}, by plain tracing {plain:.3f}")
            assert ours == pytest.approx(plain, rel=within, abs=0.01)


def patches(image):
    """Count connected parts brighter than the lamp's tenth, of at least two pixels."""
    parts, count = label(image > 4.0)
    return sum((parts == one).sum() >= 2 for one in range(1, count + 1))


def test_the_reach_of_a_lamp_is_what_the_comparison_assumes():
    assert REACH >= 4.0


def test_the_room_is_as_bright_as_an_even_one_and_has_a_head_in_it():
    rng = np.random.default_rng(4)
    way = rng.normal(size=(60_000, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    assert lit(way, head=False).mean() == pytest.approx(1.0, abs=0.02)
    assert lit(way[way[:, 1] > 0], head=False).mean() > 1.1
    near = lit(np.array([[0.0, 0.0, 1.0], [0.0, 0.6, 0.8]]), head=True)
    assert near[0] < 0.5 < near[1]


def test_facets_that_look_alike_in_even_light_are_told_apart_in_a_room(palette):
    question = ask(palette, "tackle-jet", "none", "noon")
    even = replace(question, venue=question.venue.model_copy(update={"id": "even", "lights": ()}))
    contrast = []
    for room in (None, "near"):
        light = light_at(prepare(even, 60, 60, mm_across=6.0, samples=1, room=room))
        contrast.append(np.log(light.linear[light.stone == 1][:, 1]).std())
    assert contrast[1] > 1.3 * contrast[0]


@pytest.mark.parametrize("kind", ["seats", "hand", "stone"])
def test_every_kind_of_picture_has_its_size_and_turns(palette, kind):
    question = ask(palette)
    ready = view(question, 24, 16, kind, finer=2)
    still, turned_away = ready.frame(), ready.frame(10.0, -8.0)
    assert still.shape == (16, 24, 3)
    assert (still != turned_away).any()
    assert ready.across_mm > question.millimetres


def test_sparks_stand_out_on_a_ground_from_the_seats(palette):
    shown = picture(ask(palette, cloth="#1b2440"), 60, 36, "seats").astype(float).max(axis=-1)
    assert np.percentile(shown, 99.5) > 2.0 * np.median(shown)
