"""What is asked of an offer, and the order of the demo's usual prices."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise, product

import pytest

from planner.catalogue.palette import load
from planner.catalogue.sizes import COMMON, off_mm, size_of
from planner.data import demo
from planner.order.bands import HEADINGS, Band, confirmed, read_bands
from planner.order.claims import CHECKS, CODES, Circumstances, by_kind, concerns, kind_of, title_counts
from planner.order.landed import Rates
from planner.order.offer import Offer
from planner.order.sizing import fits_better
from planner.refusal import Refusal

TODAY = date(2030, 1, 10)
EUR = Rates("EUR", {"USD": Decimal("0.5")})
BAND = Band(
    "glass", "SS20", "clear", "none", Decimal(1), Decimal(2), "EUR", date(2029, 12, 1), "Head of wardrobe"
)
KNOWN = Circumstances(EUR, TODAY, by_kind([BAND]))
NOTHING = Decimal(0)
PLAIN = Offer(
    row=2, seller="Anvil", title="Clear SS20 glass 1 gross", count=144, price=Decimal("1.50"), currency="EUR",
    material="glass", size="SS20", colour="clear", coating="none", stone_id="tackle-clear", coating_id="none",
    shipping=NOTHING, duty=NOTHING, tax=NOTHING, handling=NOTHING, returns=30, delivery_days=5,
)  # fmt: skip
PAIRING = ("tackle-clear", "none", "SS20")


def codes(offer, known=KNOWN):
    return [one.code for one in concerns(offer, known)]


def test_a_plain_offer_is_not_asked_about():
    assert codes(PLAIN) == []


CASES = {
    "price-far-under": ({"price": Decimal("0.49")}, {}),
    "price-far-over": ({"price": Decimal("4.01")}, {}),
    "former-price": ({"former_price": Decimal(40)}, {}),
    "no-material": ({"material": None, "title": "CRYSTAL flat-backs"}, {}),
    "another-material": ({"material": "acrylic"}, {"stones": load(demo()).stones}),
    "not-understood": ({"unread": ('column F ("returns")',)}, {}),
    "count-about": ({"about": True}, {}),
    "count-differs": ({"title": "10 gross of SS20"}, {}),
    "size-differs": ({"mm": 4.0}, {}),
    "no-returns": ({"returns": 0}, {"straddling": frozenset({PAIRING})}),
    "several-lots": ({}, {"wanted": {PAIRING: 1000}}),
    "too-late": ({"delivery_days": 12}, {"needed": TODAY + timedelta(11)}),
    "offer-ends": ({"until": TODAY + timedelta(3)}, {}),
    "before-import": ({"duty": None}, {}),
    "not-round": ({"shape": "drop"}, {}),
}


def test_every_check_has_a_case():
    assert set(CASES) == set(CODES)
    assert len(CHECKS) == len(CODES)


@pytest.mark.parametrize("code", CASES)
def test_each_check_asks_in_one_sentence_and_calls_nothing_a_fraud(code):
    offer, known = CASES[code]
    (found,) = [one for one in concerns(replace(PLAIN, **offer), replace(KNOWN, **known)) if one.code == code]
    assert found.text.endswith(".")
    assert found.do.startswith(("Ask", "Compare"))
    for word in ("fraud", "scam", "fake", "cheat", "dishonest"):
        assert word not in (found.text + found.do).lower()


BOUNDARIES = [
    ({"price": Decimal("0.50")}, {}), ({"price": Decimal("4.00")}, {}),
    ({"former_price": Decimal("4.00")}, {}),
    # A dollar is half a euro here: 3 dollars are the same 1.50.
    ({"price": Decimal(3), "currency": "USD"}, {}),
    ({"material": None, "title": "Flat-backs"}, {}), ({"title": "Clear SS20"}, {}),
    # Only a title that says gross must be a multiple of 144.
    ({"title": "SS20 bag", "count": 100, "price": Decimal("1.04")}, {}),
    ({"title": "SS20 100 pcs", "count": 100, "price": Decimal("1.04")}, {}),
    # 5 mm for SS20 is how sellers write it (common practice, no source).
    ({"mm": 5.0}, {}), ({"mm": 4.7}, {}),
    ({"returns": 14}, {"straddling": frozenset({PAIRING})}), ({"returns": 0}, {}),
    ({}, {"wanted": {PAIRING: 4 * 144}}),
    ({"delivery_days": 11}, {"needed": TODAY + timedelta(11)}),
    ({"delivery_days": None}, {"needed": TODAY}), ({}, {"needed": TODAY - timedelta(1)}),
    ({"until": TODAY + timedelta(30)}, {}),
]  # fmt: skip


@pytest.mark.parametrize(("offer", "known"), BOUNDARIES)
def test_what_is_usual_is_not_asked_about(offer, known):
    assert codes(replace(PLAIN, **offer), replace(KNOWN, **known)) == []


def test_several_lots_are_asked_about_from_five_packs_on():
    def wanting(count):
        return codes(PLAIN, replace(KNOWN, wanted={PAIRING: count}))

    assert wanting(4 * 144) == []
    assert wanting(4 * 144 + 1) == wanting(5 * 144) == ["several-lots"]


def test_bands_are_off_until_there_are_any():
    assert (
        codes(replace(PLAIN, price=Decimal("0.01"), former_price=Decimal(999)), Circumstances(EUR, TODAY))
        == []
    )


def test_the_gravest_is_told_first():
    late = replace(PLAIN, delivery_days=90, title="CRYSTAL", material=None, duty=None)
    assert codes(late, replace(KNOWN, needed=TODAY)) == ["too-late", "no-material", "before-import"]


@pytest.mark.parametrize(
    ("title", "counts"),
    [
        ("10 gross", {1440}), ("SS20 1,440 pcs", {1440}), ("1.440 stones", {1440}), ("half a gross", {72}),
        ("a gross of SS20", {144}), ("10 gross (1440 pcs)", {1440}), ("SS20 4.7 mm", set()),
        ("2.000 pcs", {2, 2000}),
        ("pack", set()),
    ],
)  # fmt: skip
def test_counts_in_titles(title, counts):
    assert title_counts(title) == counts


def test_a_gross_that_is_none_is_asked_about():
    assert codes(replace(PLAIN, title="SS20 by the gross", count=150, price=Decimal("1.50"))) == [
        "count-differs"
    ]
    assert codes(replace(PLAIN, title="SS20 by the gross", count=288, price=Decimal(3))) == []


def test_every_common_sizes_own_millimetres_fit_it():
    from planner.catalogue.sizes import size

    # Ranges and nominal diameters in common use (no source).
    for name in COMMON:
        one = size(name)
        for mm in filter(None, (one.min_mm, one.max_mm, one.nominal_mm)):
            assert off_mm(name, mm) == 0.0
            assert fits_better(name, mm) is None
    assert size_of(5.0) == "SS20"
    assert size_of(60.0) is None
    assert fits_better("SS20", 4.0) == "SS16"
    assert fits_better("SS16", 6.4) == "SS30"


# --- the demo's bands: invented amounts, in the order that is common practice, no source.


@pytest.fixture(scope="module")
def usual():
    return by_kind(read_bands(demo() / "price_bands.csv"))


MATERIALS = ("acrylic", "glass", "lead-free crystal", "lead crystal")
SIZES = ("SS10", "SS12", "SS16", "SS20", "SS30", "SS34", "SS40", "SS48")
BODIES, FILMS = ("clear", "coloured"), ("none", "film")


def test_the_demos_bands_rise_with_lead_with_colour_with_a_film_and_with_size(usual):
    assert set(usual) == set(product(MATERIALS, SIZES, BODIES, FILMS))
    for place, rising in enumerate((MATERIALS, SIZES, BODIES, FILMS)):
        for kind in usual:
            row = [usual[(*kind[:place], one, *kind[place + 1 :])] for one in rising]
            assert all(less.low < more.low and less.high < more.high for less, more in pairwise(row))


def test_the_demos_bands_say_that_they_are_invented(usual):
    assert "INVENTED" in (demo() / "price_bands.csv").read_text(encoding="utf-8").split("\n")[0]
    assert {one.confirmed for one in usual.values()} == {"the demo"}


def test_an_offer_belongs_to_the_band_of_its_stone():
    stones = load(demo()).stones
    assert kind_of(PLAIN, stones) == ("glass", "SS20", "clear", "none")
    assert kind_of(replace(PLAIN, stone_id="tackle-jet"), stones)[2] == "coloured"
    assert kind_of(replace(PLAIN, coating="AB", coating_id=None), stones)[3] == "film"
    assert kind_of(replace(PLAIN, material=None), stones) is None


def test_bands_count_only_where_confirmed_and_old_ones_are_told():
    fresh, old = replace(BAND, size="SS16"), replace(BAND, dated=TODAY - timedelta(400))
    good, notes = confirmed([fresh, old, replace(BAND, size="SS12", confirmed="")], TODAY)
    assert good == (fresh, old)
    assert "1 of 3 bands of usual prices are not used" in notes[0]
    assert "over a year old" in notes[1]


ROW = dict(
    zip(HEADINGS, ("glass", "SS20", "clear", "none", "1", "2", "EUR", "2030-01-01", "me"), strict=True)
)
BAD_BANDS = {
    "material": ("wood", 'column material: found "wood"; allowed are'),
    "size": ("SS14", "column size: found"),
    "colour": ("blue", "allowed are clear, coloured"),
    "coating": ("AB", "allowed are none, film"),
    "low": ("ask", 'column low: found "ask"; an amount'),
    "high": ("0.5", "column high: found 0.5 over a low of 1"),
    "currency": ("euros", "three capital letters"),
    "dated": ("last week", "a date must be written like"),
}


@pytest.mark.parametrize("field", BAD_BANDS)
def test_a_bad_band_is_one_sentence(tmp_path, field):
    value, said = BAD_BANDS[field]
    path = tmp_path / "bands.csv"
    path.write_text(",".join(HEADINGS) + "\n" + ",".join({**ROW, field: value}.values()) + "\n")
    with pytest.raises(Refusal, match=said) as raised:
        read_bands(path)
    assert " row 2, column " in str(raised.value)


def test_two_bands_of_one_kind_and_a_missing_column_are_refused(tmp_path):
    path = tmp_path / "bands.csv"
    line = ",".join(ROW.values()) + "\n"
    path.write_text(",".join(HEADINGS) + "\n" + line + line)
    with pytest.raises(Refusal, match="row 3: found a second band"):
        read_bands(path)
    path.write_text("material,size\nglass,SS20\n")
    with pytest.raises(Refusal, match='row 1: found no column "colour"'):
        read_bands(path)


def test_a_band_of_a_day_to_come_does_not_count():
    good, notes = confirmed([BAND, replace(BAND, size="SS12", dated=TODAY + timedelta(1))], TODAY)
    assert good == (BAND,)
    assert notes[0].startswith("1 of 2 bands of usual prices are not used")
