"""Films and bodies at few wavelengths, beside the long way: at every one of the planner's grid."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_readings import asked

from planner.catalogue import load
from planner.catalogue.coating import Coating
from planner.colour.difference import delta_e
from planner.colour.grid import WAVELENGTHS
from planner.data import demo
from planner.reading.look import glow_xyz
from planner.reading.matter import FINE, QUICK, absorption, gem
from planner.reading.question import can_carry
from planner.reading.rank import rank
from planner.reading.scene import perceived, scene
from planner.reading.states import states
from planner.reading.steps import body_stride, film_stride, missed

PALETTE = load(demo())
VENUES = ("theatre", "gym", "followspot", "dressing-room", "ballroom")
CLOTH = np.interp(WAVELENGTHS, [380.0, 570.0, 610.0, 780.0], [0.04, 0.05, 0.6, 0.7])
"""As steep as red cloth is."""

NARROW = "shuttle-mauve"
"""Of neodymium glass, whose bands are as narrow as a tube's lines."""


@cache
def glows(stone, coating, grade):
    """CIELAB (V, 3) of the nominal glow in `VENUES`."""
    one, film = PALETTE.stones[stone], PALETTE.coatings.get(coating)
    cut, places = PALETTE.cuts[one.cut], [scene(PALETTE.venues[name]) for name in VENUES]
    found = glow_xyz(
        gem(one, cut, grade, coating=film), film, states(film, full=False, least=1, most=1),
        absorption(one, cut)[None], np.array([4.7]), places, CLOTH,
    )[0, 0]  # fmt: skip
    return np.array([perceived(xyz, place) for xyz, place in zip(found, places, strict=True)])


@pytest.mark.parametrize(
    ("grade", "most", "mean"),
    [(QUICK, 0.5, 0.1), (replace(QUICK, stride=FINE.stride, miss=FINE.miss), 0.1, 0.02)],
)
def test_few_wavelengths_give_the_glow_that_all_give(grade, most, mean):
    """A first look's and a reading's, of every demo stone, bare and under films by turns."""
    films, apart = ["none", *PALETTE.coatings], []
    for number, stone in enumerate(PALETTE.stones.values()):
        for film in ("none", films[number % len(films)], films[7 * number % len(films)]):
            if film == "none" or can_carry(stone, PALETTE.coatings[film]):
                few, all_ = (glows(stone.id, film, one) for one in (grade, replace(grade, stride=1)))
                apart.append(delta_e(few, all_).max())
    print(f"\nstride {grade.stride}: mean {np.mean(apart):.3f}, most {max(apart):.2f}")
    assert max(apart) < most
    assert np.mean(apart) < mean


def test_a_glass_with_narrow_bands_is_summed_at_every_wavelength():
    one = PALETTE.stones[NARROW]
    assert body_stride(one, QUICK.stride, QUICK.miss) == 1
    glass = gem(one, PALETTE.cuts[one.cut], QUICK)
    usual = gem(one.model_copy(update={"colourants": {}}), PALETTE.cuts[one.cut], QUICK)
    assert glass.stride == 1
    assert glass.base is usual  # films and beams are those of any other stone of that glass
    # Else it would be far off under tubes: this is what it is for.
    film = PALETTE.coatings["swivel-gilt"]
    coarse = replace(QUICK, miss=1.0)
    assert (
        delta_e(glows(NARROW, film.id, coarse), glows(NARROW, film.id, replace(QUICK, stride=1))).max() > 1.0
    )


def thick(nm):
    return Coating.model_validate(
        {
            "id": f"thick-{nm:g}",
            "name": "Thick",
            "basis": "invented",
            "layers": [{"material": "TiO2", "nm": nm}],
        }
    )


def test_a_film_with_a_narrow_ripple_is_worked_out_at_more_wavelengths():
    assert film_stride(None, QUICK.stride, QUICK.miss) == QUICK.stride
    assert {film_stride(one, QUICK.stride, QUICK.miss) for one in PALETTE.coatings.values()} == {QUICK.stride}
    assert film_stride(thick(600.0), QUICK.stride, QUICK.miss) < QUICK.stride
    assert film_stride(thick(2500.0), QUICK.stride, QUICK.miss) == 1


def test_a_ranking_works_each_film_out_at_its_own_wavelengths():
    """What it says of a thick film is what it says where all are worked out at every wavelength."""
    film, question = thick(1200.0), asked("pulley-blue", "none", "leotard-blue", "theatre")
    some = ("pulley-blue", "tackle-jet", NARROW)
    palette = replace(
        PALETTE, stones={name: PALETTE.stones[name] for name in some},
        coatings={film.id: film, "halyard-aurora": PALETTE.coatings["halyard-aurora"]},
    )  # fmt: skip
    few, all_ = (
        {
            (one.question.stone.id, one.question.coating.id): one.lab
            for one in rank(palette, question, coated=True, grade=grade)
        }
        for grade in (QUICK, replace(QUICK, stride=1))
    )
    assert len(few) == len(some) * 2
    for key, lab in few.items():
        assert delta_e(lab, all_[key]) < 0.5, key


@given(st.floats(400.0, 760.0), st.floats(5.0, 200.0), st.floats(0.0, 1.0))
def test_what_is_missed_shrinks_with_the_steps_and_is_nothing_without_any(centre, width, depth):
    curve = 1.0 - depth * np.exp(-(((WAVELENGTHS - centre) / width) ** 2))[None]
    assert missed(curve, 1) < 1e-12
    if width > 40.0:
        assert missed(curve, 2) <= missed(curve, 4) + 1e-9
