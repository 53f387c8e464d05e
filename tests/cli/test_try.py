"""One full reading: its text, its JSON, and what is refused."""

import json
import math
from itertools import pairwise

import pytest

from planner.cli import trying
from planner.cli.text import tell_in_turn
from planner.reading.warn import CODES
from planner.refusal import Refusal
from planner.say.document import Sentence, document

BLUE = ("--stone", "pulley-blue", "--coating", "none", "--size", "SS20")
COATED = ("--stone", "pulley-blue", "--coating", "halyard-aurora", "--size", "ss 20")
THERE = ("--swatch", "leotard-blue", "--venue", "theatre")
JET = ("--stone", "tackle-jet", "--coating", "none", "--size", "SS20")
NEAR = (*THERE, "--distance", "3")  # black on blue is seen as such from here
NUMBER = (int, float)


@pytest.fixture
def reading(planner):
    """Return a function that gives a reading as JSON."""

    def run(*args):
        result = planner("try", *args, "--json")
        assert result.stderr == ""
        assert "NaN" not in result.stdout
        assert "Infinity" not in result.stdout
        return json.loads(result.stdout)

    return run


def with_option(args, name, value):
    """Return a command line in which an option has another value."""
    args = list(args)
    if name in args:
        args[args.index(name) + 1] = value
        return args
    return [*args, name, value]


def test_json_has_every_key_with_its_type(reading):
    data = reading(*COATED, *THERE)
    assert data["schema"] == "planner reading 1"
    assert data["inputs"]["stone"]["id"] == "pulley-blue"
    assert data["inputs"]["coating"]["id"] == "halyard-aurora"
    assert data["inputs"]["size"] == "SS20"
    assert data["inputs"]["distance_m"] == 15
    assert data["inputs"]["cloth"] == data["inputs"]["swatch"]
    for name in ("glow", "uncoated", "swatch", "cloth"):
        colour = data[name]
        assert len(colour["lab"]) == 3
        assert all(isinstance(one, NUMBER) and math.isfinite(one) for one in colour["lab"])
        assert isinstance(colour["name"], str)
        assert len(colour["hex"]) == 7
    for name in ("shift", "drift"):
        assert {"dE00", "dL", "dC", "dh", "words"} <= set(data[name])
        assert isinstance(data[name]["dE00"], NUMBER)
        assert data[name]["words"]
    for measure in ("by_luminance", "by_number"):
        shares = data["flash"][measure]
        assert sum(shares.values()) == pytest.approx(1.0, abs=0.01)
        assert all(share > 0 for share in shares.values())
    assert isinstance(data["field"]["merge_m"], NUMBER)
    assert len(data["field"]["lab"]) == 3
    assert data["sparkle"]["per_stone"] > 0
    lots = data["lots"]
    assert 0 <= lots["within_tolerance"] <= 1
    assert 0 <= lots["same_hue_family"] <= 1
    assert all(low <= high for low, high in pairwise(lots["dE00"]))
    assert len(lots["dE00"]) == 3
    for one in data["warnings"]:
        assert one["code"] in CODES
        assert one["severity"] in {"severe", "caution", "note"}
        assert one["text"]
        assert one["do"]
    assert data["cannot_tell"] is None
    parts = ("stone", "coating", "swatch", "cloth", "venue")
    assert data["basis"] == {**dict.fromkeys(parts, "invented"), "cut": "estimated"}
    assert data["notes"] == []
    assert data["picture"] is None


def test_a_pairing_that_fails_names_others_that_do_better(reading):
    data = reading(*JET, *NEAR)
    assert any(one["severity"] == "severe" for one in data["warnings"])
    assert data["instead"]
    for other in data["instead"]:
        assert other["drift"]["dE00"] < data["drift"]["dE00"]
        assert (other["stone"]["id"], other["coating"]) != ("tackle-jet", None)


def test_what_is_said_in_words_is_what_the_figures_say(planner, reading):
    data = reading(*COATED, *THERE)
    shown = planner("try", *COATED, *THERE).stdout
    flat = " ".join(shown.split())
    assert data["sentence"] in flat
    for part in data["figures"].removesuffix(".").split("; "):
        assert part in flat
    for one in data["warnings"]:
        assert f"{one['severity']} " in shown
        assert one["text"] in flat
        assert f"What to do: {one['do']}" in flat
    for other in data["instead"]:
        assert f"--stone {other['stone']['id']} --coating " in shown
    assert "Basis: stone, coating, swatch and venue invented; cut estimated." in shown
    assert "What is invented is there to show how to choose" in flat
    assert max(map(len, shown.splitlines())) <= 80
    order = [flat.index(word) for word in (data["sentence"], " Warnings ", " Figures ", " Basis: ", " Next ")]
    assert order == sorted(order)


def test_the_next_command_can_be_typed(planner):
    asked = (*JET, *NEAR, "--tolerance", "12")
    shown = planner("try", *asked).stdout
    best = json.loads(planner("try", *asked, "--json").stdout)["instead"][0]["stone"]["name"]
    told = shown.split("in full:\n")[1].split("\nRank")[0].replace("\\\n", " ").split()
    assert told[:2] == ["planner", "try"]
    assert "--tolerance" in told
    assert "--distance" in told
    assert planner(*told[1:]).stdout.startswith(best)


