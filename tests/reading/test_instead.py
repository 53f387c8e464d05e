"""What to order instead: the other venues of a job count too."""

from dataclasses import replace

import pytest
from few import few_of
from made_readings import asked, palette, told

from planner.assess import assess_question
from planner.reading.instead import gives_up, instead
from planner.reading.matter import QUICK
from planner.reading.read import read


@pytest.fixture(scope="module")
def offers():
    """Return the other venues, and what is offered for a red stone on blue without them and with them."""
    venues = [palette().venues[name] for name in ("followspot", "noon")]
    reading = read(asked("shackle-red", "none", "leotard-blue", "rink"), QUICK)
    few = few_of(palette())
    return venues, instead(few, reading, count=8), instead(few, reading, venues=venues, count=8)


def broken(offer):
    return any(one.code == "breaks-elsewhere" for one in offer.concerns)


def test_what_breaks_in_another_venue_is_warned_of_as_it_is_anywhere_else(offers):
    venues, here, everywhere = offers
    assert not any(map(broken, here))
    breaks = [broken(one) for one in everywhere]
    print(f"{sum(breaks)} of {len(breaks)} break in another venue")
    assert any(breaks)
    for one in everywhere:
        found = assess_question(one.reading.question, QUICK, venues=venues)
        assert broken(one) == any(concern.code == "breaks-elsewhere" for concern, _ in found.concerns)


def test_it_comes_after_what_does_not(offers):
    severe = [one.severe for one in offers[2]]
    assert severe == sorted(severe)


def test_a_stone_without_foil_sparkles_less_or_dimmer():
    """Foil is what makes a flat-back sparkle (common practice, no source)."""
    for venue in ("theatre", "followspot"):
        foiled, glued = (told(one, "none", "leotard-blue", venue) for one in ("tackle-clear", "pelmet-clear"))
        assert {"Dimmer sparkle.", "Less sparkle."} & {*gives_up(foiled, glued)}
        assert not {"Dimmer sparkle.", "Less sparkle."} & {*gives_up(foiled, foiled)}


def test_a_facets_flash_is_not_compared_with_a_whole_stones():
    """So near that of one size facets are told apart, and of the other not."""
    sizes = [
        replace(asked("tackle-clear", "none", "leotard-blue", "theatre", size=size), distance=1.3)
        for size in ("SS20", "SS16")
    ]
    large, small = (read(one, QUICK) for one in sizes)
    assert large.at_hand != small.at_hand
    for one, other in ((large, small), (small, large)):
        assert not any("sparkle" in said for said in gives_up(one, other))


def test_dimmer_is_said_of_the_flashes_themselves_whatever_the_cuts():
    pairs = [
        ("cleat-azure", "pulley-blue"),
        ("tackle-clear", "toggle-clear"),
        ("hasp-rust", "lanyard-orange"),
    ]
    for one, other in pairs:
        before, after = (told(stone, "none", "leotard-blue", "followspot") for stone in (one, other))
        # What a flash sends, of the glow by so many stops: a stop is a factor of two.
        level = [each.brightness * 2.0**each.flash.stops for each in (before, after)]
        assert ("Dimmer sparkle." in gives_up(before, after)) == (level[1] < level[0] / 2.0**0.7)
