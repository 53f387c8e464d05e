"""Taking a swatch in on the command line: what is said, what is kept, and how it is used after."""

import json

import pytest
from click.testing import CliRunner
from PIL import Image

from planner.catalogue import read_palette_file
from planner.cli import main


def take(*args, status=0):
    result = CliRunner().invoke(main, ["swatch", *map(str, args)])
    assert result.exit_code == status, result.output
    return result


def test_a_typed_colour_is_told_in_words_and_figures():
    shown = " ".join(take("type", "lab 34 12 -46").stdout.split())
    assert shown.startswith("Strong blue")
    assert "L* 34.0, a* 12.0, b* -46.0" in shown
    assert "±1.0 ΔE00" in shown
    assert "at arm's length, and from the seats" in shown
    assert "from the seats, not at arm's length" in " ".join(take("type", "2a4b9c").stdout.split())


def test_json_says_the_same():
    data = json.loads(take("type", "lab 34 12 -46", "--json").stdout)
    assert data["schema"] == "planner swatch 1"
    assert data["lab"] == [34, 12, -46]
    assert data["can_decide"] == {"arm": True, "seats": True}
    assert len(data["reflectance"]) == 81
    assert len(data["covariance_lab"]) == 3


def test_a_kept_swatch_is_used_like_any_other(planner, palettes, tmp_path):
    own = tmp_path / "own.toml"
    take("type", "lab 34 12 -46", "--save", "Hoop blue", "--to", own)
    own.write_text(own.read_text() + (palettes / "few.toml").read_text())
    shown = planner(
        "try", "--stone", "pulley-blue", "--coating", "none", "--size", "SS20", "--swatch", "hoop-blue",
        "--venue", "noon", "--palettes", own,
    ).stdout  # fmt: skip
    assert "Hoop blue" in shown
    assert "swatch estimated" in " ".join(shown.split())