def test_the_same_question_has_the_same_answer(planner):
    assert planner("try", *COATED, *THERE).stdout == planner("try", *COATED, *THERE).stdout


def test_fine_is_the_usual_grade_and_agrees_with_quick(planner, reading):
    there = ("--swatch", "leotard-blue", "--venue", "noon")
    quick = reading(*BLUE, *there)
    fine = json.loads(planner("try", *BLUE, *there, "--json", quick=False).stdout)
    assert (quick["inputs"]["grade"], fine["inputs"]["grade"]) == ("quick", "fine")
    assert fine["drift"]["dE00"] == pytest.approx(quick["drift"]["dE00"], abs=1.0)


def test_an_id_wins_over_a_hex_that_looks_like_one(reading):
    by_id, by_hash = (reading(*BLUE, "--swatch", one, "--venue", "noon") for one in ("2a4b9c", "#2a4b9c"))
    assert (by_id["inputs"]["swatch"]["id"], by_id["inputs"]["swatch"]["name"]) == ("2a4b9c", "Red")
    assert by_id["swatch"]["family"] == "red"
    assert (by_hash["inputs"]["swatch"]["id"], by_hash["inputs"]["swatch"]["name"]) == (None, "#2a4b9c")
    assert by_hash["swatch"]["family"] == "blue"
    assert (by_id["basis"]["swatch"], by_hash["basis"]["swatch"]) == ("invented", "estimated")


def test_typed_digits_need_no_hash(reading):
    with_hash, without = (
        reading(*BLUE, "--swatch", text, "--venue", "noon") for text in ("#2a4b9d", "2A4B9D")
    )
    assert with_hash == without


def test_hue_is_null_where_there_is_none(reading):
    data = reading("--stone", "tackle-jet", "--coating", "none", "--size", "SS20", "--swatch", "drape-black",
                   "--venue", "theatre")  # fmt: skip
    assert data["drift"]["dh"] is None
    assert data["basis"]["coating"] is None
    assert data["inputs"]["coating"] is None


def test_flash_is_null_where_no_lamp_is_small(planner, reading):
    args = (*BLUE, "--swatch", "leotard-blue", "--venue", "noon")
    data = reading(*args)
    assert (data["flash"], data["sparkle"]) == (None, None)
    assert "The light here is soft" in " ".join(planner("try", *args).stdout.split())


def test_cloth_cover_and_distance_are_taken(reading):
    data = reading(*BLUE, *THERE, "--cloth", "drape-black", "--cover", "0", "--distance", "0.5")
    assert data["inputs"]["cloth"]["id"] == "drape-black"
    assert data["field"]["lab"] == pytest.approx(data["cloth"]["lab"], abs=1e-3)
    assert data["flash"]["told_by"] == "facet"


def test_a_size_that_is_not_offered_is_a_note(planner, reading):
    args = with_option(BLUE, "--size", "SS48")
    assert "you may not find it in SS48" in reading(*args, *THERE)["notes"][0]
    assert "Note: Pulley blue comes in SS" in planner("try", *args, *THERE).stdout


def test_a_swatch_known_too_badly_is_said(planner, palettes, tmp_path):
    for file in palettes.iterdir():
        text = file.read_text().replace("uncertainty = 1.0", "uncertainty = 40.0")
        (tmp_path / file.name).write_text(text)
    args = (
        "--stone",
        "pulley-blue",
        "--coating",
        "none",
        "--size",
        "SS20",
        *THERE,
        "--palettes",
        tmp_path,
    )
    data = json.loads(planner("try", *args, "--json").stdout)
    assert data["cannot_tell"].startswith("I can't tell: your swatch's colour is not known closely")
    flat = " ".join(planner("try", *args).stdout.split())
    assert data["cannot_tell"] in flat


