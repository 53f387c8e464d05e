"""Fifteen wavelengths stand for all 81 closely enough for any picture."""

from dataclasses import replace

import numpy as np
import pytest

from planner.catalogue import load
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.data import demo
from planner.picture.bands import NODES, folding, places, screen_weights
from planner.reading.matter import QUICK, absorption, beams_of, film_factors, gem, merged_at
from planner.reading.scene import perceived, scene, tristimulus_weights
from planner.reading.states import states


def test_cubics_are_kept_exactly():
    inside = (NODES[0] <= WAVELENGTHS) & (NODES[-1] >= WAVELENGTHS)
    for power in range(4):
        whole = ((WAVELENGTHS - 550.0) / 100.0) ** power
        np.testing.assert_allclose((folding() @ whole[places()])[inside], whole[inside], atol=1e-9)
    np.testing.assert_allclose(folding().sum(axis=1), 1.0)


@pytest.mark.parametrize("stone", ["tackle-jet", "pulley-blue", "trapeze-magenta"])
def test_colours_hold_under_every_demo_lamp(stone):
    palette = load(demo())
    one = palette.stones[stone]
    cut = palette.cuts[one.cut]
    glass = gem(one, cut, replace(QUICK, stride=1))
    merged = merged_at(glass, 0.0)[1]
    weight = np.bincount(merged.of_beam, beams_of(glass).weight, len(merged.path))
    body = np.exp(-absorption(one, cut) * 4.7 * merged.path[:, None])
    for coating in (None, *(palette.coatings[name] for name in ("halyard-aurora", "treadle-aurora"))):
        film = states(coating, full=False)
        carried = film_factors(glass, coating, film)[:, len(film.scale) // 2] * body
        heavy = np.argsort(-weight * carried.mean(axis=1))[:60]
        heavy = heavy[carried[heavy].max(axis=1) > 1e-6]
        beams = carried[heavy] / carried[heavy].max(axis=1, keepdims=True)
        beams = np.vstack([weight @ carried, beams])
        for venue in palette.venues.values():
            place = scene(venue)
            exact = (beams * place.white) @ tristimulus_weights()
            quick = beams[:, places()] @ screen_weights(place.white, np.eye(3))
            apart = delta_e(perceived(exact, place), perceived(quick, place))
            # Well under what the eye can see side by side; single beams a little less strictly.
            assert apart[0] < 1.0
            assert np.percentile(apart, 95) < 2.0
