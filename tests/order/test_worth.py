"""What the material buys. That wavy facets blur one bright flash into many dim ones is geometry; that cheap
moulded stones have wavier facets, so that crystal looks crisper, is common practice, no source."""

from dataclasses import replace
from decimal import Decimal

import pytest

from planner.catalogue.palette import load
from planner.data import demo
from planner.order.landed import Rates
from planner.order.offer import Offer
from planner.order.worth import MATERIALS, usual_cuts, verdict, worth
from planner.reading.question import Question, swatch_colour

EUR = Rates("EUR", {})


@pytest.fixture(scope="module")
def palette():
    return load(demo())


@pytest.fixture(scope="module")
def question(palette):
    stone, swatch = palette.stones["tackle-clear"], swatch_colour(palette.swatches["leotard-blue"])
    venue = palette.venues["followspot"]
    return Question(stone, palette.cuts[stone.cut], None, "SS20", swatch, swatch, venue, venue.distance)


def offer(**given):
    return Offer(
        **{
            "row": 2, "seller": "Anvil", "title": "", "count": 144, "price": Decimal(2), "currency": "EUR",
            "stone_id": "tackle-clear", "coating_id": "none", "size": "SS20", "material": "glass", **given,
        }
    )  # fmt: skip


def test_each_material_is_read_and_lead_crystal_is_its_own_measure(question):
    found = worth(question)
    assert tuple(one.material for one in found) == MATERIALS
    crystal = found[-1]
    assert (crystal.apart, crystal.flashes, crystal.each_stops, crystal.flash_stops) == (0, 1, 0, 0)
    assert crystal.enough
    assert [one.reading.question.stone.material for one in found] == list(MATERIALS)
    assert {one.reading.question.cut.id for one in found} == {"twelve"}


def test_wavy_facets_leave_less_of_the_sparkle(question, palette):
    """They make more and dimmer flashes (`tests/optics/test_flash.py`), and fewer of those are noticed."""
    wavy = palette.cuts["twelve"].model_copy(update={"id": "wavy", "waviness": 0.8})
    near = replace(question, distance=3.0)
    acrylic = worth(near, cuts={"acrylic": wavy})[0]
    flat = worth(near)[0]
    assert acrylic.flash_stops < flat.flash_stops - 0.1
    # All of them together: how many, times how bright each is.
    assert 2.0**acrylic.flash_stops == pytest.approx(acrylic.flashes * 2.0**acrylic.each_stops)


def test_the_usual_cut_of_a_material_is_the_palettes(palette):
    cuts = usual_cuts(palette)
    assert {material: cut.id for material, cut in cuts.items()} == {
        "acrylic": "eight", "glass": "twelve", "lead crystal": "bulwark", "lead-free crystal": "twelve",
    }  # fmt: skip


def test_the_cheapest_offer_of_each_material_stands_beside_it(question):
    offers = [
        offer(row=2, price=Decimal(3)), offer(row=3), offer(row=4, material="acrylic", price=Decimal(1)),
        offer(row=5, price=Decimal(1), size="SS16"), offer(row=6, price=Decimal(1), currency="GBP"),
        offer(row=7, price=Decimal(1), material=None),
    ]  # fmt: skip
    rows = [None if one.cheapest is None else one.cheapest.offer.row for one in worth(question, offers, EUR)]
    assert rows == [4, 3, None]


def test_the_verdict_names_the_cheapest_material_that_is_enough(question):
    acrylic, glass, crystal = worth(question)
    near = {"apart": 1.0, "flash_stops": -0.2, "each_stops": -0.2}
    far = {"apart": 9.0, "flash_stops": -1.0, "each_stops": -1.0}
    assert verdict([replace(acrylic, **near), replace(glass, **near), crystal]).startswith(
        "Here acrylic is enough"
    )
    said = verdict([replace(acrylic, **far), replace(glass, **near), crystal])
    assert said.startswith("Here glass is enough: it has 87 % of the sparkle of lead crystal")
    shown = verdict([replace(acrylic, **far), replace(glass, **far, flashes=0.5), crystal])
    assert shown.startswith("Here lead crystal is worth it: acrylic has only 50 %")


def test_without_small_lamps_there_is_no_sparkle_to_pay_for(question, palette):
    noon = palette.venues["noon"]
    found = worth(replace(question, venue=noon, distance=noon.distance))
    assert all(one.flashes is None for one in found)
    assert verdict(found).startswith("No small lamp lights this venue")
