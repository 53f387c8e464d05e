"""Each warning on a case made for it, and its silence on the opposite."""

from dataclasses import replace

import numpy as np
import pytest
from made_readings import base, made, palette, sparkling, told
from warning_rates import rates, table

from planner.job.model import Acceptance
from planner.reading.drift import difference
from planner.reading.fit import fit
from planner.reading.hues import kin, off_hue
from planner.reading.question import is_daylight
from planner.reading.read import seen
from planner.reading.warn import CLEARLY, CODES, SEVERITIES, Elsewhere, accepted, warnings

BLUE = (40.0, 10.0, -45.0)
LIGHTER = (76.0, 10.0, -45.0)
"""So much that even half of it is too far."""
GREEN = (40.0, -40.0, 20.0)
BLUES = sparkling(blue=(0.9, 0.9), white=(0.1, 0.1))


def codes(reading, *more):
    return {one.code for one in warnings(reading, *more)}


def one(code, reading, *more):
    return next(one for one in warnings(reading, *more) if one.code == code)


def there(venue, swatch, glow, *, holds):
    place = palette().venues["theatre"].model_copy(update={"name": venue})
    of_swatch, of_glow = np.array(swatch), np.array(glow)
    return Elsewhere(place, seen(of_swatch), seen(of_glow), difference(of_swatch, of_glow), holds)


def test_a_match_has_no_warning():
    assert warnings(made(glow=BLUE, swatch=BLUE, flash=BLUES)) == ()


def test_glow_drifts():
    assert one("glow-drifts", made(glow=GREEN, swatch=BLUE)).severity == "severe"
    # Beyond an audience's 10, yet not by half.
    assert one("glow-drifts", made(glow=(66.0, 10.0, -45.0), swatch=BLUE)).severity == "caution"
    assert "glow-drifts" not in codes(made(glow=(45.0, 10.0, -45.0), swatch=BLUE))


def test_another_everyday_word_is_severe_where_the_distance_alone_is_not():
    turned = np.radians(32.0)
    lightness, a, b = BLUE
    violet = (lightness, a * np.cos(turned) - b * np.sin(turned), a * np.sin(turned) + b * np.cos(turned))
    reading = made(glow=violet, swatch=BLUE, tolerance=15.0)
    assert fit(reading).apart < CLEARLY * 15.0
    assert one("glow-drifts", reading).severity == "severe"


def test_the_wish_decides_what_counts_as_drift():
    lighter = {"glow": LIGHTER, "swatch": BLUE}
    assert "glow-drifts" in codes(made(**lighter))
    assert "glow-drifts" not in codes(made(**lighter, wish="tone"))
    assert "glow-drifts" in codes(made(glow=GREEN, swatch=BLUE, wish="tone"))
    assert not codes(made(glow=GREEN, swatch=BLUE, wish="contrast"))
    assert codes(made(glow=(42.0, 10.0, -45.0), swatch=BLUE, wish="contrast")) == {"hardly-stands-out"}


def test_tone_on_tone_between_grey_and_colour_is_no_tone():
    assert "glow-drifts" in codes(made(glow=BLUE, swatch=(40.0, 0.0, 0.0), wish="tone"))
    assert "glow-drifts" not in codes(made(glow=(80.0, 0.0, 1.0), swatch=(20.0, 0.0, 0.0), wish="tone"))


def test_a_hue_family_admits_any_depth():
    assert "glow-drifts" not in codes(made(glow=LIGHTER, swatch=BLUE, tolerance="family"))
    said = one("glow-drifts", made(glow=GREEN, swatch=BLUE, tolerance="family"))
    assert "It reads green, and your swatch reads blue" in said.text


