"""Flash: what leaves in one direction is one flash, and all flashes together are the lamp's glow."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from planner.catalogue import palette as palettes
from planner.colour.grid import WAVELENGTHS
from planner.colour.observer import observer
from planner.data import demo
from planner.optics.cut import build_cut
from planner.optics.discs import Discs, lit_by, reached, sampled
from planner.optics.flash import (
    BANDS,
    carried,
    fewer,
    flash_colours,
    grouped,
    in_bands,
    sightings,
    spectral_bands,
)
from planner.optics.glass import glass_index, glass_index_d
from planner.optics.glow import glow, incident, transmittance
from planner.optics.light import Light
from planner.optics.materials import refractive_index
from planner.optics.merge import merge, on_axis
from planner.optics.table import Film, GlassBody, factors, film_table
from planner.optics.trace import trace
from planner.reading.matter import FINE
from planner.reading.question import Question, colour_called
from planner.reading.read import read
from planner.reading.scene import folded, tristimulus_weights

PALETTE = palettes.load(demo())
NM = WAVELENGTHS[::2]
MATERIAL = "lead crystal"
DEGREE = np.radians(1.0)


@cache
def stone(views: int = 96, rays: int = 400):
    cut = PALETTE.cuts["twelve"]
    facets = build_cut([(row.facets, row.angle, row.inner) for row in cut.rows], cut.girdle)
    beams = trace(facets, glass_index_d(MATERIAL), views, rays)
    classes = on_axis(facets, views)
    return facets, beams, classes, merge(beams, classes)


def lamp(size: float, angle: float = 20.0) -> Light:
    """One lamp of 1000 lx and nothing else; size and angle in degrees."""
    white = np.ones((1, len(WAVELENGTHS))) / tristimulus_weights()[:, 1].sum()
    return Light(
        white, np.array([1000.0]), np.array([angle]) * DEGREE, np.array([size]) * DEGREE / 4,
        np.array([size]) * DEGREE, np.ones(1),
    )  # fmt: skip


def seen(size, waviness, wedge, *, by_facet=False, points=2, sweep=0.0):
    _, means = spectral_bands(glass_index(MATERIAL, WAVELENGTHS))
    _, beams, _, merged = stone()
    middle = (glass_index_d(MATERIAL), means)
    found = sightings(
        beams, lamp(size), 0, middle, waviness * DEGREE, wedge * DEGREE, points=points, by_facet=by_facet,
        sweep=sweep * DEGREE,
    )  # fmt: skip
    return grouped(found, merged)


def carried_by(nm: float | None = 160.0, absorption: float = 0.0):
    """(factors, body, colours) of a TiO2 film of that thickness, or none, on clear or grey glass."""
    _, _, classes, merged = stone()
    body = GlassBody(glass_index_d(MATERIAL), glass_index(MATERIAL, NM), refractive_index("Ag", NM))
    film = None if nm is None else Film(refractive_index("TiO2", NM)[None], np.array([[nm]]), np.array([0.7]))
    got = factors(merged, film_table(NM, body, classes, film, None))
    kept = transmittance(np.full((1, len(NM)), absorption), np.array([4.7]), merged.path)
    bands, _ = spectral_bands(glass_index(MATERIAL, WAVELENGTHS))
    eye = folded(in_bands(lamp(1.0).spectra[0][:, None] * tristimulus_weights(), bands), 2)
    return got, kept, carried(got, kept, eye)


@pytest.mark.parametrize("size", [0.5, 2.0])
@pytest.mark.parametrize("nm", [None, 160.0])
def test_all_flashes_together_are_what_the_lamp_adds_to_the_glow(size, nm):
    """Two sums over the same beams: over lamp positions here, over a ring of light there."""
    got, kept, colours = carried_by(nm)
    found = seen(size, 0.1, 0.25)
    flashes = flash_colours(found, colours)[:, 0, 0]
    total = (found.measure[:, None] * flashes).sum(axis=0)
    _, beams, _, merged = stone()
    eye = folded(lamp(size).spectra[:, :, None] * tristimulus_weights(), 2)
    # The flash takes lamp-eye angles within a few degrees for one; the ring is as wide here.
    received = incident(beams, merged, lamp(size), np.radians(6.0))[:, :1]
    ring = glow(got, kept, [(received, eye)])[0, 0, 0]
    print(f"\n{size} degrees, film {nm}: flashes / ring = {np.round(total / ring, 3)}")
    assert total == pytest.approx(ring, rel=0.12)


@pytest.mark.parametrize("material", ["lead crystal", "glass", "acrylic"])
def test_bands_part_what_the_eye_sees(material):
    """All of a band is bent alike: on the average a third less wrongly than in even bands over the grid."""
    index, seen = glass_index(material, WAVELENGTHS), observer().sum(axis=1)

    def off(band, means):
        return np.average(np.abs(means[band] - index), weights=seen)

    place = (index - index.min()) / np.ptp(index)
    even = np.minimum((place * BANDS).astype(int), BANDS - 1)
    means = np.bincount(even, index, BANDS) / np.bincount(even, minlength=BANDS)
    band, own = spectral_bands(index)
    assert off(band, own) < 0.7 * off(even, means)
    assert own[band] @ seen == pytest.approx(index @ seen)  # in the mean none is bent too far


@pytest.mark.parametrize("sweep", [0.4, 4.0])
def test_a_lamp_on_its_way_sends_as_much_light_in_more_and_dimmer_flashes(sweep):
    """What a lamp sends is the same however fast it passes; how often it meets a stone is not.

    (As long as a way is short beside the ring in which lamps stand, 6° to either side.)
    """
    _, _, colours = carried_by()
    still, moving = (seen(0.5, 0.1, 0.25, points=4, sweep=one) for one in (0.0, sweep))
    sent = [
        (one.measure[:, None] * flash_colours(one, colours)[:, 0, 0]).sum(axis=0) for one in (still, moving)
    ]
    assert sent[1] == pytest.approx(sent[0], rel=0.03)
    assert moving.measure.sum() > still.measure.sum()


@pytest.mark.parametrize("sweep", [0.05, 0.5])
@pytest.mark.parametrize("radius", [0.05, 0.3])
def test_ways_meet_a_disc_as_often_and_for_as_long_as_chance_has_it(sweep, radius):
    """Beside ways thrown at random over the whole sphere (kinematic measure: Santalo 2004, chapter 17)."""
    rng, count = np.random.default_rng(4), 100_000
    centre = np.array([0.0, 0.6, 0.8])
    discs = Discs(np.repeat(centre, BANDS).reshape(3, BANDS, 1), np.array([radius]), np.array([0, 1]))
    ours = sampled(discs, 3000, 0, sweep)
    event, _, part = lit_by(ours, discs, sweep)
    assert len(event) == 3000
    # Middles near enough to matter, evenly over a cap of the sphere about the disc, running any way.
    reach = 2 * np.arcsin(radius / 2) + 0.51 * sweep
    away = np.arccos(1 - rng.uniform(0, 1 - np.cos(reach), count))
    turn, way = rng.uniform(0, 2 * np.pi, (2, count))
    right = np.array([1.0, 0.0, 0.0])
    up = np.cross(centre, right)
    out = np.cos(turn)[:, None] * right + np.sin(turn)[:, None] * up
    middle = np.cos(away)[:, None] * centre + np.sin(away)[:, None] * out
    ahead = np.cos(away)[:, None] * out - np.sin(away)[:, None] * centre
    along = np.cos(way)[:, None] * ahead + np.sin(way)[:, None] * np.cross(middle, ahead)
    steps = ((np.arange(200) + 0.5) / 200 - 0.5) * sweep
    near, towards, past = np.zeros(count), middle @ centre, along @ centre
    for step in steps:
        # Of directions, |a - b|² is 2 - 2 a·b.
        near += np.cos(step) * towards + np.sin(step) * past > 1 - radius**2 / 2
    area = 2 * np.pi * (1 - np.cos(reach))
    assert area * (near > 0).mean() == pytest.approx(float(reached(np.array([radius]), sweep)[0]), rel=0.03)
    assert near[near > 0].mean() / 200 == pytest.approx(part[0].mean(), rel=0.03)
    assert near[near > 0].std() / 200 == pytest.approx(part[0].std(), rel=0.05)


def test_a_parallel_foil_merges_the_reflections_of_table_and_foil_and_a_wedge_parts_them():
    """With a perfect foil the strongest flash holds both; parted by more than the lamp, it does not."""
    facets, beams, _, merged = stone()
    table = np.flatnonzero(facets.rows == facets.table)[0]
    outer = (beams.first == table) & (beams.last == -1)
    back = (
        (beams.first == table)
        & (beams.last == table)
        & (beams.slots[:, 1] == -1)
        & (beams.rest.sum(axis=1) == 0)
    )
    own = {int(g) for g in np.unique(merged.of_beam[outer])}
    foil = {int(g) for g in np.unique(merged.of_beam[back])}

    def together(wedge: float) -> float:
        """Of lamp positions lit by the table's own reflection, the share lit by the foil's too."""
        found = seen(0.5, 0.0, wedge)
        event = np.repeat(np.arange(len(found.count)), found.count)
        by_own = {int(e) for e, g in zip(event, found.group, strict=True) if int(g) in own}
        by_foil = {int(e) for e, g in zip(event, found.group, strict=True) if int(g) in foil}
        both = found.measure[sorted(by_own & by_foil)].sum()
        return float(both / found.measure[sorted(by_own)].sum())

    assert together(0.0) > 0.95
    # 2 n e is 0.8 degrees for a quarter of a degree: more than half a degree of lamp.
    assert together(0.25) < 0.3
    assert together(1.0) < together(0.25) + 0.05


def test_a_larger_lamp_merges_what_a_wedge_parts():
    """Fewer flashes a stone per unit of sky: what overlaps is one."""
    small, large = seen(0.5, 0.0, 0.25), seen(5.0, 0.0, 0.25)
    each = [len(found.group) / len(found.measure) for found in (small, large)]
    assert each[1] > 2 * each[0]


def test_dispersion_parts_the_spectrum_of_a_small_lamp_and_not_of_a_large_one():
    """Crystal spreads F to C by about 0.7 degrees, so only small lamps show single bands: fire."""
    part = {
        size: float((found.band < BANDS).mean())
        for size, found in ((size, seen(size, 0.0, 0.25)) for size in (0.25, 0.5, 5.0))
    }
    print("\nshare of contributions that hold only a part of the spectrum, by lamp size:", part)
    assert part[0.25] > part[0.5] > part[5.0]


def test_waviness_dims_flashes_and_widens_them_alike():
    _, _, colours = carried_by()
    even, wavy = (seen(0.5, waviness, 0.25) for waviness in (0.0, 0.5))
    light = [flash_colours(found, colours)[:, 0, 0, 1] for found in (even, wavy)]
    peak = [np.percentile(one, 99) for one in light]
    total = [(found.measure * one).sum() for found, one in zip((even, wavy), light, strict=True)]
    assert peak[1] < 0.5 * peak[0]
    assert total[1] == pytest.approx(total[0], rel=0.12)


@pytest.mark.parametrize("waviness", [0.1, 0.5])
def test_a_wavy_table_smears_a_lamp_as_far_as_a_mirror_turned_by_its_slopes(waviness):
    """A mirror turned by e turns what it shows by 2e. A disc of radius R has a spread of R / 2 along any
    direction, so slopes of waviness w, a spread of 2w, fill one of radius 4w: it dims as its area grows.
    """
    facets, beams, _, merged = stone()
    table = np.flatnonzero(facets.rows == facets.table)[0]
    outer = merged.of_beam[(beams.first == table) & (beams.last == -1)]
    even, wavy = (
        found.gain[np.isin(found.group, outer)].max() for found in (seen(0.5, 0, 0), seen(0.5, waviness, 0))
    )
    assert even / wavy == pytest.approx(1 + (4 * waviness / 0.25) ** 2, rel=0.01)


def test_fewer_positions_stand_for_all():
    _, _, colours = carried_by()
    found = seen(0.5, 0.1, 0.25, points=3)
    some = fewer(found, len(found.measure) // 4)
    assert len(some.measure) <= len(found.measure) // 4
    assert some.measure.sum() == pytest.approx(found.measure.sum(), rel=0.05)
    light = [
        (one.measure[:, None] * flash_colours(one, colours)[:, 0, 0]).sum(axis=0) for one in (found, some)
    ]
    assert light[1] == pytest.approx(light[0], rel=0.08)
    assert fewer(found, 10**9) is found


def test_near_eyes_see_each_facet_flash_by_itself():
    whole, parts = seen(0.5, 0.1, 0.25), seen(0.5, 0.1, 0.25, by_facet=True)
    assert parts.measure.sum() > whole.measure.sum()


@pytest.mark.long
@pytest.mark.campaign
@pytest.mark.parametrize("venue", ["theatre", "followspot"])
def test_doubling_directions_and_rays_hardly_moves_the_shares(venue, whole):
    """By 0.03 at the most; in low sun, not here, by 0.06.

    From half as many rays, unless campaigns are run whole, they may move no further.
    """
    if not whole and venue == "theatre":
        pytest.skip("its many lamps take three times as long: where campaigns are run whole")
    place, colour = PALETTE.venues[venue], colour_called("2a4b9c", PALETTE)
    one = PALETTE.stones["pulley-blue"]
    question = Question(
        one, PALETTE.cuts[one.cut], PALETTE.coatings["halyard-aurora"], "SS20", colour, colour, place, 15.0
    )
    once, twice = replace(FINE, rays=FINE.rays // 2), FINE
    if whole:
        once, twice = FINE, replace(FINE, views=2 * FINE.views, rays=2 * FINE.rays, events=4 * FINE.events)
    fine, finer = read(question, once).flash, read(question, twice).flash
    for name in ("by_luminance", "by_number"):
        here, there = getattr(fine, name), getattr(finer, name)
        families = {*here, *there}
        moved = {one: round(abs(here.get(one, 0) - there.get(one, 0)), 3) for one in families}
        print(f"\n{venue}, {name}: moved by {moved}", end="")
        assert max(moved.values()) < 0.03
        assert sum(here.values()) == pytest.approx(1.0)
