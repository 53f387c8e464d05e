"""What to order instead: the other venues of a job count too."""

import pytest
from few import few_of
from made_readings import asked, palette

from planner.assess import assess_question
from planner.reading.instead import instead
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
    told = [broken(one) for one in everywhere]
    print(f"{sum(told)} of {len(told)} break in another venue")
    assert any(told)
    for one in everywhere:
        found = assess_question(one.reading.question, QUICK, venues=venues)
        assert broken(one) == any(concern.code == "breaks-elsewhere" for concern, _ in found.concerns)


def test_it_comes_after_what_does_not(offers):
    severe = [one.severe for one in offers[2]]
    assert severe == sorted(severe)
