"""Rankings against what an experienced maker would accept (common practice, no source).

`panel.toml` says it stone by stone for forty cases, `panel_further.toml` for 43 more; both were written
before the rankings were looked at. ``PLANNER_FULL=1 PLANNER_LONG=1 pytest -n 0 -s`` prints the table.
"""

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from campaigns import LONG, WHOLE
from made_readings import asked, palette

from planner.reading.places import places
from planner.reading.rank import rank

HERE = Path(__file__).parent
PANEL, FURTHER = (
    tomllib.loads((HERE / name).read_text(encoding="utf-8")) for name in ("panel.toml", "panel_further.toml")
)
RIGHT = 0.9
"""Share of the cases that must be right: 36 of forty."""
EVERY = [*PANEL["case"], *FURTHER["case"]]
CASES = EVERY if LONG else EVERY[:: 6 if WHOLE else 48]
"""Every one takes a third of a minute: all films only where the campaigns are run whole, all cases only where
there is half an hour."""


def test_the_panel_has_forty_cases_of_stones_that_there_are():
    assert len(PANEL["case"]) == 40
    named = [stone for kind in PANEL["kinds"].values() for stone in kind]
    assert sorted(named) == sorted(palette().stones)
    for case in EVERY:
        assert {*case["accept"], *case["not_first"], *case.get("never", ())} <= set(PANEL["kinds"])
        assert not {*case["accept"]} & {*case["not_first"]}


def kind_of(stone):
    return next(kind for kind, stones in PANEL["kinds"].items() if stone in stones)


@cache
def found_in(number):
    """Return the first five places, and which pairings hold."""
    case = CASES[number]
    start = asked(
        "tackle-clear", "none", case["swatch"], case["venue"], size="SS20", wish=case.get("wish", "blend")
    )
    named = {pairing.split(" + ")[1] for pairing in case.get("holds", ())}
    films = {
        name: one for at, (name, one) in enumerate(palette().coatings.items()) if not at % 4 or name in named
    }
    every = rank(palette() if WHOLE else replace(palette(), coatings=films), start)
    held = {id_of(one) for one in every if one.holds}
    return [one.first for one in places(every)[:5]], held


def id_of(one):
    question = one.question
    return f"{question.stone.id} + {question.coating.id if question.coating else 'none'}"


def faults(number):
    """Return what is wrong with the first five of a case."""
    case = CASES[number]
    first, held = found_in(number)
    kinds = [kind_of(one.question.stone.id) for one in first]
    stones = {one.question.stone.id for one in first}
    found = []
    if kinds[0] in case["not_first"]:
        found.append(f"{kinds[0]} leads")
    lead = first[0].question.stone
    if lead.foil == "none" and not lead.opaque:
        found.append("no foil leads")
    if sum(kind in case["accept"] for kind in kinds) < case["least"]:
        found.append(f"only {sum(kind in case['accept'] for kind in kinds)} of {case['least']}")
    found += [f"{kind} among five" for kind in case.get("never", ()) if kind in kinds]
    if len(stones) < 3:
        found.append("fewer than three stones")
    found += [f"{one} fails" for one in case.get("holds", ()) if one not in held]
    return found


@pytest.mark.long
@pytest.mark.campaign
def test_what_a_maker_would_accept_comes_first():
    wrong = 0
    print()
    for number, case in enumerate(CASES):
        found = faults(number)
        wrong += bool(found)
        first, _ = found_in(number)
        print(
            f"{'  ' if not found else '✗ '}{case['swatch']:16}{case['venue']:12}{case.get('wish', 'blend'):9}"
            + ", ".join(f"{id_of(one)}{'' if one.holds else ' (no)'}" for one in first)
            + (f"   {'; '.join(found)}" if found else "")
        )
    print(f"{len(CASES) - wrong} of {len(CASES)} as a maker would have it")
    assert wrong <= (1.0 - RIGHT) * len(CASES), (
        f"{wrong} of {len(CASES)} rankings are not as a maker would have them"
    )
