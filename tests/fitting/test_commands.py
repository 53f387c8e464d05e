"""The commands about samples: what is printed, saved, logged and refused."""

import json

import pytest

from planner.app.answer import answer_of
from planner.catalogue import load, new_palette_file, read_palette_file
from planner.data import demo
from planner.reading.matter import QUICK
from planner.reading.question import Question, typed_colour

CARD = ("coating", "look", "--on", "tackle-jet=5a5b9e", "--on", "shackle-red=d0507f")
CAME = ("arrived", "--stone", "pulley-blue", "--coating", "halyard-aurora", "--size", "SS20")
NEVER = ("coating", "look", "--on", "tackle-jet=ff1000", "--on", "shackle-red=00ff00")
KEEP = ("--save", "x", "--to", "y.toml")
BODY = ("stone", "look", "--material", "glass", "--cut", "twelve", "--size", "ss20")


@pytest.fixture(scope="module")
def few(tmp_path_factory):
    """Return a folder with one pairing and where to see it: nothing to rank."""
    whole = load(demo())
    file = new_palette_file(tmp_path_factory.mktemp("few") / "few.toml")
    for entry in (
        whole.stones["pulley-blue"], whole.coatings["halyard-aurora"], whole.venues["noon"],
        whole.cuts[whole.stones["pulley-blue"].cut], whole.swatches["leotard-blue"],
    ):  # fmt: skip
        file = file.with_entry(entry)
    return file.save().path.parent


def test_a_card_gives_films_and_the_next_sample(planner):
    data = json.loads(planner(*CARD, "--foresee", "baize-green", "--json").stdout)
    assert data["schema"] == "planner coating 1"
    assert sum(one["share"] for one in data["kinds"]) == pytest.approx(1.0, abs=0.01)
    assert data["foreseen"][0]["within_dE00"] > 0
    assert data["most_telling"][0]["bits"] >= data["most_telling"][1]["bits"]
    shown = planner(*CARD).stdout
    assert f"Of {data['films_tried']} films tried {data['films_left']} fit" in shown
    assert data["kinds"][0]["material"] in shown
    first = load(demo()).stones[data["most_telling"][0]["stone"]]
    assert f"a sample on {first.name}" in " ".join(shown.split()), "stones are named as people name them"


def test_what_is_saved_without_a_file_can_be_tried_at_once(planner, monkeypatch):
    # What else there is in the palette is another question, which takes longest.
    monkeypatch.setattr("planner.cli.trying.instead", lambda *_, **__: ())
    said = " ".join(planner(*BODY, "--colour", "12606b", "--save", "kelp-teal").stdout.split())
    assert said.endswith("Use it with --stone kelp-teal.")
    assert "kelp-teal" in planner("list", "stones").stdout
    assert "Use it with --coating locker-aurora" in " ".join(
        planner(*CARD, "--save", "locker-aurora").stdout.split()
    )
    shown = planner(
        "try", "--stone", "kelp-teal", "--coating", "none", "--size", "SS20", "--swatch", "2a4b9c",
        "--venue", "noon", "--grade", "quick",
    ).stdout  # fmt: skip
    assert "stone, cut and swatch estimated" in " ".join(shown.split())


