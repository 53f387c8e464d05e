"""Files of offers: columns matched kindly, rows that are not understood, and round trips."""

import csv
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from io import StringIO
from typing import get_args

import pytest
from campaigns import WHOLE
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from reference import openpyxl

from planner.catalogue.palette import load
from planner.catalogue.stone import Material
from planner.data import demo
from planner.order.columns import columns
from planner.order.offer import Offer
from planner.order.offers_file import read_offers
from planner.order.sheet import Sheet
from planner.order.vocabulary import words
from planner.refusal import Refusal

TODAY = date(2030, 1, 10)


@pytest.fixture(scope="module")
def palette():
    return load(demo())


@pytest.fixture
def read(tmp_path):
    def run(text, palette=None, **given):
        path = tmp_path / "offers.csv"
        path.write_text(text, encoding="utf-8", newline="")
        return read_offers(path, palette, today=TODAY, **given)

    return run


def test_headings_are_matched_in_any_order_case_and_wording(read):
    found = read(
        "QTY;Old Price;PRICE (GBP);Sold by;Made of;p&p;Finnish;colour blindness?\n"
        "144;9,00;3,50;Anvil;Resin;free;AB;x\n"
    )
    offer = found.offers[0]
    assert (offer.count, offer.price, offer.currency, offer.seller) == (144, Decimal("3.50"), "GBP", "Anvil")
    assert (offer.former_price, offer.material, offer.shipping) == (Decimal("9.00"), "acrylic", Decimal(0))
    by_heading = {one.heading: one for one in found.columns}
    assert by_heading["Finnish"].field == "coating"
    assert by_heading["Finnish"].guessed
    assert by_heading["colour blindness?"].field is None


def test_how_many_packs_a_seller_has_is_read_or_told(read):
    found = read("Seller;Count;Price;Vorrätig\nA;144;3;2\nA;720;9;\nA;100;2;plenty\nA;50;1;0\n")
    assert [one.available for one in found.offers] == [2, None, None, 0]
    (problem,) = found.problems
    assert str(problem).startswith('row 4, column D ("Vorrätig"): found "plenty"; packs that the seller has')


def test_a_german_list_is_understood_whole(read, palette):
    found = read(
        "Händler;Artikel;Werkstoff;Größe;Farbe;Beschichtung;Stückzahl;Preis (EUR);Versand;Zoll;MwSt;"
        "Bearbeitung;Rückgabe;Lieferzeit (Tage)\n"
        "Nord;Glas, 10 Gros;Glas;SS20;blau;ohne;10 Gros;1.042,50 €;5,90;0;8,10;frei;keine;3-5 Werktage\n",
        palette,
    )
    offer = found.offers[0]
    assert all(one.field is not None and not one.guessed for one in found.columns)
    assert (offer.count, offer.price, offer.tax) == (1440, Decimal("1042.50"), Decimal("8.10"))
    assert (offer.handling, offer.returns, offer.delivery_days) == (Decimal(0), 0, 5)
    assert (offer.material, offer.coating_id) == ("glass", "none")


def test_every_synonym_means_its_field():
    for heading, field in words().columns.items():
        sheet = Sheet(
            "x", ((1, (heading, "count" if field != "count" else "price", "price")), (2, ("", "", "")))
        )
        if field in {"price", "count"}:
            other = "price" if field == "count" else "count"
            sheet = Sheet("x", ((1, (heading, other)), (2, ("", ""))))
        assert columns(sheet)[0].field == field


