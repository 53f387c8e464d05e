"""The ranking of a palette says of a pairing what a full reading of it says."""

from dataclasses import replace

import numpy as np
import pytest
from made_readings import asked, palette

from planner.catalogue.venue import Spectrum
from planner.colour.difference import delta_e
from planner.reading import blocks
from planner.reading.finish import finish_of
from planner.reading.fit import fit, hides_cloth
from planner.reading.matter import QUICK
from planner.reading.places import are_varied, places
from planner.reading.rank import rank, seen_labs
from planner.reading.read import read

STONES = ("pulley-blue", "shackle-red", "tackle-clear")
COATINGS = ("halyard-aurora", "bobbin-aurora")


def ranked(question, **given):
    return rank(palette(), question, **given)


def ranked_of_few(question, **given):
    """Rank a few of the palette, for whoever looks at one of them."""
    few = replace(
        palette(),
        stones={name: palette().stones[name] for name in STONES},
        coatings={name: palette().coatings[name] for name in COATINGS},
    )
    return rank(few, question, **given)


@pytest.mark.parametrize("left", [False, True], ids=["nothing left", "left by another process"])
def test_stones_judged_block_by_block_do_as_all_in_one_go(left, monkeypatch):
    start = asked("pulley-blue", "none", "leotard-blue", "theatre")
    whole, shares = ranked_of_few(start), []
    monkeypatch.setattr(blocks, "WEIGHED", 2)
    monkeypatch.setattr("planner.reading.rank.is_looked_at", lambda *_job: left)
    found = ranked_of_few(start, told=shares.append)
    assert len(found) == len(whole) == len(STONES) * (1 + len(COATINGS))
    for one, other in zip(found, whole, strict=True):
        assert (one.question.stone, one.question.coating) == (other.question.stone, other.question.coating)
        assert np.allclose(one.lab, other.lab, rtol=0, atol=1e-9)
        assert (one.outcome, one.lots) == (other.outcome, other.lots)
        # Words are kept in single precision as they come to be asked for.
        assert one.score == pytest.approx(other.score, abs=1e-6)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


@pytest.mark.parametrize(
    ("stone", "coating"),
    [("pulley-blue", "none"), ("shackle-red", "none"), ("pulley-blue", "halyard-aurora")],
)
def test_batches_of_body_and_film_hold_as_often_as_in_a_full_reading(stone, coating):
    start = asked(stone, coating, "bodice-red" if "red" in stone else "leotard-blue", "theatre")
    full = read(start, QUICK)
    edges = [replace(start, tolerance=float(most)) for most in np.arange(1.0, 40.0, 0.5)]
    at_the_edge = min(edges, key=lambda one: abs(fit(replace(full, question=one)).lots - 0.5))
    same = lambda one, film: one.id == stone and (film.id if film else "none") == coating  # noqa: E731 - a choice
    [found] = ranked_of_few(at_the_edge, keep=same)
    off = 0.2
    assert found.dE00 == pytest.approx(full.drift.dE00, abs=off)
    # Where batches lie close together that much alone moves the share of them that hold.
    less, wanted, more = (
        fit(replace(full, question=replace(start, tolerance=at_the_edge.tolerance + step))).lots
        for step in (-off, 0.0, off)
    )
    assert 0.2 < wanted < 0.8, "batches that all fare alike would show nothing"
    assert less - 0.06 < found.lots < more + 0.06


@pytest.mark.campaign
def test_those_that_hold_stand_before_those_that_do_not(whole):
    # Every third stone under every fourth film: of each finish some, and of stones without foil one.
    stones = {*[*palette().stones][:: 1 if whole else 3], "pelmet-clear"}
    coatings = {*[*palette().coatings][:: 1 if whole else 4], "tinsel-mirror"}
    some = replace(
        palette(),
        stones={name: one for name, one in palette().stones.items() if name in stones},
        coatings={name: one for name, one in palette().coatings.items() if name in coatings},
    )
    found = rank(some, asked("pulley-blue", "none", "leotard-blue", "rink"))
    assert {True, False} == {one.holds for one in found}
    foiled = [one for one in found if hides_cloth(one.question)]
    assert found[: len(foiled)] == tuple(foiled)
    assert len(foiled) < len(found)
    own_colour = [one for one in foiled if not one.film_alone]
    assert found[: len(own_colour)] == tuple(own_colour)
    assert len(own_colour) < len(foiled)
    for part_of_all in (own_colour, foiled[len(own_colour) :], found[len(foiled) :]):
        holds = [one.holds and one.finish_as_wished for one in part_of_all]
        assert holds == sorted(holds, reverse=True)
        for part in (True, False):
            scores = [one.score for one, answer in zip(part_of_all, holds, strict=True) if answer is part]
            assert scores == sorted(scores)