def test_a_coating_is_saved_among_a_persons_comments(planner, tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text("# my own box\n", encoding="utf-8")
    planner(*CARD, "--save", "Locker aurora", "--to", mine)
    assert mine.read_text(encoding="utf-8").startswith("# my own box\n")
    entries = read_palette_file(mine).entries
    assert entries
    assert all(one.id.startswith("locker-aurora") and one.basis == "estimated" for one in entries)
    load(demo(), mine)
    again = planner(*CARD, "--save", "locker-aurora", "--to", mine, status=2)
    assert "already" in again.stderr


def test_a_stone_is_saved_and_can_be_read(planner, tmp_path):
    mine = tmp_path / "mine.toml"
    planner(*BODY, "--colour", "2746b4", "--save", "locker-blue", "--to", mine)
    assert load(mine).stones["locker-blue"].basis == "estimated"
    data = json.loads(planner(*BODY, "--colour", "2746b4", "--json").stdout)
    assert data["fits"] is True
    assert data["bodies"]
    planner(*BODY, "--colour", "2746b4", "--body", "smooth", "--save", "locker-smooth", "--to", mine)
    assert load(mine).stones["locker-smooth"].colour == "#2746b4"


def test_what_arrived_is_logged_and_told_in_the_next_reading(planner, few, tmp_path):
    job = tmp_path / "job.toml"
    job.write_text('title = "Hoop"\nswatch = "#2a4b9c"\nvenues = ["noon"]\n', encoding="utf-8")
    data = json.loads(planner(*CAME, "--seen", "3a80f0", "--job", job, "--json").stdout)
    assert data["follows"] == {"keep": True, "lines": [], "send_back_days": {}}
    assert data["track_record"]["count"] == 1
    assert (tmp_path / "arrivals.csv").exists()
    assert planner(*CAME, "--seen", "3a80f0", "--no-log", "--json")
    pairing = ("--stone", "pulley-blue", "--coating", "halyard-aurora", "--size", "SS20")
    there = ("--swatch", "leotard-blue", "--venue", "noon", "--grade", "quick", "--palettes", few)
    reading = json.loads(planner("try", *pairing, *there, "--json").stdout)
    assert reading["track_record"] == data["track_record"]
    assert "So far 1 such prediction (coated, coloured)" in planner("try", *pairing, *there).stdout
    whole = load(few)
    stone, paper = whole.stones["pulley-blue"], typed_colour("#2a4b9c")
    asked = Question(
        stone, whole.cuts[stone.cut], whole.coatings["halyard-aurora"], "SS20", paper, paper,
        whole.venues["noon"], 5.0,
    )  # fmt: skip
    assert any("So far 1 such prediction" in one for one in answer_of(asked, QUICK).notes)
    log = next((tmp_path / "own").rglob("arrivals.csv"))
    log.write_text("spoilt", encoding="utf-8")
    assert f"{log} line 1" in planner(*CAME, "--seen", "3a80f0", status=2).stderr
    reading = json.loads(planner("try", *pairing, *there, "--json").stdout)
    assert reading["track_record"] is None
    assert "log of arrivals is left out" in reading["notes"][0]
    assert log.read_text(encoding="utf-8") == "spoilt"


def test_a_lot_that_came_is_saved(planner, tmp_path):
    mine = tmp_path / "mine.toml"
    said = planner(*CAME, "--seen", "3a86fc", "--from", "photo", "--save", "second-box", "--to", mine).stdout
    assert "Use it with --coating second-box" in " ".join(said.split())
    assert "\\n" not in said, "where it is kept is wrapped twice"
    assert load(demo(), mine).coatings["second-box"].basis == "estimated"


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("coating", "look"), "--on: is missing"),
        (("coating", "look", "--on", "tackle-jet"), "STONE=COLOUR"),
        (("coating", "look", "--on", "tackle-jet="), "STONE=COLOUR"),
        (("coating", "look", "--on", "no-stone=2a4b9c"), "there is no such stone"),
        (("coating", "look", "--on", "tackle-jet=qwertz"), "is no colour"),
        ((*CARD, "--flash", "tackle-clear=blue"), "--venue: is missing"),
        ((*CARD, "--flash", "tackle-clear=brown", "--venue", "rink"), "main hue of a flash is one of"),
        ((*CARD, "--flash", "tackle-clear=blue", "--venue", "noon"), "no small lamp"),
        ((*CARD, "--foresee", "nothing"), "--foresee"),
        ((*CARD, "--to", "y.toml"), "--to: belongs to what is kept"),
        ((*CARD, "--save", "!", "--to", "y.toml"), "letters or digits"),
        ((*CARD, "--save", "x" * 90, "--to", "y.toml"), "80"),
        ((*CARD, "--replace"), "--replace: belongs to what is kept"),
        ((*BODY, "--colour", "2746b4", "--save", "\x1b[2J"), "one line"),
        ((*BODY, "--colour", "2746b4", "--save", "x", "--to", "no/such/folder.toml"), "cannot be written"),
        ((*CAME[:2], "pelmet-clear", "--coating", "lining-aurora", "--size", "SS20", "--seen", "3a86fc"),
         "lies under a foil"),
        ((*BODY, "--colour", "blue"), "family alone"),
        ((*BODY, "--colour", "ff2010", "--from", "measured", *KEEP), "no body gives"),
        ((*BODY, "--colour", "2746b4", "--body", "gold"), "it may be"),
        ((*CAME, "--seen", "blue", "--no-log"), "family alone"),
        ((*CAME, "--seen", "3a86fc", "--job", "missing.toml"), "no such file"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_said_in_one_sentence(planner, tmp_path, monkeypatch, args, said):
    monkeypatch.chdir(tmp_path)
    result = planner(*args, status=2)
    assert said in result.stderr
    assert result.stderr.count("\n") == 1
    assert result.stdout == ""
    assert not list(tmp_path.glob("*.toml"))
    assert not list(tmp_path.rglob("arrivals.csv"))


def test_colours_that_no_film_gives_are_shown_with_the_nearest(planner):
    shown = planner(*NEVER).stdout
    assert "gives just that: the nearest is off by" in shown.replace("\n", " ")
    assert "misses your colours by: Tackle jet ΔE00" in shown.replace("\n", " ")


def test_a_stone_kept_in_a_folder_of_its_own_brings_its_cut(planner, tmp_path):
    """A folder named by --palettes takes the place of the demo, where the cut is."""
    mine = tmp_path / "mine"
    mine.mkdir()
    keep = ("--to", mine / "stones.toml")
    said = " ".join(planner(*BODY, "--colour", "12606b", "--save", "kelp-teal", *keep).stdout.split())
    assert "Its cut twelve was copied there too" in said
    assert "kelp-teal" in planner("list", "stones", "--palettes", mine).stdout
    again = planner(*BODY, "--colour", "20606b", "--save", "kelp-two", *keep).stdout
    assert "copied" not in again
    assert "kelp-two" in planner("list", "stones", "--palettes", mine).stdout
    lot = ("--stone", "pulley-blue", "--coating", "none", "--size", "SS20", "--seen", "2a6dff", "--no-log")
    planner("arrived", *lot, "--save", "blue-lot", *keep)
    assert "blue-lot" in planner("list", "stones", "--palettes", mine).stdout


def test_a_stone_beside_a_job_or_in_the_own_folder_brings_no_second_cut(planner, tmp_path):
    planner(*BODY, "--colour", "12606b", "--save", "kelp-teal")
    beside = tmp_path / "hoop.palette.toml"
    planner(*BODY, "--colour", "12606b", "--save", "kelp-two", "--to", beside)
    assert [one.id for one in read_palette_file(beside).entries] == ["kelp-two"]
    assert "kelp-teal" in planner("list", "stones").stdout


def test_a_path_cannot_steer_the_terminal(planner, tmp_path):
    shown = planner(*BODY, "--colour", "12606b", "--save", "kelp-teal", "--to", tmp_path / "a\x1b[2J.toml")
    assert "\x1b" not in shown.stdout
    assert "\\x1b[2J.toml" in "".join(shown.stdout.split())
