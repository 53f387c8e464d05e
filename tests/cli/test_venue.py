"""Venues from the command line: made from words, shown, kept, compared."""

import json

import pytest
from click.testing import CliRunner

from planner.catalogue import load, read_palette_file
from planner.cli import main
from planner.data import demo

HALL = ("--lamp", "halogen 3200 front 400 lx", "--lamp",
        "LED 5600 overhead array 300 lx", "--surround", "dim", "--floor", "pale wood")  # fmt: skip


def run(*args, status=0):
    result = CliRunner().invoke(main, ["venue", *map(str, args)])
    assert result.exit_code == status, result.output
    return result


def test_what_was_understood_is_shown():
    shown = run("make", *HALL).stdout
    flat = " ".join(shown.split())
    assert "halogen 3200 K, front: 3200 K, colour rendering excellent (Ra 100)" in flat
    assert "phosphor LED 5600 K, overhead array: 5600 K" in flat
    assert "bounce from the floor" in flat
    assert "are 35° apart" in flat
    assert max(map(len, shown.splitlines())) <= 80


def test_json_says_the_same():
    data = json.loads(run("make", *HALL, "--json").stdout)
    assert data["schema"] == "planner venue 1"
    assert sum(one["share"] for one in data["lights"]) == pytest.approx(1.0, abs=1e-3)
    assert data["lights"][0]["kelvin"] == pytest.approx(3200, abs=1)
    assert data["lamp_eye_degrees"] == pytest.approx(35.0)
    assert data["sparkles"] is True
    assert data["saved"] is None


def test_large_soft_light_makes_no_sparkle():
    data = json.loads(run("make", "--lamp", "open sky 6500 8000 lx", "--json").stdout)
    assert data["sparkles"] is False
    assert data["lamp_eye_degrees"] is None


def test_a_venue_is_kept_beside_what_a_person_wrote(tmp_path):
    path = tmp_path / "ours.toml"
    text = (
        '# Ours, by hand.\n\n[[swatch]]\nid = "a"  # the blue one\nname = "A"\n'
        'basis = "estimated"\ncolour = "#102030"\n'
    )
    path.write_text(text, encoding="utf-8")
    run("make", *HALL, "--save", "Town hall", "--to", path)
    assert path.read_text(encoding="utf-8").startswith(text)
    venue = load(path).venues["town-hall"]
    assert (venue.basis, len(venue.lights)) == ("estimated", 2)
    assert venue.lights[0].spectrum.lamp.kind == "halogen"
    again = run("make", *HALL, "--save", "Town hall", "--to", path, status=2)
    assert "already" in again.stderr
    assert len(read_palette_file(path).entries) == 2
    shown = CliRunner().invoke(main, ["list", "venues", "--palettes", str(path)]).stdout
    assert "halogen 3200 K" in " ".join(shown.split())
    assert "Town hall (estimated)" in run("show", "town-hall", "--palettes", path).stdout


def test_without_a_file_it_is_kept_where_every_command_looks():
    said = " ".join(run("make", *HALL, "--save", "Town hall").stdout.split())
    assert said.endswith("Use it with --venue town-hall.")
    assert "Town hall (estimated)" in run("show", "town-hall").stdout
    assert "already" in run("make", *HALL, "--save", "Town hall", status=2).stderr
    # An id of the demo's would stop every command from reading either.
    assert "such as My theatre" in run("make", *HALL, "--save", "theatre", status=2).stderr
    assert "Theatre" in run("show", "theatre").stdout


def test_in_a_folder_of_its_own_it_says_what_to_add(tmp_path):
    said = " ".join(
        run("make", *HALL, "--save", "Town hall", "--to", tmp_path / "venues.toml").stdout.split()
    )
    assert f"--venue town-hall --palettes {tmp_path}," in said


def test_every_venue_of_the_demo_can_be_shown():
    for name in load(demo()).venues:
        data = json.loads(run("show", name, "--json").stdout)
        assert data["together"]["lux_on_cloth"] > 0


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["make", "--lamp", "halogen frnt 20 lx"], ('"frnt" was not understood', "front")),
        (["make", "--lamp", "halogen front 20 lx", "--to", "a.toml"], ("--to:", "--save")),
        (["make"], ("surround", "no lamp at all")),
        (["show", "gmy"], ("no such venue", "gym")),
        (["compare", "--venue", "gym"], ("--stone: is missing",)),
        (["compare", "--stone", "pulley-blue", "--coating", "none", "--swatch", "leotard-blue"],
         ("found 0", "from 2 to 4 venues")),
    ],
)  # fmt: skip
def test_what_was_typed_wrong_is_one_sentence(args, words):
    result = run(*args, status=2)
    assert len(result.stderr.splitlines()) == 1
    for word in words:
        assert word in result.stderr


def compare(palettes, *args):
    return run("compare", *args, "--palettes", palettes)


def test_a_pairing_side_by_side(palettes):
    pair = ("--stone", "marlinspike-navy", "--coating", "none", "--swatch", "leotard-blue")
    args = (*pair, "--venue", "theatre", "--venue", "noon")
    shown = compare(palettes, *args).stdout
    for label in ("looks", "ΔE00", "sparkle", "batches that do", "answer"):
        assert f"\n{label}" in shown
    assert max(map(len, shown.splitlines())) <= 80
    data = json.loads(compare(palettes, *args, "--json").stdout)
    assert [one["id"] for one in data["venues"]] == ["theatre", "noon"]
    (row,) = data["pairings"]
    assert row["holds_in_all"] == all(one["holds"] for one in row["in"])
    assert row["in"][0]["drift"]["dE00"] != row["in"][1]["drift"]["dE00"]


def test_the_lines_of_a_job_that_hold_everywhere(palettes, tmp_path):
    path = tmp_path / "job.toml"
    line = '[[line]]\nstone = "{}"\nsize = "SS20"\n'
    path.write_text(
        'title = "Hoop"\nswatch = "leotard-blue"\nvenues = ["theatre", "noon"]\ntolerance = 15.0\n'
        + line.format("marlinspike-navy") + line.format("pelmet-clear"),
        encoding="utf-8",
    )  # fmt: skip
    data = json.loads(compare(palettes, "--job", path, "--json").stdout)
    assert len(data["pairings"]) == 2
    shown = compare(palettes, "--job", path).stdout
    kept = [str(at) for at, row in enumerate(data["pairings"], 1) if row["holds_in_all"]]
    assert "Good in all of them: " in shown
    assert all(at in shown.rsplit("Good in all of them: ", 1)[1] for at in kept)