def test_a_half_mirror_or_a_dome_comes_first_only_where_it_is_asked_for():
    films = ("halyard-aurora", "swivel-gilt", "tinsel-mirror", "cleat-blue")
    cut = palette().cuts["twelve"]
    found = {name: finish_of(cut, palette().coatings[name]) for name in films}
    assert found == dict.fromkeys(films, "metal") | {"halyard-aurora": "plain"}
    few = replace(
        palette(),
        stones={name: palette().stones[name] for name in (*STONES, "chalk-lemon")},
        coatings={name: palette().coatings[name] for name in films},
    )
    start = asked("pulley-blue", "none", "leotard-blue", "rink")
    found = rank(few, start)
    finishes = [finish_of(one.question.cut, one.question.coating) for one in found]
    assert finishes[0] == "plain"
    assert not any(one.holds for one in found[finishes.index("metal") :] if one.finish_as_wished)
    only = rank(few, start, finish="metal")
    assert only
    assert all(finish_of(one.question.cut, one.question.coating) == "metal" for one in only)


def test_a_light_without_any_blue_is_ranked_as_it_is_read():
    start = asked("pulley-blue", "none", "leotard-blue", "theatre")
    deep_red = Spectrum(table=[(400, 0), (668, 0), (670, 1), (690, 1), (692, 0), (700, 0)])
    lights = tuple(one.model_copy(update={"spectrum": deep_red}) for one in start.venue.lights)
    surround = start.venue.surround.model_copy(update={"spectrum": deep_red})
    question = replace(start, venue=start.venue.model_copy(update={"lights": lights, "surround": surround}))
    [found] = ranked_of_few(
        question, keep=lambda one, film: one.id == "pulley-blue" and film is None, coated=False
    )
    assert found.lab == pytest.approx(read(question, QUICK).seen.lab, abs=0.5)


def test_a_stone_of_another_colour_comes_last_whatever_its_film_makes_of_it():
    """A red stone that a film turns grey is no silver: it is so from one side and in one batch (common
    practice, no source). Clear glass has no colour of its own, and takes its film's."""
    chosen = replace(
        palette(),
        stones={name: palette().stones[name] for name in ("tassel-red", "ratchet-smoke", "tackle-clear")},
        coatings={name: palette().coatings[name] for name in ("treadle-aurora", "gantry-aurora")},
    )
    ranked = rank(chosen, asked("ratchet-smoke", "none", "#c0c0c0", "noon", size="SS20"))
    assert [one.question.stone.id for one in ranked if one.film_alone] == ["tassel-red", "tassel-red"]
    assert any(one.holds for one in ranked if one.film_alone)
    assert all(one.film_alone for one in ranked[-2:])


def test_each_stone_is_judged_beside_the_clear_one_of_its_own_cut_and_size():
    """In a lone followspot, where clear stones of one cut are three times as light as of another."""
    start = asked("pulley-blue", "none", "leotard-blue", "followspot")
    found = [one for one in ranked(start, coated=False) if not one.question.stone.colourless]
    cuts = {}
    for one in found:
        cuts.setdefault((one.question.cut.id, one.question.stone.material), one)
    assert len(cuts) > 5
    for one in cuts.values():
        whole = np.array(read(one.question, QUICK).seen.lab)
        assert delta_e(one.lab, whole) < 0.5, one.question.stone.id


def test_a_finer_ranking_judges_beside_clear_stones_followed_as_finely():
    fine = replace(QUICK, views=24, rays=900, moments=1024)
    start = asked("pulley-blue", "none", "leotard-blue", "followspot")
    for one in ranked_of_few(start, coated=False, grade=fine):
        whole = np.array(read(one.question, fine).seen.lab)
        assert delta_e(one.lab, whole) < 0.5, one.question.stone.id
        ((_, there, _),) = seen_labs(one.question, [one.question.venue], fine)
        assert delta_e(there, whole) < 0.5, one.question.stone.id


def test_it_is_known_where_other_stones_come_before_what_does_better():
    """Of a blue stone two places are among the first, for the sake of a red one and a clear one."""
    start = asked("pulley-blue", "none", "leotard-blue", "theatre")
    found = places(ranked_of_few(start))
    stones = [one.first.question.stone.id for one in found]
    assert len(set(stones[:5])) == 3
    in_order = sorted(one.first.standing for one in found)
    assert are_varied(found) == ([one.first.standing for one in found[:5]] != in_order[:5])
    assert are_varied(found)
    assert not are_varied(places(ranked_of_few(start, coated=False)))
