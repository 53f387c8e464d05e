"""The order list as a person or a program gets it, and every way it can be refused."""

import json

import pytest

HEAD = """title = "Hoop"
swatch = "#101335"
venues = ["theatre"]
event = 2031-03-14
budget = 60
"""
NAVY = """[[line]]
stone = "marlinspike-navy"
size = "SS20"
name = "body"
"""
BLUE = """[[line]]
stone = "pulley-blue"
coating = "halyard-aurora"
size = "SS20"
name = "trim"
"""
AREA = """[[area]]
name = "yoke"
shape = "surface"
pattern = "motif"
times = 2
mix = { body = 200 }
"""
OFFERS = """seller,title,material,size,colour,coating,count,price,currency,shipping,duty,tax,handling,returns,delivery days
Windlass Loft,Navy,glass,SS20,marlinspike-navy,none,144,4.00,EUR,3.50,0,0,0,14,5
Hem Tape Corner,Navy,glass,SS20,marlinspike-navy,none,100,3.00,EUR,2.00,0,0,0,14,3
Hem Tape Corner,Blue,glass,SS20,pulley-blue,halyard-aurora,100,3.00,EUR,2.00,0,0,0,14,3
"""  # noqa: E501 - a table
DAY = ("--day", "2031-01-10", "--grade", "quick")


@pytest.fixture
def ordered(planner, tmp_path):
    """Return a function that writes a job, offers and stock, and runs the command."""

    def run(*args, job=HEAD + NAVY + AREA, offers=OFFERS, stock=None, status=0):
        for name, text in (("job.toml", job), ("offers.csv", offers), ("stock.toml", stock)):
            if text is not None:
                (tmp_path / name).write_text(text, encoding="utf-8")
        options = () if stock is None else ("--stock", tmp_path / "stock.toml")
        days = () if "--day" in args else DAY[:2]
        files = tmp_path / "job.toml", tmp_path / "offers.csv"
        return planner("order", *files, *options, *args, *days, *DAY[2:], status=status)

    return run


def test_the_list_says_what_to_buy_and_that_nothing_was_bought(ordered):
    shown = ordered().stdout
    # 400 worn, 20 and 24 spare: 5 × 100 and 2.00 against 4 × 144 and 3.50.
    assert "Order on 2031-01-10 from Hem Tape Corner, here on 2031-01-13" in shown
    assert "5 × 100 Marlinspike navy, uncoated, SS20 (row 3)" in shown
    assert "? Ask for all 5 packs of Marlinspike navy" in shown
    flat = " ".join(shown.split())
    assert "Packs 15.00 EUR, shipping 2.00 EUR: 17.00 EUR, which leaves 43.00 EUR of the budget" in flat
    assert "400 worn and 44 spare; 500 bought, 56 left over" in flat
    assert "Nothing was bought or sent" in flat
    # A path is never broken, however long the folder of a test is.
    assert max(len(line) for line in shown.splitlines() if "/" not in line) <= 80


def test_handling_that_is_paid_with_shipping_is_named(ordered, tmp_path):
    handled = OFFERS.replace("2.00,0,0,0,14,3", "2.00,0,0,1.25,14,3")
    listed = tmp_path / "list.csv"
    shown = " ".join(ordered("--csv", listed, offers=handled).stdout.split())
    assert "Packs 15.00 EUR, shipping and handling 3.25 EUR: 18.25 EUR" in shown
    assert "shipping and handling 3.25 EUR ?" in shown
    assert ",shipping and handling," in listed.read_text(encoding="utf-8")


