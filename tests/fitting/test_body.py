"""The body of an uncoated stone from its colour."""

import made_cards as made
import numpy as np
import pytest

from planner.catalogue.stone import Stone
from planner.colour.screen import lab_to_srgb
from planner.fitting.body import fit_body, without_gloss
from planner.fitting.sight import Sight, sight


def clear(like="pulley-blue", **other):
    stone = made.palette().stones[like]
    return Stone(
        id="new", name="New", basis="estimated", material=stone.material, cut=stone.cut, foil=stone.foil,
        sizes=("SS20",), **other,
    )  # fmt: skip


def fit(stone, source="measured"):
    at = made.placed(stone)
    return fit_body(Sight("made", source, made.glow(at, None), None), clear(stone), at.cut, "SS20")


def test_a_single_colourant_is_found_with_its_concentration():
    stones = [one for one in made.palette().stones.values() if one.colourants and len(one.colourants) == 1][
        ::3
    ]
    found, off = 0, []
    for one in stones:
        ((key, amount),) = one.colourants.items()
        for recipe in fit(one.id).recipes:
            if recipe.colourants and key in recipe.colourants:
                found += 1
                off.append(abs(recipe.colourants[key] / amount - 1))
    print(f"\n{found} of {len(stones)} single colourants found; amounts off by {max(off):.3f} at most")
    assert found == len(stones)
    assert max(off) < 0.1


def on_screen(at):
    """Return whether a screen can show the colour of a stone, its gloss left out."""
    return bool(lab_to_srgb(without_gloss(made.glow(at, None), at))[1])


def test_every_stone_of_the_demo_keeps_its_colour():
    coloured = [one for one in made.palette().stones.values() if not one.opaque and one.foil != "none"]
    some = coloured[::8]
    off = np.array([fit(one.id).recipes[0].apart for one in some])
    shown = np.array([on_screen(made.placed(one.id)) for one in some])
    print(f"\nfirst body off by ΔE00 {np.median(off):.1f} in the middle, {off.max():.1f} at most")
    assert off[shown].max() < 5
    # A body made from its colour alone has one that a screen can show, and deep blue greens are none.
    assert off.max() < 8


def test_a_body_in_another_size_is_deeper():
    at = made.placed("pulley-blue")
    lab = made.glow(at, None)
    small, large = (
        fit_body(Sight("made", "measured", lab, None), clear(), at.cut, size).recipes[0].colourants["cobalt"]
        for size in ("SS12", "SS34")
    )
    assert small > large


def test_an_unsure_colour_leaves_the_concentration_unsure():
    assert fit("pulley-blue", "picked").recipes[0].spread > 3 * fit("pulley-blue").recipes[0].spread
    assert fit("pulley-blue", "picked").recipes[0].stone.body_spread > 0.1


def test_a_colour_that_no_body_gives_is_said_to_be_none():
    fitted = fit_body(sight("ff2010", "measured"), clear(), made.palette().cuts["twelve"], "SS20")
    assert not fitted.fits
    assert fitted.recipes[0].apart > 3


def test_a_clear_stone_is_clear():
    fitted = fit("tackle-clear", "picked")
    assert fitted.recipes[0].colourants == {}
    assert fitted.recipes[0].stone.colour is None
    assert fit("pulley-blue", "picked").recipes[0].colourants


def test_a_hue_family_is_not_enough():
    with pytest.raises(ValueError, match="family alone"):
        fit_body(sight("blue"), clear(), made.palette().cuts["twelve"], "SS20")