def test_flash_off_hue():
    green = sparkling(blue=(0.4, 0.4), green=(0.6, 0.6))
    assert one("flash-off-hue", made(glow=BLUE, swatch=BLUE, flash=green)).severity == "severe"
    # What is seen is how many there are, not how much light they send.
    by_number = sparkling(blue=(0.9, 0.6), green=(0.1, 0.4))
    assert one("flash-off-hue", made(glow=BLUE, swatch=BLUE, flash=by_number)).severity == "caution"
    by_light = sparkling(blue=(0.6, 0.9), green=(0.4, 0.1))
    assert "flash-off-hue" not in codes(made(glow=BLUE, swatch=BLUE, flash=by_light))
    most_by_number = sparkling(blue=(0.9, 0.4), green=(0.1, 0.6))
    assert one("flash-off-hue", made(glow=BLUE, swatch=BLUE, flash=most_by_number)).severity == "severe"
    most_by_light = sparkling(blue=(0.1, 0.6), green=(0.9, 0.4))
    assert one("flash-off-hue", made(glow=BLUE, swatch=BLUE, flash=most_by_light)).severity == "caution"
    neighbours = sparkling(blue=(0.2, 0.2), blue_green=(0.3, 0.3), violet=(0.3, 0.3), white=(0.2, 0.2))
    assert "flash-off-hue" not in codes(made(glow=BLUE, swatch=BLUE, flash=neighbours))
    assert "flash-off-hue" not in codes(made(glow=BLUE, swatch=BLUE, flash=green, wish="contrast"))


def test_on_black_every_coloured_sparkle_is_off_hue():
    assert kin("black") == kin("grey") == {"white"}
    assert kin("red") == {"white", "pink", "red", "orange"}
    assert kin("brown") == kin("orange")
    assert off_hue({"blue": 0.7, "white": 0.3}, "black") == {"blue": 0.7}
    # A plum: a very dark purplish red, and called purple.
    assert off_hue({"purple": 0.6, "green": 0.4}, "red") == {"purple": 0.6, "green": 0.4}
    assert off_hue({"purple": 0.6, "green": 0.4}, "red", "purple") == {"green": 0.4}
    # Facts of the trade: an aurora film turns jet to another colour; bare jet sparkles white
    # (common practice, no source).
    assert "flash-off-hue" in codes(told("tackle-jet", "halyard-aurora", "drape-black", "followspot"))
    assert "flash-off-hue" not in codes(told("tackle-jet", "none", "drape-black", "followspot"))


def test_no_flash_no_warning_of_it():
    assert "flash-off-hue" not in codes(told("pulley-blue", "halyard-aurora", "bodice-red", "noon"))


def test_lots_straddle():
    near_limit = (62.0, 10.0, -45.0)
    straddling = one("lots-straddle", made(glow=near_limit, swatch=BLUE, spread=4.0))
    assert 0.2 < straddling.figures["lots"] < 0.8
    assert "lots-straddle" not in codes(made(glow=(45.0, 10.0, -45.0), swatch=BLUE, spread=1.0))
    assert "lots-straddle" not in codes(made(glow=LIGHTER, swatch=BLUE, spread=1.0))


def test_lots_that_differ_in_depth_alone_do_not_straddle_tone_on_tone():
    near_limit = made(glow=(62.0, 10.0, -45.0), swatch=BLUE, spread=0.1, wish="tone")
    depth = near_limit.lab_lots + np.random.default_rng(2).normal(0, 8, (500, 1)) * [1.0, 0.0, 0.0]
    assert "lots-straddle" not in codes(replace(near_limit, lab_lots=depth))
    assert "lots-straddle" in codes(
        replace(near_limit, lab_lots=depth, question=replace(near_limit.question, wish="blend"))
    )


def test_breaks_elsewhere():
    here = made(glow=BLUE, swatch=BLUE)
    breaks = there("the ballroom", BLUE, LIGHTER, holds=False)
    said = one("breaks-elsewhere", here, (there("the rink", BLUE, BLUE, holds=True), breaks))
    assert said.severity == "severe"
    assert "the ballroom" in said.text
    assert said.figures["venue"] == "the ballroom"
    # Just over the limit there is no news, and what fails here cannot break.
    just = there("the ballroom", BLUE, (51.5, 10.0, -45.0), holds=False)
    assert 10 < just.drift.dE00 < 12
    assert "breaks-elsewhere" not in codes(here, (just,))
    assert "breaks-elsewhere" not in codes(made(glow=GREEN, swatch=BLUE), (breaks,))
    # A swatch that is less well known under the other lamp gets more room.
    assert "breaks-elsewhere" not in codes(here, (replace(breaks, fails=0.7),))
    assert one("breaks-elsewhere", here, (replace(breaks, fails=0.9),)).figures["sure"] == 0.9


