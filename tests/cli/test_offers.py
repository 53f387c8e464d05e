"""``planner offers``: what a person reads, what a program reads, and how it ends."""

import csv
import json
from datetime import date

import pytest

from planner.cli import offering
from planner.data import demo

TODAY = date(2030, 1, 10)
HEAD = (
    "seller,title,material,size,colour,coating,count,price,currency,shipping,duty,tax,handling,returns,"
    "delivery\n"
)
CHEAP = "Anvil Row,Pulley blue 10 gross,glass,SS20,pulley-blue,none,1440,12.00,EUR,3,0,0,0,30,5\n"
DEAR = "Batten Row,Pulley blue 1 gross,lead crystal,SS20,pulley-blue,none,144,10.00,EUR,,,,,0,5\n"
ABROAD = "Cleat Row,Pulley blue 1 gross,glass,SS20,pulley-blue,none,144,1.00,GBP,0,0,0,0,30,90\n"
ACTS = "=1+2,@SUM,glass,SS16,pulley-blue,none,144,2.00,EUR,0,0,0,0,30,5\n"
JOB = """title = "Hoop"
event = 2030-03-01
swatch = "leotard-blue"
venues = ["rink"]
rates = { GBP = 1.2 }

[[line]]
stone = "pulley-blue"
size = "SS20"
name = "body"

[[area]]
name = "front"
shape = "surface"
surface_cm2 = 1000
pattern = "scatter"
spacing_mm = 10
mix = { body = 1 }
"""


@pytest.fixture(autouse=True)
def _one_day(monkeypatch):
    monkeypatch.setattr(offering, "today", lambda: TODAY)


@pytest.fixture
def files(tmp_path):
    (tmp_path / "offers.csv").write_text(HEAD + CHEAP + DEAR + ABROAD + ACTS)
    (tmp_path / "hoop.toml").write_text(JOB)
    return tmp_path


def test_offers_stand_side_by_side_the_cheapest_first(planner, files):
    out = planner("offers", files / "offers.csv", "--rate", "GBP=1.2").output
    table = out[out.index("Pulley blue, uncoated, SS20") :]
    assert table.index("Cleat Row") < table.index("Anvil Row") < table.index("Batten Row")
    assert "██████████████████████████████ 10.00" in table
    assert "10.00*" in table
    assert "before import charges" in out
    assert "Columns under their usual names: seller, title, material" in out
    assert "delivery → delivery days" in out
    assert all(len(line) <= 80 for line in out.splitlines() if str(files) not in line)


def test_a_heading_that_is_not_understood_is_told_beside_what_it_may_be(planner, files):
    (files / "offers.csv").write_text((HEAD + CHEAP).replace("returns,delivery", "weather,delivery"))
    out = " ".join(planner("offers", files / "offers.csv").output.split())
    assert out.startswith("1 offer in ")
    assert "Not used: weather (no column was found for returns: if one of these is that, rename it)" in out


def test_a_currency_without_a_rate_is_one_sentence_and_the_others_stand(planner, files):
    out = " ".join(planner("offers", files / "offers.csv").output.split())
    assert "row 4: found amounts in GBP and no rate for it" in out
    assert "Anvil Row" in out


def test_a_job_brings_rates_dates_counts_readings_and_materials(planner, files):
    out = planner("offers", files / "offers.csv", "--job", files / "hoop.toml").output
    flat = " ".join(out.split())
    assert "too-late: Ordered today it comes on 2030-04-10, 40 days after it is needed" in flat
    assert "several-lots" in flat
    assert "What the material gets you: Pulley blue, uncoated, SS20" in flat
    assert "is enough" in flat or "Here lead crystal is worth it" in flat


