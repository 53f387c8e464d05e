"""Stones mixed by share: their light adds up, as on a disc that spins.

J. C. Maxwell, "Experiments on colour, as perceived by the eye" (Transactions of the Royal Society of
Edinburgh 21, 1857): sectors on a spinning disc match by the shares of the disc they take. CIE 15:2018
defines L*: half white and half black has Y = 0.5 and so L* = 76.07.
"""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from made_readings import asked

from planner.colour.cielab import lab_to_xyz
from planner.colour.difference import delta_e
from planner.reading.fit import does
from planner.reading.mix import BETTER, mix_of, mixed, mixes
from planner.reading.rank import Ranked

SWATCH = np.array([40.0, 5.0, -45.0])


def ranked(lab, stone="pulley-blue", size=None, wish="blend"):
    given = {} if size is None else {"size": size}
    question = asked(stone, "none", "leotard-blue", "rink", wish=wish, tolerance="seats", **given)
    lab = np.array(lab, float)
    fits = bool(does(lab, SWATCH, question))
    return Ranked(question, lab, SWATCH, float(delta_e(SWATCH, lab)), fits, 1.0, 0.0)


def test_half_white_and_half_black_is_the_grey_that_cie_says():
    lab = mixed(np.array([[100.0, 0.0, 0.0], [0.0, 0.0, 0.0]]), np.array([1.0, 1.0]), np.array([4.7, 4.7]))
    np.testing.assert_allclose(lab, [76.07, 0.0, 0.0], atol=0.01)


def test_a_stone_counts_by_the_cloth_it_hides():
    labs = np.array([[100.0, 0.0, 0.0], [0.0, 0.0, 0.0]])
    lab = mixed(labs, np.array([1.0, 4.0]), np.array([4.0, 2.0]))
    np.testing.assert_allclose(lab, [76.07, 0.0, 0.0], atol=0.01)


@given(st.lists(st.tuples(st.floats(5, 95), st.floats(-60, 60), st.floats(-60, 60)), min_size=2, max_size=3))
def test_a_mix_lies_between_its_stones_in_light_and_does_not_mind_their_order(labs):
    colours, parts = np.array(labs), np.arange(1.0, len(labs) + 1.0)
    size = np.full(len(labs), 4.7)
    lab = mixed(colours, parts, size)
    light, each = lab_to_xyz(lab), lab_to_xyz(colours)
    assert (light >= each.min(axis=0) - 1e-9).all()
    assert (light <= each.max(axis=0) + 1e-9).all()
    np.testing.assert_allclose(mixed(colours[::-1], parts[::-1], size), lab, atol=1e-9)
    np.testing.assert_allclose(mixed(colours[:1], parts[:1], size[:1]), colours[0], atol=1e-6)


def test_a_mix_is_offered_only_where_it_is_worth_it_and_does_what_is_wished():
    light, dark = [46.0, -4.0, -42.0], [36.0, 14.0, -46.0]
    some = [ranked(light), ranked(dark, "marlinspike-navy"), ranked([40.0, 60.0, 20.0], "shackle-red")]
    found = mixes(some)
    assert [{each.question.stone.id for each in one.stones} for one in found] == [
        {"pulley-blue", "marlinspike-navy"}
    ]
    assert found[0].holds
    assert found[0].apart <= BETTER * min(one.dE00 for one in some)
    # Where one stone alone is right, two are not offered.
    assert mixes([*some, ranked(SWATCH + 0.05, "selvedge-indigo")]) == ()
    assert mixes([ranked(light, wish="contrast"), ranked(dark, "marlinspike-navy", wish="contrast")]) == ()
    assert mixes([]) == ()


def test_larger_stones_run_together_from_further_away():
    def of(size):
        light, dark = ranked([60.0, 0.0, 0.0], size=size), ranked([20.0, 0.0, 0.0], "tackle-jet", size=size)
        return mix_of([light, dark], (1, 1))

    small, large = of("SS12"), of("SS20")
    assert 0.0 < small.one_from < large.one_from