@pytest.mark.parametrize(
    ("name", "value", "begins", "holds"),
    [
        ("--stone", "pully-blue", '--stone: found "pully-blue"', "did you mean Pulley blue (pulley-blue)"),
        ("--stone", "pully-blue", '--stone: found "pully-blue"', "planner list stones shows all"),
        ("--coating", "non", '--coating: found "non"', "uncoated is none"),
        ("--coating", "zzz", '--coating: found "zzz"', "halyard-aurora"),
        ("--venue", "rnk", '--venue: found "rnk"', "(rink)"),
        ("--size", "20", '--size: found "20"', "SS20"),
        ("--size", "SS21x", '--size: found "SS21x"', "SS20"),
        ("--size", "SS19", '--size: found "SS19"', "nearest known"),
        ("--swatch", "leotard-blu", '--swatch: found "leotard-blu"', '"leotard-blue"'),
        ("--swatch", "#12345", '--swatch: found "#12345"', "six hexadecimal digits"),
        ("--swatch", "", '--swatch: found ""', "neither a swatch nor a colour"),
        ("--cloth", "nothing", '--cloth: found "nothing"', "neither a swatch nor a colour"),
        ("--distance", "0", "--distance: found 0", "above 0"),
        ("--distance", "-3", "--distance: found -3", "above 0"),
        ("--distance", "nan", '--distance: found "nan"', "above 0"),
        ("--distance", "1e999", '--distance: found "1e999"', "at most 500 m"),
        ("--distance", "far", '--distance: found "far"', "must be a number"),
        ("--cover", "1.1", "--cover: found 1.1", "at most 1"),
        ("--cover", "-0.1", "--cover: found -0.1", "at least 0"),
        ("--cover", "nan", '--cover: found "nan"', "at least 0"),
        ("--tolerance", "near", '--tolerance: found "near"', "arm, seats, family"),
        ("--tolerance", "0", '--tolerance: found "0"', "above 0"),
        ("--tolerance", "nan", '--tolerance: found "nan"', "above 0"),
        ("--wish", "shine", '--wish: found "shine"', "contrast"),
        ("--grade", "best", '--grade: found "best"', "fine"),
        ("--picture", "here.jpg", "--picture: here.jpg: ", "ends in .png"),
        ("--picture", "no/such/folder/x.png", "--picture: no/such/folder/x.png: ", "there is no folder"),
    ],
)  # fmt: skip
def test_what_is_refused_is_one_sentence(planner, name, value, begins, holds):
    result = planner("try", *with_option([*BLUE, *THERE], name, value), status=2, quick=name != "--grade")
    assert result.stdout == ""
    (sentence,) = result.stderr.splitlines()
    assert sentence.startswith(begins)
    assert holds in sentence


def test_a_swatch_that_no_cloth_can_have_is_one_sentence(planner, palettes, tmp_path):
    for file in palettes.iterdir():
        (tmp_path / file.name).write_text(file.read_text().replace("38, 56, 30", "38, -120, 100"))
    args = (*BLUE, "--swatch", "2a4b9c", "--venue", "noon", "--palettes", tmp_path)
    (sentence,) = planner("try", *args, status=2).stderr.splitlines()
    assert "few.toml line" in sentence
    assert "No reflecting surface" in sentence


def test_a_film_under_a_foil_that_is_not_there_is_refused(planner):
    args = ("--stone", "pelmet-clear", "--coating", "lining-aurora", "--size", "SS20", *THERE)
    result = planner("try", *args, status=2)
    assert len(result.stderr.splitlines()) == 1
    assert result.stderr.startswith("--coating: ")
    assert "no foil" in result.stderr


def test_a_picture_is_drawn(planner, tmp_path):
    path = tmp_path / "blue.png"
    args = (*with_option(BLUE, "--stone", "tackle-jet"), "--swatch", "drape-black", "--venue", "noon")
    shown = planner("try", *args, "--cover", "0.02", "--picture", path).stdout
    assert f"Picture: {path}" in " ".join(shown.split())
    assert path.read_bytes().startswith(b"\x89PNG")


def test_json_says_where_the_picture_is(reading, tmp_path, monkeypatch):
    drawn = {}
    monkeypatch.setattr("planner.picture.sheet.write_picture", lambda one, path: drawn.update({path: one}))
    path = tmp_path / "blue.png"
    data = reading(*BLUE, "--swatch", "leotard-blue", "--venue", "noon", "--picture", path)
    assert data["picture"] == str(path)
    assert list(drawn) == [path]


def test_a_folder_is_no_picture(planner, tmp_path):
    (tmp_path / "x.png").mkdir()
    result = planner("try", *BLUE, *THERE, "--picture", tmp_path / "x.png", status=2)
    assert "found a folder" in result.stderr


def test_a_film_is_drawn_with_a_caution(planner, tmp_path, monkeypatch):
    path = tmp_path / "turning.webp"
    monkeypatch.setattr("planner.picture.film.write_film", lambda *given: given[1].write_bytes(b"x"))
    shown = planner("try", *BLUE, *THERE, "--film", path).stdout
    assert path.exists()
    assert "Light flashes in it" in " ".join(shown.split())
    refused = planner("try", *BLUE, *THERE, "--film", tmp_path / "turning.gif", status=2).stderr
    assert "--film" in refused
    assert "ends in .webp" in refused


def test_what_was_asked_stands_there_before_it_is_answered(planner, monkeypatch):
    def never(*_):
        raise Refusal("Nothing is looked at here.")

    whole = planner("try", *COATED, *THERE).stdout
    monkeypatch.setattr(trying, "assess_question", never)
    title = planner("try", *COATED, *THERE, status=2).stdout
    assert title.startswith("Pulley blue with the Halyard aurora film, SS20, to blend in with")
    assert whole.startswith(f"{title}\n")


def test_an_answer_is_printed_as_it_grows(capsys):
    def answers():
        yield document("A title", [])
        assert capsys.readouterr().out == "A title\n"
        yield document("A title", [Sentence("The first.")])
        assert capsys.readouterr().out == "\nThe first.\n"
        yield document("A title", [Sentence("The first."), Sentence("And the rest.")])

    tell_in_turn(answers())
    assert capsys.readouterr().out == "\nAnd the rest.\n"