def test_json_has_exact_money_and_every_question(planner, files):
    data = json.loads(planner("offers", files / "offers.csv", "--rate", "GBP=1.2", "--json").output)
    assert data["schema"] == "planner offers 1"
    (blue,) = [one for one in data["offers"] if one["what"] == "pulley-blue + none, SS20"]
    first = blue["offers"][0]
    assert (first["seller"], first["landed"], first["per_gross"]) == ("Cleat Row", "1.20", "1.20")
    dear = next(one for one in blue["offers"] if one["seller"] == "Batten Row")
    assert dear["not_said"] == ["shipping", "duty", "tax", "handling"]
    assert {one["code"] for one in dear["ask"]} == {"another-material", "before-import"}


def test_the_csv_acts_on_nothing_and_is_never_overwritten(planner, files):
    target = files / "out.csv"
    planner("offers", files / "offers.csv", "--csv", target)
    with target.open(encoding="utf-8-sig", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert [row["landed"] for row in rows if row["seller"] == "Anvil Row"] == ["15.00"]
    assert {"'=1+2"} == {row["seller"] for row in rows if "1+2" in row["seller"]}
    assert (
        "found a file of that name"
        in planner("offers", files / "offers.csv", "--csv", target, status=2).output
    )


def test_bands_are_off_until_named_or_kept(planner, files, monkeypatch):
    (files / "low.csv").write_text(HEAD + CHEAP.replace("12.00", "1.00"))
    assert "Prices were not compared with usual ones" in " ".join(
        planner("offers", files / "low.csv").output.split()
    )
    out = planner("offers", files / "low.csv", "--bands", demo() / "price_bands.csv").output
    assert "price-far-under: It costs 0.10 EUR a gross" in " ".join(out.split())
    own = files / "data" / "coated-stone-planner" / "palettes"
    own.mkdir(parents=True)
    (own / "price_bands.csv").write_text((demo() / "price_bands.csv").read_text())
    monkeypatch.setenv("XDG_DATA_HOME", str(files / "data"))
    assert "price-far-under" in planner("offers", files / "low.csv").output


def test_only_what_was_named_is_shown(planner, files):
    out = planner("offers", files / "offers.csv", "--stone", "pulley-blue", "--size", "SS16").output
    assert "SS16" in out
    assert "Anvil Row" not in out


BAD = {
    "no such file": (["none.csv"], "there is no such file"),
    "no such stone": (["offers.csv", "--stone", "pully"], '--stone: found "pully"; there is no such stone'),
    "none of it": (["offers.csv", "--stone", "tackle-jet"], "found no offer of tackle-jet among 4"),
    "a rate of nothing": (["offers.csv", "--rate", "GBP=0"], "--rate: found"),
    "a rate without a code": (["offers.csv", "--rate", "1.2"], "--rate: found"),
    "a rate of no currency": (["offers.csv", "--rate", "XXQ=1"], '--rate: found "XXQ"; there is no such'),
    "no currency": (["offers.csv", "--currency", "XQQ"], "--currency: found"),
    "no rate for any": (["offers.csv", "--currency", "SEK"], "no offer is left"),
    "no job": (["offers.csv", "--job", "none.toml"], "there is no such file"),
    "bands that are none": (["offers.csv", "--bands", "offers.csv"], "found no column"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_input_is_one_sentence(planner, files, name):
    args, said = BAD[name]
    out = planner(
        "offers", *[files / one if one.endswith((".csv", ".toml")) else one for one in args], status=2
    ).output
    assert said in out
    assert len(out.strip().splitlines()) == 1


def test_a_day_in_the_past_is_told(planner, files):
    (files / "hoop.toml").write_text(JOB.replace("2030-03-01", "2029-03-01"))
    out = " ".join(planner("offers", files / "offers.csv", "--job", files / "hoop.toml").output.split())
    assert "field event: found 2029-03-01, which is past" in out
    assert "too-late" not in out


def test_the_demos_offers_serve_the_demos_job(planner):
    rates = (
        "--rate",
        "GBP=1.17",
        "--rate",
        "USD=0.92",
        "--palettes",
        demo(),
        "--bands",
        demo() / "price_bands.csv",
    )
    out = planner("offers", demo() / "offers.csv", "--stone", "treadle-blue", *rates).output
    assert "price-far-under" in out
    assert "former-price" in out