def test_a_job_that_names_its_files_needs_no_other(planner, tmp_path):
    named = HEAD + 'offers = "lists/offers.csv"\nstock = "tin.toml"\n' + NAVY + AREA
    tin = '[[lot]]\nstone = "marlinspike-navy"\nsize = "SS20"\ncount = 60\n'
    (tmp_path / "lists").mkdir()
    for name, text in (("job.toml", named), ("lists/offers.csv", OFFERS), ("tin.toml", tin)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    found = json.loads(planner("order", tmp_path / "job.toml", "--json", *DAY).stdout)
    assert found["order"]["covers"][0]["from_drawer"] == 60
    (tmp_path / "job.toml").write_text(HEAD + NAVY + AREA, encoding="utf-8")
    shown = planner("order", tmp_path / "job.toml", *DAY, status=2)
    assert "found no OFFERS, and the job names none" in shown.stderr


def test_json_says_the_same_and_keeps_money_exact(ordered):
    data = json.loads(ordered("--json").stdout)
    assert data["schema"] == "planner order 1"
    assert data["ok"] is True
    assert data["order"]["total"] == "17.00"
    assert data["order"]["proven_cheapest"] is True
    (parcel,) = data["order"]["deliveries"]
    assert parcel["packs"][0] == {
        "row": 3, "title": "Navy", "for": "Marlinspike navy, uncoated, SS20", "packs": 5,
        "stones_a_pack": 100, "stones": 500, "each": "3.00", "price": "15.00", "sample": False,
    }  # fmt: skip


def test_the_wearer_comes_before_the_price(ordered):
    shown = ordered(job='wearer = "under 3"\n' + HEAD + NAVY + AREA, status=1).stdout
    assert shown.index("severe   small-parts-under-3") < shown.index("Order on")
    data = json.loads(ordered("--json", job='wearer = "under 3"\n' + HEAD + NAVY + AREA, status=1).stdout)
    assert data["wearer"][0]["code"] == "small-parts-under-3"
    assert data["ok"] is False


def test_a_stone_that_should_be_seen_first_is_ordered_as_a_sample(ordered):
    job = HEAD + "tolerance = 8\n" + NAVY + BLUE + AREA.replace("body = 200", "body = 200, trim = 150")
    shown = ordered(job=job, status=1).stdout
    flat = " ".join(shown.split())
    assert shown.index("severe   glow-drifts") < shown.index("Order on")
    assert "1 × 100 Pulley blue with the Halyard aurora film, SS20 (row 4, a sample)" in flat
    assert "Order a sample first, of Pulley blue with the Halyard aurora film, SS20" in flat
    assert "Order on 2031-01-15 from Hem Tape Corner, here on 2031-01-18" in flat


def test_stock_is_counted_down_only_when_told_to(ordered, tmp_path):
    stock = '# mine\n[[lot]]\nstone = "marlinspike-navy"\nsize = "SS20"\ncount = 90\n'
    shown = ordered(stock=stock).stdout
    assert "Take 90 of the 90 Marlinspike navy" in " ".join(shown.split())
    assert (tmp_path / "stock.toml").read_text() == stock
    data = json.loads(ordered("--use-stock", "--json", stock=stock).stdout)
    assert data["counted_down"] is True
    assert (tmp_path / "stock.toml").read_text() == stock.replace("90", "0")
    assert (tmp_path / "stock.toml.bak").read_text() == stock


def test_a_list_for_spreadsheets_is_a_new_file(ordered, tmp_path):
    ordered("--csv", tmp_path / "list.csv")
    text = (tmp_path / "list.csv").read_text(encoding="utf-8-sig")
    assert text.splitlines()[-1].startswith("total,")
    assert "17.00" in text.splitlines()[-1]
    assert "found a file of that name" in ordered("--csv", tmp_path / "list.csv", status=2).stderr


def test_an_order_that_cannot_be_made_is_status_1_and_says_what_would_do(ordered):
    shown = ordered(job=HEAD.replace("60", "16.50") + NAVY + AREA, status=1).stdout
    flat = " ".join(shown.split())
    assert "The cheapest order comes to 17.00 EUR, which is 0.50 EUR more than the budget" in flat
    # 3 × 144 are 12 short of what is needed, and 3.50 of shipping makes 15.50.
    first, second = flat.split("What would make it possible, the smallest change first ")[1].split(" EUR. ")[
        :2
    ]
    assert first == "Without 12 of the 44 spare Marlinspike navy, uncoated, SS20: it then comes to 15.50"
    assert second == "0.50 EUR more than the budget: it then comes to 17.00"


def test_mixing_sellers_is_allowed_when_told_to(ordered):
    apart = OFFERS.replace("3.00,EUR,2.00", "3.00,EUR,0").replace("4.00,EUR,3.50", "4.00,EUR,0")
    # 444 stones: 3 × 100 and 1 × 144 is exactly that; alone 5 × 100 or 4 × 144.
    alone = json.loads(ordered("--json", offers=apart).stdout)["order"]
    mixed = json.loads(ordered("--json", "--mix-sellers", offers=apart).stdout)["order"]
    assert (alone["total"], mixed["total"]) == ("15.00", "13.00")
    assert mixed["covers"][0]["left_over"] == 0


@pytest.mark.parametrize(
    ("args", "given", "said"),
    [
        ((), {"job": HEAD + NAVY}, "found no [[area]] that takes stones, so there is nothing to order"),
        (("--day", "2031-05-01"), {}, "field event: found 2031-03-14, which is past; it must be 2031-05-01"),
        (("--day", "soon"), {}, '--day: found "soon"; a day is written like 2031-01-31'),
        (("--use-stock",), {}, "--use-stock: found no --stock"),
        ((), {"stock": "[[lot]]\n"}, "stock.toml line 1, lot 1, field stone: is missing"),
        ((), {"offers": "seller,price\n"}, "offers.csv"),
        ((), {"job": HEAD + NAVY.replace("navy", "nave") + AREA}, 'found "marlinspike-nave"'),
    ],
)  # fmt: skip
def test_a_fault_is_one_sentence_and_status_2(ordered, args, given, said):
    shown = ordered(*args, **given, status=2)
    assert said in shown.stderr
    assert shown.stderr.count("\n") == 1
    assert shown.stdout == ""