def test_breaks_elsewhere_by_hue_where_hue_is_asked():
    tone = made(glow=BLUE, swatch=BLUE, wish="tone")
    assert "breaks-elsewhere" not in codes(tone, (there("x", BLUE, LIGHTER, holds=False),))
    assert "breaks-elsewhere" in codes(tone, (there("x", BLUE, GREEN, holds=False),))
    family = made(glow=BLUE, swatch=BLUE, tolerance="family")
    astride = there("x", BLUE, (40.0, 12.0, -45.0), holds=False)
    assert "breaks-elsewhere" not in codes(family, (astride,))
    assert "breaks-elsewhere" in codes(family, (there("x", BLUE, GREEN, holds=False),))


def test_what_stands_out_here_and_passes_elsewhere_is_told():
    here = made(glow=GREEN, swatch=BLUE, wish="contrast")
    said = one("breaks-elsewhere", here, (there("the ballroom", BLUE, BLUE, holds=False),))
    assert said.severity == "caution"
    assert "the ballroom" in said.text
    assert "breaks-elsewhere" not in codes(here, (there("the rink", BLUE, GREEN, holds=True),))


def test_lightness_apart():
    """Only what alone exceeds the tolerance; a shade that passes as a match is no hole in the cloth."""
    far = {"swatch": BLUE, "merge_m": 100.0}
    assert "specks" in one("lightness-apart", made(glow=LIGHTER, **far)).text
    dark = made(glow=(20.0, 10.0, -45.0), swatch=(60.0, 10.0, -45.0), merge_m=100.0)
    assert "holes" in one("lightness-apart", dark).text
    assert "lightness-apart" not in codes(made(glow=(52.0, 10.0, -45.0), **far))
    assert "lightness-apart" in codes(made(glow=(52.0, 10.0, -45.0), **far, tolerance="arm"))
    # From beyond the distance at which they merge nobody sees it; nor is it wrong where asked for.
    assert "lightness-apart" not in codes(made(glow=LIGHTER, swatch=BLUE, merge_m=10.0))
    assert "lightness-apart" not in codes(replace(dark, question=replace(dark.question, wish="tone")))
    black_braid = made(glow=BLUE, swatch=BLUE, cloth=(2.0, 0.0, 0.0), merge_m=100.0)
    assert "lightness-apart" not in codes(black_braid)


def test_sizes_differ():
    here = made(glow=BLUE, swatch=BLUE)
    larger = made(glow=(22.0, 10.0, -45.0), swatch=BLUE, size="SS34")
    assert "SS34" in one("sizes-differ", here, (), (larger,)).text
    assert "further through" in one("sizes-differ", here, (), (larger,)).text
    assert "less far through" in one("sizes-differ", larger, (), (here,)).text
    alike = made(glow=(33.0, 10.0, -45.0), swatch=BLUE, size="SS34")
    assert "sizes-differ" not in codes(here, (), (alike,))
    # Another coating is another pairing, and the line itself is no other size.
    uncoated = made(glow=(22.0, 10.0, -45.0), swatch=BLUE, size="SS34", coating=None)
    assert "sizes-differ" not in codes(here, (), (uncoated, here))


def test_shows_cloth():
    own = told("capstan-bottle", "none", "bolt-green", "noon")
    assert one("shows-cloth", own).severity == "note"
    black = told("capstan-bottle", "none", "bolt-green", "noon", cloth="drape-black")
    assert one("shows-cloth", black).severity == "caution"
    assert "shows-cloth" not in codes(base())


def test_swatch_unsure():
    near_limit = {"glow": (61.5, 10.0, -45.0), "swatch": BLUE}
    assert "swatch-unsure" in codes(made(**near_limit, doubt=6.0))
    assert "swatch-unsure" not in codes(made(**near_limit, doubt=0.5))
    # Far from the limit even a poor swatch leaves no doubt.
    assert "swatch-unsure" not in codes(made(glow=GREEN, swatch=BLUE, doubt=6.0))
    # A photograph is no swatch for an arm's length, however near the answer seems.
    assert "swatch-unsure" in codes(made(glow=BLUE, swatch=BLUE, doubt=5.0, tolerance="arm"))


