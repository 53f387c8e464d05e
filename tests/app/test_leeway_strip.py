"""The way between the patches in cells: the bracket lies at the pointer exactly when the verdict passes."""

import asyncio
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_readings import made
from textual.app import App
from textual.widget import Widget

from planner.app.colours import Patches
from planner.app.parts.leeway_strip import across, down
from planner.colour.screen import parse_hex
from planner.reading.fit import fit
from planner.reading.leeway import leeway

SWATCH = (40.0, 10.0, -40.0)
PLAIN, DASHED, ENDS = {*"━┃"}, {*"╍╏"}, {*"┗┓┛╹╸"}
POINTERS = {*"▼▶"}

readings = st.builds(
    lambda step, asks: made(glow=np.array(SWATCH) + step, swatch=SWATCH, **asks),
    st.tuples(*[st.floats(-35.0, 35.0)] * 3),
    st.sampled_from([{}, {"tolerance": "family"}, {"wish": "tone"}, {"wish": "contrast"}]),
)


def signs(content):
    return {one for one in PLAIN | DASHED | ENDS | POINTERS if one in content.plain}


@settings(max_examples=60)
@given(readings, st.integers(8, 90))
def test_the_bracket_lies_at_the_pointer_exactly_when_it_passes(reading, count):
    way, outcome = leeway(reading), fit(reading).outcome
    *colours, pointed, bracket = across(way, count, 3, "true")
    at = pointed.plain.index("▼")
    beside = [line for line in down(way, count, "true") if "▶" in line.plain]
    assert len(beside) == 1
    assert {line.cell_length for line in (*colours, pointed)} == {count}
    for mark in (bracket.plain[at], beside[0].plain[-1]):
        expected = {"passes": PLAIN | ENDS, "just about": DASHED | ENDS, "fails": {" "}}[outcome]
        assert mark in expected


@given(readings)
@settings(max_examples=20)
def test_the_way_begins_at_the_swatch_and_leads_through_the_stones_colour(reading):
    way = leeway(reading)
    first, *_, last = (parse_hex(_ground(one)).astype(int) for one in down(way, 200, "true"))
    assert np.abs(first - parse_hex(reading.swatch.hex)).max() <= 4
    if way.seen == 1.0:
        assert np.abs(last - parse_hex(reading.seen.hex)).max() <= 4


def _ground(content):
    return str(content.spans[0].style).split("on ")[1]


def cells(strip):
    """Return every cell of a line with its colours."""
    return [(sign, one.style.color, one.style.bgcolor) for one in strip for sign in one.text]


@pytest.mark.parametrize("size", [(18, 11), (32, 6), (52, 14), (20, 3), (8, 8)])
def test_patches_fill_their_place_with_the_way_or_without(size):
    reading = made(glow=(58.0, 8.0, -42.0), swatch=SWATCH)
    depths = ("true", "256", "16", "grey")

    class Shown(App):
        CSS = f"Patches {{ width: {size[0]}; height: {size[1]}; }}"

        def compose(self):
            for depth in depths:
                patches = Patches()
                patches.depth = depth
                patches.answer = SimpleNamespace(reading=reading, leeway=leeway(reading))
                yield patches

    async def drawn():
        async with Shown().run_test() as pilot:
            return [
                (
                    one.render(),
                    *(
                        [cells(of(one, y)) for y in range(size[1])]
                        for of in (Patches.render_line, Widget.render_line)
                    ),
                )
                for one in pilot.app.query(Patches)
            ]

    found = asyncio.run(drawn())
    assert len(found) == len(depths)
    for whole, quickly, as_usual in found:
        assert quickly == as_usual
        told = whole.split("\n")
        assert len(told) == size[1]
        assert max(line.cell_length for line in told) <= size[0]
        assert "Swatch" in whole.plain
        assert bool(signs(whole) & POINTERS) == (size[1] > 4 and size[0] > 12)
