"""What there is to choose from, and copies of it to change."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from planner.catalogue import load, sources
from planner.cli import main

KINDS = {"stones": "stone", "coatings": "coating", "venues": "venue", "swatches": "swatch", "cuts": "cut"}


def run(*args):
    result = CliRunner().invoke(main, [str(one) for one in args])
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    return result.stdout


@pytest.mark.parametrize("plural", KINDS)
def test_every_entry_is_listed_with_id_name_and_basis(plural):
    shown = run("list", plural)
    entries = load(*sources()).entries(KINDS[plural])
    for one in entries.values():
        assert any(
            line.strip().startswith(f"{one.id} ") and line.endswith(f" {one.name} ({one.basis})")
            for line in shown.splitlines()
        )
    assert max(map(len, shown.splitlines())) <= 80
    assert ("invented, to try" in shown) == any(one.basis == "invented" for one in entries.values())
    assert shown == run("list", plural)


@pytest.mark.parametrize("plural", KINDS)
def test_json_has_every_field_and_where_it_stands(plural):
    data = json.loads(run("list", plural, "--json"))
    entries = load(*sources()).entries(KINDS[plural])
    assert data["kind"] == KINDS[plural]
    assert [one["id"] for one in data["entries"]] == list(entries)
    for one in data["entries"]:
        lines = Path(one["origin"]["file"]).read_text(encoding="utf-8").splitlines()
        assert lines[one["origin"]["line"] - 1] == f"[[{KINDS[plural]}]]"
        assert f'id = "{one["id"]}"' in lines[one["origin"]["line"] : one["origin"]["line"] + 3]
        assert one["about"]


def test_hers_come_first_and_the_demo_is_hidden_from_her_first_stone_on():
    """As on the screen of stones: one rule, one setting."""
    assert run("list", "stones").startswith("The demo's")
    said = " ".join(run("stone", "add", "Île bleue", "--colour", "royal blue", "--sizes", "20").split())
    assert "hidden from now on" in said
    shown = run("list", "stones")
    assert "Île bleue" in shown
    assert "pulley-blue" not in shown
    assert "--all lists them too" in shown
    every = run("list", "stones", "--all")
    assert every.index("Yours") < every.index("Île bleue") < every.index("pulley-blue")
    assert "theatre" in run("list", "venues"), "a hall is not hidden with the demo's stones"
    assert "hidden" not in run("stone", "add", "Rope green", "--sizes", "20"), "it is said once"
    run("demo", "--show")
    assert "pulley-blue" in run("list", "stones")


def test_what_matters_of_a_stone_is_said():
    shown = run("list", "stones")
    assert "cobalt, silver foil, 12 facets; in SS" in shown.split("pulley-blue")[1]
    assert "no foil, glued" in shown.split("pelmet-clear")[1].split("\n")[1]


def test_uncoated_is_mentioned_where_coatings_are_listed():
    assert "for that, say none" in run("list", "coatings")


def test_the_demo_can_be_written_changed_and_read_back(tmp_path):
    folder = tmp_path / "my palettes"
    said = run("demo", folder)
    for line in said.splitlines():
        if line.startswith(f"  {folder}"):
            assert (folder / line.strip()).is_file()
    assert f"--palettes '{folder}'" in said
    stones = folder / "stones.toml"
    stones.write_text(stones.read_text().replace('"Pulley blue"', '"Our blue"'))
    shown = run("list", "stones", "--origin", "--palettes", folder)
    assert "pulley-blue" in shown
    assert "Our blue (invented)" in shown
    assert f"{stones} line " in shown


def test_the_demo_never_overwrites(tmp_path):
    run("demo", tmp_path)
    stones = tmp_path / "stones.toml"
    stones.write_text("# mine\n")
    (tmp_path / "coatings.toml").unlink()
    result = CliRunner().invoke(main, ["demo", str(tmp_path)])
    assert result.exit_code == 2
    assert "is there already" in result.stderr
    assert stones.read_text() == "# mine\n"
    assert not (tmp_path / "coatings.toml").exists()


def test_a_folder_that_cannot_be_written_is_one_sentence(tmp_path):
    (tmp_path / "file").write_text("")
    result = CliRunner().invoke(main, ["demo", str(tmp_path / "file")])
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1


def test_a_bad_palette_file_is_one_sentence(tmp_path):
    (tmp_path / "stones.toml").write_text('[[stone]]\nid = "x"\n')
    result = CliRunner().invoke(main, ["list", "stones", "--palettes", str(tmp_path)])
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert "stones.toml line 1" in result.stderr


def test_an_empty_kind_is_said(tmp_path):
    entry = '[[swatch]]\nid = "x"\nname = "X"\ncolour = "#123456"\nbasis = "measured"\n'
    (tmp_path / "swatches.toml").write_text(entry)
    assert "There is no stone" in run("list", "stones", "--palettes", tmp_path)
    assert "invented" not in run("list", "swatches", "--palettes", tmp_path)


def test_a_kind_that_is_not_is_one_sentence_in_our_words():
    result = CliRunner().invoke(main, ["list", "stonez"])
    assert result.exit_code == 2
    assert result.stderr == 'KIND: found "stonez"; allowed are stones, coatings, venues, swatches, cuts\n'