def test_what_to_do_depends_on_what_is_badly_known():
    estimated = replace(base().question.swatch, uncertainty=6.0, basis="estimated")
    reading = made(glow=(61.5, 10.0, -45.0), swatch=BLUE)
    photographed = replace(reading, question=replace(reading.question, swatch=estimated))
    assert "photo" in one("swatch-unsure", photographed).do.lower()
    measured = replace(estimated, basis="measured", recovered=False)
    again = replace(reading, question=replace(reading.question, swatch=measured))
    assert one("swatch-unsure", again).do.startswith("Measure the cloth again")


def test_away_from_daylight_a_colour_without_spectrum_is_less_sure():
    assert is_daylight(palette().venues["noon"])
    assert not is_daylight(palette().venues["theatre"])
    noon = told("pulley-blue", "halyard-aurora", "bodice-red", "noon")
    lamps = replace(noon, question=replace(noon.question, venue=palette().venues["theatre"]))
    assert fit(noon).swatch_sd == pytest.approx(noon.question.swatch.uncertainty, rel=0.01)
    assert fit(lamps).swatch_sd > fit(noon).swatch_sd + 0.1


def test_screen_cannot_show():
    assert "screen-cannot-show" in codes(made(glow=(60.0, -70.0, -40.0), swatch=(60.0, -70.0, -40.0)))
    assert "screen-cannot-show" not in codes(made(glow=BLUE, swatch=BLUE))
    bright = one("screen-cannot-show", made(glow=(130.0, 0.0, 0.0), swatch=(95.0, 0.0, 0.0)))
    assert "brighter than white" in bright.text


def test_gravest_first_and_every_one_says_what_to_do():
    reading = told("pulley-blue", "halyard-aurora", "drape-black", "noon")
    found = warnings(reading, (), ())
    ranks = [SEVERITIES.index(one.severity) for one in found]
    assert len(found) > 1
    assert ranks == sorted(ranks)
    for concern in found:
        assert concern.code in CODES
        assert concern.text.endswith(".")
        assert concern.do.endswith(".")
        assert "  " not in concern.text + concern.do
        assert concern.figures


def test_an_accepted_warning_is_still_told():
    found = warnings(made(glow=GREEN, swatch=BLUE))
    why = Acceptance(code="glow-drifts", who="Head of wardrobe", why="It is for the lining.")
    stray = Acceptance(code="shows-cloth", who="Head of wardrobe", why="Foiled anyway.")
    marked = accepted(found, (stray, why))
    assert [concern for concern, _ in marked] == list(found)
    assert {concern.code: by for concern, by in marked}["glow-drifts"] is why
    assert all(by is None for concern, by in marked if concern.code != "glow-drifts")


@pytest.mark.parametrize("basis", ["invented", "estimated", "measured"])
def test_where_numbers_come_from_is_no_warning(basis):
    reading = made(glow=BLUE, swatch=BLUE, flash=BLUES)
    stone = reading.question.stone.model_copy(update={"basis": basis})
    assert warnings(replace(reading, question=replace(reading.question, stone=stone))) == ()


@pytest.mark.long
@pytest.mark.campaign
@pytest.mark.xfail(
    reason="each fires on half at most, but in these hard lights half of the best pairings break in the "
    "two others, which is severe; over nine venues it is a fifth to a third (shared/TRUST.md)",
    strict=True,
)
def test_no_warning_fires_on_most_of_the_best_pairings(whole):
    """Half of the swatches, printed with -s; `warning_rates.py` does all in every venue."""
    venues = ("noon", "followspot", "low-sun")
    places = [(swatch, venues[at % 3]) for at, swatch in enumerate(list(palette().swatches)[::2])]
    places = places if whole else places[::10]
    total, fired, severe = rates(places, 4)
    print("\n" + table(total, fired, severe))
    assert all(fired[code] <= 0.5 for code in CODES)
    assert max(severe.values()) < 0.25