REFUSED = {
    "header only": ("count,price\n", "found column names in row 1 and no offer below"),
    "no price": ("count,cost of living\n144,1\n", "row 1: found no column for price"),
    "one field twice": ("count,qty,price\n1,2,3\n", r'A \("count"\) and column B \("qty"\).*mean count'),
    "nothing left": ("count,price\n144,ask\n12,\n", r'row 2, column B .*found "ask".*no offer is left'),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_without_offers_is_one_sentence(read, name):
    text, said = REFUSED[name]
    with pytest.raises(Refusal, match=said) as raised:
        read(text)
    assert "\n" not in str(raised.value)


HEAD = "seller,title,material,size,mm,count,price,currency,shipping,returns,delivery,until\n"
GOOD = "Anvil,Good,glass,SS20,4.7,144,1.25,EUR,0,30,7,\n"
PROBLEMS = {
    "price of ask": ("A,t,glass,SS20,,144,ask,EUR,,,,", 'column G ("price"): found "ask"', True),
    "no price": ("A,t,glass,SS20,,144,,EUR,,,,", 'column G ("price"): found ""', True),
    "price of nothing": ("A,t,glass,SS20,,144,0,EUR,,,,", "a price above 0 is needed", True),
    "negative count": ("A,t,glass,SS20,,-144,1,EUR,,,,", 'column F ("count"): found "-144"', True),
    "a formula": ("A,t,glass,SS20,,144,=1+2,EUR,,,,", 'column G ("price"): found "=1+2"', True),
    "no currency of ours": ("A,t,glass,SS20,,144,1,coins,,,,", 'column H ("currency"): found "coins"', True),
    "two currencies": ("A,t,glass,SS20,,144,£1,EUR,,,,", "found EUR and GBP in one row", True),
    "shipping in another": ("A,t,glass,SS20,,144,1,EUR,$5,,,", 'column I ("shipping"): found "$"', True),
    "a share": ("A,t,glass,SS20,,144,1,EUR,20%,,,", "an amount is needed, not a share", True),
    "offer has ended": ("A,t,glass,SS20,,144,1,EUR,,,,2030-01-09", "found 2030-01-09, which is past", True),
    "delivered yesterday": (
        "A,t,glass,SS20,,144,1,EUR,,,2030-01-09,",
        "found 2030-01-09, which is past",
        False,
    ),
    "unknown size": ("A,t,glass,SS14,,144,1,EUR,,,,", "the nearest known are SS12 and SS16", False),
    "bare size": ("A,t,glass,99,,144,1,EUR,,,,", 'column D ("size"): found "99"', False),
    "millimetres": ("A,t,glass,SS20,big,144,1,EUR,,,,", 'column E ("mm"): found "big"', False),
    "crystal": ("A,t,crystal,SS20,,144,1,EUR,,,,", "which is said of glass and acrylic too", False),
    "returns of yes": ("A,t,glass,SS20,,144,1,EUR,,yes,,", 'column J ("returns"): found "yes"', False),
}


@pytest.mark.parametrize("name", PROBLEMS)
def test_a_bad_row_is_told_by_row_and_column_and_stops_no_other(read, name):
    row, said, left_out = PROBLEMS[name]
    found = read(HEAD + row + "\n" + GOOD)
    (problem,) = found.problems
    assert problem.left_out == left_out
    assert str(problem).startswith("row 2, column ")
    assert said in str(problem)
    assert "\n" not in str(problem)
    assert found.offers[-1].title == "Good"
    assert len(found.offers) == (1 if left_out else 2)


def test_a_row_twice_counts_once_and_is_told(read):
    found = read(HEAD + GOOD + "B,t,,,,144,2,EUR,,,,\n" + GOOD)
    assert [one.row for one in found.offers] == [2, 3]
    assert str(found.problems[0]) == (
        "row 4: found the same offer as in row 2, which counts once; the row is left out"
    )


def test_a_mark_that_could_be_two_is_decided_by_its_column(read):
    assert [o.price for o in read("count,price\n144,1.440\n12,9.50\n").offers] == [
        Decimal("1.440"),
        Decimal("9.50"),
    ]
    found = read("count;price\n144;1.440\n12;9,50\n")
    assert [one.price for one in found.offers] == [Decimal(1440), Decimal("9.50")]
    assert any("so 1.440 is 1440" in note and "its other cells" in note for note in found.notes)


def test_a_count_with_a_mark_in_it_is_told_as_a_whole_number(read):
    found = read("count;price\n1.440;22,50\n")
    assert found.offers[0].count == 1440
    assert any("stones are counted whole, so 1.440 is 1440" in note for note in found.notes)


def test_where_its_column_does_not_tell_the_rest_of_the_file_does(read):
    found = read("count;price;shipping\n2.000;9,50;1\n")
    assert found.offers[0].count == 2000
    assert any("in the file's other columns" in note for note in found.notes)


def test_a_mark_that_nothing_decides_is_refused(read):
    found = read("count,price\n144,1.440\n144,12\n")
    assert "could be 1440 or 1.440" in found.problems[0].text
    assert len(found.offers) == 1


def test_a_column_that_writes_both_ways_leaves_its_doubtful_cells_out(read):
    found = read('count,price\n144,9.50\n12,"9,50"\n24,1.440\n')
    assert [one.price for one in found.offers] == [Decimal("9.50"), Decimal("9.50")]
    assert found.problems[0].row == 4


def test_a_doubtful_number_among_words_upsets_nothing(read):
    found = read("count;price\n1.441 pcs;9,50\n1.440 x 2;1\n1.440\x1b[31m 2;1\n")
    assert [one.count for one in found.offers] == [1441]
    assert len(found.problems) == 2


def test_headings_cannot_upset_a_terminal(read):
    found = read("count,price,\x1b[31mred\n144,1,x\n")
    assert found.columns[2].heading.isprintable()


def test_a_currency_is_taken_from_column_cell_or_heading_and_else_assumed_and_said(read):
    assert read("count,price\n144,€3\n").offers[0].currency == "EUR"
    assert read("count,price £\n144,3\n").offers[0].currency == "GBP"
    assert read("count,price,currency\n144,3,usd\n").offers[0].currency == "USD"
    found = read("count,price\n144,3\n", currency="SEK")
    assert found.offers[0].currency == "SEK"
    assert "Amounts without a currency are taken as SEK." in found.notes


def test_missing_is_not_free(read):
    offer = read("count,price,shipping,duty,tax,handling\n144,3,,0,free,n/a\n").offers[0]
    assert (offer.shipping, offer.duty, offer.tax, offer.handling) == (None, 0, 0, None)


@pytest.mark.parametrize(
    ("size", "mm", "title", "found"),
    [
        ("ss 20", "", "", ("SS20", None, False)), ("20SS (4.7mm)", "", "", ("SS20", 4.7, False)),
        ("SS20", "5", "", ("SS20", 5.0, False)), ("", "4.6-4.8", "", ("SS20", 4.7, True)),
        ("", "5", "", ("SS20", 5.0, True)), ("4mm", "", "", ("SS16", 4.0, True)),
        ("", "", "Blue SS16 4 mm flat-backs", ("SS16", 4.0, False)), ("", "9.9", "", (None, 9.9, False)),
        ("", "", "Set of 20", (None, None, False)),
    ],
)  # fmt: skip
def test_sizes_and_millimetres(read, size, mm, title, found):
    # Ranges: shared/stone_sizes.csv. 5 mm sold as SS20 is common practice, no source.
    offer = read(f"count,price,size,mm,title\n144,3,{size},{mm},{title}\n").offers[0]
    assert (offer.size, offer.mm, offer.size_from_mm) == found


def test_stones_that_are_not_round_keep_both_sides_and_no_size(read, palette):
    offer = read("count,price,mm,shape,colour\n20,3,18 x 11,Drop,tackle-clear\n", palette).offers[0]
    assert (offer.shape, offer.mm, offer.mm_across, offer.size, offer.pairing) == ("drop", 18, 11, None, None)


@pytest.mark.parametrize(
    ("colour", "coating", "title", "ids"),
    [
        ("Pulley Blue", "Halyard aurora", "", ("pulley-blue", "halyard-aurora")),
        ("pulley-blue", "none", "", ("pulley-blue", "none")),
        ("", "", "PULLEY BLUE with halyard aurora", ("pulley-blue", "halyard-aurora")),
        ("pulley_blue", "", "", ("pulley-blue", "none")),
        ("pulley-blue", "AB", "", ("pulley-blue", "ab")),
        ("pulley-blue", "", "blue AB flat-backs", ("pulley-blue", "ab")),
        ("pully blue", "none", "", (None, "none")),
    ],
)
def test_offers_are_matched_to_the_palette(read, palette, colour, coating, title, ids):
    offer = read(f"count,price,colour,coating,title\n144,3,{colour},{coating},{title}\n", palette).offers[0]
    assert (offer.stone_id, offer.coating_id) == ids
    if ids[0] is None:
        assert "pulley-blue" in offer.suggestions
    if ids[1] is None:
        assert set(offer.suggestions) <= set(palette.coatings)
        assert offer.suggestions


def test_the_demos_offers_are_all_understood_and_serve_the_demos_jobs(palette):
    from planner.job import read_job_file

    found = read_offers(demo() / "offers.csv", palette, today=TODAY)
    assert found.problems == ()
    assert "INVENTED" in (demo() / "offers.csv").read_text(encoding="utf-8").split("\n")[0]
    sellers = {}
    for one in found.offers:
        sellers.setdefault(one.pairing, set()).add(one.seller)
    for path in sorted((demo() / "jobs").glob("*.toml")):
        for line in read_job_file(path).job.lines:
            assert len(sellers[line.stone, line.coating, line.size]) >= 2


# --- round trips ---

_text = st.text(
    st.characters(codec="cp1252", exclude_categories=("C", "Z"), exclude_characters="#"),
    min_size=1,
    max_size=12,
).filter(lambda text: text.strip("-–—/_.'’") != "" and words().columns is not None)
_money = st.decimals(0, 99_999, places=2)
_offers = st.builds(
    Offer,
    row=st.just(0),
    seller=_text,
    title=st.just(""),
    count=st.integers(1, 99_999),
    price=st.decimals(Decimal("0.01"), 99_999, places=2),
    currency=st.sampled_from(["EUR", "GBP", "USD", "SEK"]),
    material=st.sampled_from([None, *get_args(Material)]),
    size=st.sampled_from([None, "SS12", "SS20", "SS48"]),
    former_price=st.none() | _money,
    shipping=st.none() | _money,
    duty=st.none() | _money,
    tax=st.none() | _money,
    handling=st.none() | _money,
    returns=st.none() | st.integers(0, 365),
    delivery_days=st.none() | st.integers(0, 365),
    until=st.none() | st.integers(0, 900).map(lambda days: TODAY + timedelta(days)),
)
FIELDS = {
    "seller": "Sold By", "count": "Qty", "price": "price", "currency": "Currency", "material": "material",
    "size": "SS size", "former_price": "was", "shipping": "Postage", "duty": "Customs", "tax": "VAT",
    "handling": "handling", "returns": "returns", "delivery_days": "DELIVERY", "until": "valid until",
}  # fmt: skip


def _cells(offer, fields, comma, signs):
    for field in fields:
        value = getattr(offer, field)
        if value is None:
            yield ""
        elif isinstance(value, Decimal):
            written = f"{value:,.2f}" if signs else f"{value:.2f}"
            yield written.translate(str.maketrans(".,", ",.")) if comma else written
        else:
            yield str(value)


def _same(found, offers):
    # Two rows alike count once; the first stays.
    expected = list(dict.fromkeys(offers))
    assert [vars(one) | {"row": 0} for one in found.offers] == [vars(one) for one in expected]


@settings(
    max_examples=40 if WHOLE else 10,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    offers=st.lists(_offers, min_size=1, max_size=8),
    delimiter=st.sampled_from(",;\t"),
    quoting=st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    comma=st.booleans(),
    grouped=st.booleans(),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "cp1252", "utf-16"]),
    fields=st.permutations(list(FIELDS)),
    newline=st.sampled_from(["\n", "\r\n"]),
)
def test_any_dialect_gives_the_same_offers(
    tmp_path, offers, delimiter, quoting, comma, grouped, encoding, fields, newline
):
    out = StringIO()
    writer = csv.writer(out, delimiter=delimiter, quoting=quoting, lineterminator=newline)
    writer.writerow([FIELDS[field] for field in fields])
    writer.writerows([*_cells(one, fields, comma, grouped)] for one in offers)
    path = tmp_path / "offers.csv"
    path.write_bytes(out.getvalue().encode(encoding))
    found = read_offers(path, today=TODAY)
    assert found.problems == () or all("the same offer" in one.text for one in found.problems)
    _same(found, offers)


@settings(
    max_examples=10 if WHOLE else 5,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(offers=st.lists(_offers, min_size=1, max_size=5), fields=st.permutations(list(FIELDS)))
def test_a_workbook_gives_the_same_offers(tmp_path, offers, fields):
    book = openpyxl.Workbook()
    book.active.append([FIELDS[field] for field in fields])
    # The library that writes here makes a formula of what begins with =, as a person's typing would.
    offers = [replace(one, seller=one.seller.lstrip("=") or "none") for one in offers]
    for one in offers:
        cells = [getattr(one, field) for field in fields]
        book.active.append([float(cell) if isinstance(cell, Decimal) else cell for cell in cells])
    book.save(tmp_path / "offers.xlsx")
    _same(read_offers(tmp_path / "offers.xlsx", today=TODAY), offers)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=300) | st.text(max_size=200).map(lambda text: f"count,price\n{text}".encode()))
def test_no_file_causes_anything_but_offers_or_a_sentence(tmp_path, data):
    path = tmp_path / "offers.csv"
    path.write_bytes(data)
    said = None
    try:
        found = read_offers(path, today=TODAY).offers
    except Refusal as problem:
        found, said = (), str(problem)
    assert found or (said.startswith(str(path)) and "\n" not in said)
