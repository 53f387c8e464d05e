"""The whole palette ranked."""

import json
import sys

import pytest

from planner.catalogue import load
from planner.cli import text
from planner.reading.finish import finish_of
from planner.reading.places import FIRST
from planner.say import match

THERE = ("--swatch", "leotard-blue", "--venue", "theatre")


@pytest.fixture
def ranking(planner):
    """Return a function that gives a ranking as JSON."""
    return lambda *args: json.loads(planner("match", *args, "--json").stdout)


def finish(palette, one):
    """Return the finish of a ranked pairing."""
    stone, film = palette.stones[one["stone"]["id"]], one["coating"]
    return finish_of(palette.cuts[stone.cut], palette.coatings[film["id"]] if film else None)


def test_everything_that_can_be_made_is_ranked(ranking, palettes):
    data = ranking(*THERE, "--top", "100")
    assert data["schema"] == "planner match 1"
    palette = load(palettes)
    unfoiled = sum(one.foil == "none" for one in palette.stones.values())
    under = sum(one.where == "foil" for one in palette.coatings.values())
    assert data["count"] == len(palette.stones) * (len(palette.coatings) + 1) - unfoiled * under
    # Pairings that look alike share a place.
    assert sum(1 + len(one["also"]) for one in data["pairings"]) == data["count"]
    assert [one["rank"] for one in data["pairings"]] == list(range(1, len(data["pairings"]) + 1))
    foiled = [one for one in data["pairings"] if one["stone"]["id"] != "pelmet-clear"]
    assert foiled == data["pairings"][: len(foiled)], "the cloth shows through a stone without foil"
    # So does, before those, a stone of another colour that its film alone makes the swatch's.
    # And what holds comes first, but for a finish that nobody asked for, and but for the first five, which
    # have three stones at least.
    plain = [one for one in foiled[FIRST:] if finish(palette, one) == "plain"]
    order = [(one["film_alone"], not one["holds"]) for one in plain]
    assert order == sorted(order)
    assert {"stone", "coating", "size", "seen", "drift", "holds", "lots", "basis"} <= set(data["pairings"][0])
    assert "stone" not in data["inputs"]


def test_the_list_can_be_cut_and_narrowed(ranking):
    assert len(ranking(*THERE, "--top", "2")["pairings"]) == 2
    assert all(one["coating"] for one in ranking(*THERE, "--coated")["pairings"])
    assert not any(one["coating"] for one in ranking(*THERE, "--uncoated")["pairings"])
    crystal = ranking(*THERE, "--material", "lead-free crystal")["pairings"]
    assert {one["stone"]["id"] for one in crystal} == {"pelmet-clear"}


def test_the_best_match_is_the_worst_contrast(ranking):
    best = ranking(*THERE, "--uncoated")["pairings"][0]
    contrast = ranking(*THERE, "--uncoated", "--wish", "contrast")["pairings"]
    # A stone without foil comes after all others, whatever is wished.
    assert (
        best["stone"]
        == next(one for one in reversed(contrast) if one["stone"]["id"] != "pelmet-clear")["stone"]
    )


def test_text_says_the_same_and_how_to_go_on(planner, ranking):
    data = ranking(*THERE, "--top", "3")
    shown = planner("match", *THERE, "--top", "3").stdout
    assert shown.startswith("The best 3 of ")
    for one in data["pairings"]:
        assert one["seen"]["name"] in shown
        # Named as people name them, whatever their ids.
        assert one["stone"]["name"].partition(",")[0] in " ".join(shown.split())
    assert max(map(len, shown.splitlines())) <= 80
    told = shown.split("how sure it is:\n")[1].split("\n\n")[0].replace("\\\n", " ").split()
    assert planner(*told[1:]).stdout.startswith(data["pairings"][0]["stone"]["name"])
    assert shown == planner("match", *THERE, "--top", "3").stdout


@pytest.mark.parametrize(
    ("varied", "top", "told"), [(True, "5", True), (True, "3", False), (False, "5", False)]
)
def test_it_is_said_where_some_come_first_for_other_stones_sake(planner, monkeypatch, varied, top, told):
    monkeypatch.setattr(match, "are_varied", lambda _found: varied)
    shown = " ".join(planner("match", *THERE, "--top", top).stdout.split())
    assert ("So that you see other stones too" in shown) == told


def test_light_can_be_followed_as_finely_as_for_one_reading(planner, ranking):
    fine = ranking(*THERE, "--uncoated", "--grade", "fine")
    assert fine["inputs"]["grade"] == "fine"
    assert fine["pairings"] != ranking(*THERE, "--uncoated")["pairings"]
    read = ("--stone", "pulley-blue", "--coating", "none", "--size", "SS20", *THERE)
    exact = json.loads(planner("try", *read, "--json", quick=False).stdout)["seen"]["lab"]
    ranked = next(one for one in fine["pairings"] if one["stone"]["id"] == "pulley-blue")
    assert ranked["seen"]["lab"] == pytest.approx(exact, abs=1.0)


def test_a_stone_is_taken_in_its_nearest_size(ranking):
    data = ranking(*THERE, "--size", "SS48", "--top", "100")
    assert data["inputs"]["size"] == "SS48"
    assert {one["size"] for one in data["pairings"] if one["stone"]["id"] == "pulley-blue"} != {"SS48"}


def test_nothing_left_is_said(planner):
    shown = planner("match", *THERE, "--material", "acrylic").stdout
    assert "No pairing is left" in shown


@pytest.mark.parametrize(
    ("args", "begins"),
    [
        (("--swatch", "leotard-blue"), "--venue: is missing"),
        ((*THERE, "--top", "0"), '--top: found "0"; it must be a whole number from 1 to 10000'),
        ((*THERE, "--material", "wood"), '--material: found "wood"; allowed are acrylic, glass, '),
        ((*THERE, "--size", "large"), '--size: found "large"'),
    ],
)
def test_what_is_refused_is_one_sentence(planner, args, begins):
    result = planner("match", *args, status=2)
    assert len(result.stderr.splitlines()) == 1
    assert result.stderr.startswith(begins)


def test_mixes_are_offered_only_when_asked_and_are_data_too(planner):
    args = ("match", "--swatch", "3b3f78", "--venue", "rink", "--top", "2")
    assert "Mixed" not in planner(*args).stdout
    shown = planner(*args, "--mix").stdout
    assert "Mixed" in shown
    data = json.loads(planner(*args, "--mix", "--json").stdout)
    nearest = min(one["drift"]["dE00"] for one in data["pairings"])
    for mix in data["mixes"]:
        assert mix["holds"]
        assert mix["dE00"] < nearest
        assert 2 <= len(mix["stones"]) <= 3


@pytest.mark.parametrize("at_terminal", [True, False])
def test_whoever_waits_at_a_terminal_is_told_how_far_it_is(at_terminal, monkeypatch, capsys):
    monkeypatch.setattr(text, "SOON", -1.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: at_terminal)
    with text.progress("Looking") as tell:
        tell(0.25)
    shown, cleared = "\rLooking: 25 %", "\r" + 15 * " " + "\r"
    assert capsys.readouterr().err == (shown + cleared if at_terminal else "")