def test_keeping_adds_and_never_replaces(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text('# Mine.\n[[swatch]]\nid = "one"\nname = "One"\nbasis = "invented"\ncolour = "#102030"\n')
    take("type", "2a4b9c", "--save", "two", "--to", own)
    assert own.read_text().startswith("# Mine.\n")
    assert [one.id for one in read_palette_file(own).entries] == ["one", "two"]
    before = own.read_text()
    said = take("type", "2a4b9c", "--save", "two", "--to", own, status=2).stderr
    assert 'you have a swatch called "two" already' in said
    assert "--replace" in said
    assert own.read_text() == before
    take("type", "Royal blue", "--save", "TWO", "--replace", "--to", own)
    take("type", "2a4b9c", "--save", "Ärmel, links", "--to", own)
    found = read_palette_file(own).entries
    assert [(one.id, one.name) for one in found] == [
        ("one", "One"), ("two", "TWO"), ("armel-links", "Ärmel, links"),
    ]  # fmt: skip


def test_a_fluorescent_swatch_is_not_predicted_under_lamps(planner, palettes, tmp_path):
    own = tmp_path / "own.toml"
    take("type", "lab 95 -60 110", "--fluorescent", "--save", "neon", "--to", own)
    own.write_text(own.read_text() + (palettes / "few.toml").read_text())
    pairing = ("--stone", "pulley-blue", "--coating", "none", "--size", "SS20", "--swatch", "neon")
    for venue, declined in (("theatre", True), ("noon", False)):
        data = json.loads(planner("try", *pairing, "--venue", venue, "--palettes", own, "--json").stdout)
        assert ("fluoresces" in (data["cannot_tell"] or "")) == declined


KINDS = {
    "satin": ("Satin shines white", ()),
    "velvet": ("Velvet is darker", ()),
    "metallic": ("A metallic cloth mirrors its lamps", ()),
    "sheer": (
        "read over white paper, here it lies over dark skin (it lets through 30 %)",
        ("--backing", "dark skin", "--read-over", "white-paper", "--lets-through", "0.3"),
    ),
    "two-tone": ("Against its first colour the stone is", ("--second", "lab 40 50 20")),
}


@pytest.mark.parametrize("kind", KINDS)
def test_what_a_kind_of_cloth_does_is_told_by_try_and_counted(kind, planner, palettes, tmp_path):
    says, options = KINDS[kind]
    own = tmp_path / "own.toml"
    take("type", "lab 70 5 15", "--kind", kind, *options, "--save", "hoop", "--to", own)
    take("type", "lab 70 5 15", "--save", "plain", "--to", own)
    assert read_palette_file(own).entries[0].cloth.kind == kind
    own.write_text(own.read_text() + (palettes / "few.toml").read_text())
    pairing = ("--stone", "pulley-blue", "--coating", "none", "--size", "SS20", "--venue", "theatre")
    asked = (*pairing, "--palettes", own, "--grade", "quick")
    shown = " ".join(planner("try", *asked, "--swatch", "hoop").stdout.split())
    assert says in shown
    assert "Your swatch: typed as CIELAB 70, 5, 15 (D65, 2°)" in shown
    data, plain = (
        json.loads(planner("try", *asked, "--swatch", one, "--json").stdout) for one in ("hoop", "plain")
    )
    assert any(says in one for one in data["known"]["words"])
    assert data["inputs"]["swatch"]["cloth"]["kind"] == kind
    assert plain["inputs"]["swatch"]["cloth"] is None
    assert data["known"]["swatch"]["dE00"] > plain["known"]["swatch"]["dE00"]
    if kind in {"satin", "velvet", "metallic"}:
        assert data["known"]["swatch"]["of_it_cloth_turning"] > 1


def test_neon_cloth_is_not_ranked_for_under_lamps(planner, palettes, tmp_path):
    own = tmp_path / "own.toml"
    take("type", "lab 95 -60 110", "--fluorescent", "--save", "neon", "--to", own)
    own.write_text(own.read_text() + (palettes / "few.toml").read_text())
    asked = ("--swatch", "neon", "--palettes", own)
    result = CliRunner().invoke(main, ["match", "--size", "SS20", *map(str, asked), "--venue", "theatre"])
    assert result.exit_code == 2
    (sentence,) = result.stderr.splitlines()
    assert "fluoresces, so no pairing can be ranked for it in" in sentence
    pairing = ("--stone", "pulley-blue", "--coating", "none", "--size", "SS20", *asked)
    compared = planner("venue", "compare", *pairing, "--venue", "noon", "--venue", "theatre").stdout
    assert "can't tell" in compared
    data = json.loads(planner("try", *pairing, "--venue", "theatre", "--json").stdout)
    assert data["drift"] is data["lots"] is data["holds"] is data["swatch"] is None
    assert data["glow"]["name"]


@pytest.fixture
def photograph(tmp_path):
    """A blue cloth beside white paper on brown, as an even picture would show them."""
    image = Image.new("RGB", (400, 300), (90, 70, 55))
    image.paste((225, 226, 232), (30, 60, 150, 250))
    image.paste((45, 75, 150), (200, 50, 370, 260))
    image.save(tmp_path / "photo.png")
    return tmp_path / "photo.png"


def test_a_photograph_is_read_where_the_planner_looks_or_is_told_to(photograph):
    shown = " ".join(take("photo", photograph, "--light", "daylight").stdout.split())
    assert "blue" in shown.lower()
    assert "photographed in daylight beside white paper; estimated" in shown
    assert "from the seats, not at arm's length" in shown
    assert "correct them with --cloth and --white" in shown
    places = ("--cloth", "210,60,100,100", "--white", "40,80,80,80")
    data = json.loads(take("photo", photograph, *places, "--json").stdout)
    assert data["photographs"][0]["cloth"] == [210, 60, 100, 100]
    assert data["can_decide"]["arm"] is False
    assert data["within_dE00_nine_in_ten"] > data["uncertainty_dE00"]


def test_two_photographs_and_a_card_are_kept_with_how_it_was_got(photograph, tmp_path):
    own = tmp_path / "own.toml"
    take("photo", photograph, photograph, "--grey", "0.8", "--kind", "satin", "--save", "hoop", "--to", own)
    (kept,) = read_palette_file(own).entries
    assert kept.basis == "estimated"
    assert kept.uncertainty > 2
    assert kept.how == "2 photographs, photographed in light of an unknown kind beside grey card, satin cloth"


def test_a_photograph_that_cannot_be_read_is_one_sentence(photograph, tmp_path):
    text = tmp_path / "text.jpg"
    text.write_text("Dear all,")
    for args, says in (
        ([text], "no picture that can be read"),
        ([photograph, "--white", "210,60,100,100", "--cloth", "40,80,80,80"], "white paper is nearly black"),
        ([photograph, "--white", "1,2,3"], "x,y,w,h in whole pixels"),
        ([photograph, photograph, "--white", "40,80,80,80"], "found 1 for 2 photographs"),
        ([photograph, "--grey", "18"], "a card's reflectance must be a number"),
    ):
        (sentence,) = take("photo", *args, status=2).stderr.splitlines()
        assert says in sentence


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["type", "xqzvw"], "COLOUR: found 'xqzvw'"),
        (["type", "lab 95 -60 110"], "COLOUR: No reflecting surface"),
        (["type", "2a4b9c", "--illuminant", "D66"], "found illuminant 'D66'"),
        (["type", "2a4b9c", "--kind", "wool"], 'found "wool", which is no kind of cloth'),
        (["type", "2a4b9c", "--kind", "sheer"], "say what it is worn over"),
        (["type", "2a4b9c", "--second", "102030"], "--second belongs to a --kind of cloth"),
        (["type", "2a4b9c", "--kind", "satin", "--backing", "xqzvw"], "--backing: found 'xqzvw'"),
        (["type", "2a4b9c", "--kind", "satin", "--second", "102030"], "only a two-tone one has it"),
        (
            ["type", "2a4b9c", "--to", "x.toml"],
            "--to: belongs to what is kept",
        ),
        (["type", "2a4b9c", "--save", "?!", "--to", "x.toml"], "letters or digits"),
        (["typ"], "did you mean type?"),
    ],
)
def test_bad_input_is_one_sentence_and_status_2(args, says):
    result = take(*args, status=2)
    assert result.stdout == ""
    (sentence,) = result.stderr.splitlines()
    assert says in sentence


def test_a_measured_cloth_is_kept_with_its_spectrum(tmp_path):
    table, own = tmp_path / "hoop.csv", tmp_path / "own.toml"
    lines = [f"{nm};{0.1 + 0.3 * (nm > 580):.2f}".replace(".", ",") for nm in range(400, 701, 10)]
    table.write_text("nm;R\n" + "\n".join(lines))
    shown = " ".join(take("measured", table, "--save", "hoop-red", "--to", own).stdout.split())
    assert "measured every 10 nm; measured." in shown
    assert "at arm's length, and from the seats" in shown
    assert "since its spectrum was measured" in shown
    (kept,) = read_palette_file(own).entries
    assert kept.basis == "measured"
    assert len(kept.spectrum) == 81
    (sentence,) = take("measured", tmp_path / "none.csv", status=2).stderr.splitlines()
    assert "there is no such file" in sentence
