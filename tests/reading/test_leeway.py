"""How far one may go from a swatch: the way that is shown says what the verdict says, and nothing else."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_readings import made, told

from planner.reading.fit import fit, holds
from planner.reading.leeway import leeway
from planner.reading.verdict import verdict

COUNTS = (9, 18, 32, 52, 200)
"""Cells across or down on screens, and more."""

labs = st.tuples(st.floats(35.0, 80.0), *[st.floats(-20.0, 20.0)] * 2)
"""Colours that some cloth can have."""
asks = st.one_of(
    st.fixed_dictionaries({
        "wish": st.just("blend"), "tolerance": st.sampled_from(["arm", "seats", "family", 4.0]),
    }),
    st.fixed_dictionaries({
        "wish": st.sampled_from(["tone", "contrast"]), "tolerance": st.sampled_from(["seats", "family"]),
    }),
)  # fmt: skip
steps = st.tuples(*[st.floats(-1.0, 1.0)] * 3)
apart = st.sampled_from([0.0, 2.0, 8.0, 15.0, 30.0])


def reading_of(swatch, step, far, asked, **more):
    glow = np.array(swatch) + far * np.array(step)
    glow[0] = glow[0].clip(2.0, 98.0)
    return made(glow=glow, swatch=swatch, **asked, **more)


@settings(max_examples=60)
@given(labs, steps, apart, asks)
def test_the_seen_colour_stands_where_the_verdict_says(swatch, step, far, asked):
    reading = reading_of(swatch, step, far, asked)
    found, answer = leeway(reading), fit(reading)
    assert 0.0 <= found.low <= found.seen <= found.high <= 1.0
    assert found.outcome_at(found.seen) == answer.outcome
    for count in COUNTS:
        assert found.outcomes(count)[found.step(found.seen, count)] == answer.outcome


@settings(max_examples=25)
@given(labs, steps, apart, asks, st.floats(0.0, 1.0))
def test_anywhere_on_the_way_the_answer_is_that_of_a_stone_of_that_colour(swatch, step, far, asked, place):
    reading = reading_of(swatch, step, far, asked)
    found = leeway(reading)
    start, end = np.array(found.swatch), np.array(found.end)
    there = made(glow=start + place * (end - start), swatch=swatch, **asked)
    borders = [one.end for one in found.stretches]
    if min(abs(place - one) for one in borders) > 0.01:
        assert found.outcome_at(place) == fit(there).outcome


@settings(max_examples=40)
@given(labs, steps, apart, asks)
def test_the_limit_is_shown_wherever_there_is_one(swatch, step, far, asked):
    found = leeway(reading_of(swatch, step, far, asked))
    assert found.stretches[0].start == 0.0
    assert found.stretches[-1].end == 1.0
    if asked["wish"] != "contrast":
        assert holds(found.stretches[0].outcome)
    if not holds(found.outcome_at(found.seen)):
        assert any(holds(one.outcome) for one in found.stretches)


@settings(max_examples=40)
@given(labs, steps, apart, asks, st.sampled_from([0.3, 2.0, 5.0]), st.sampled_from([0.0, 2.0, 6.0]))
def test_what_is_certain_does_not_reach_over_the_limit(swatch, step, far, asked, spread, doubt):
    reading = reading_of(swatch, step, far, asked, spread=spread, doubt=doubt)
    found, answer = leeway(reading), verdict(reading)
    ends = {holds(found.outcome_at(one)) for one in (found.low, found.seen, found.high)}
    reenters = len({holds(one.outcome) for one in found.stretches}) < len(_runs(found))
    if answer.tone != "unsure" and not reenters:
        assert ends == {answer.holds}


def _runs(found):
    runs = []
    for one in found.stretches:
        if not runs or runs[-1] != holds(one.outcome):
            runs.append(holds(one.outcome))
    return runs


def test_lots_that_disagree_reach_over_the_limit():
    reading = made(glow=(50.0, 10.0, -40.0), swatch=(40.0, 10.0, -40.0), spread=6.0, tolerance=9.0)
    found = leeway(reading)
    assert not holds(found.outcome_at(found.high))
    assert holds(found.outcome_at(found.low))


def test_the_same_colour_stands_at_the_swatch():
    found = leeway(made(glow=(40.0, 10.0, -45.0), swatch=(40.0, 10.0, -45.0)))
    assert found.seen == pytest.approx(0.0)
    assert found.stretches[0].outcome == "passes"
    assert found.stretches[-1].outcome == "fails"


def test_colours_step_evenly_from_the_swatch():
    colours = leeway(made(glow=(60.0, 20.0, 5.0), swatch=(40.0, 10.0, -45.0))).colours(12)
    steps = np.diff(colours, axis=0)
    assert np.allclose(steps, steps[0])
    assert np.allclose(colours[0] - steps[0] / 2.0, (40.0, 10.0, -45.0))


def test_nothing_is_shown_where_nothing_can_be_told():
    indoors = told("pulley-blue", "none", "leotard-blue", "ballroom")
    reading = made(glow=(60.0, 20.0, 5.0), swatch=(40.0, 10.0, -45.0), of=indoors)
    glowing = replace(reading.question.swatch, fluorescent=True)
    question = replace(reading.question, swatch=glowing)
    assert not question.swatch_told
    assert leeway(replace(reading, question=question)) is None
