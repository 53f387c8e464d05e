"""A person's own stones and coatings from the command line, in words alone."""

import json

import pytest
from click.testing import CliRunner

from planner.cli import main


@pytest.fixture
def own():
    """Return a function that runs a command line on the demo and a person's own folder."""

    def run(*args, status=0):
        result = CliRunner().invoke(main, list(args))
        assert result.exit_code == status, result.output
        return result.output.strip()

    return run


def test_a_stone_is_kept_from_a_name_and_sizes_and_found_by_its_name(own):
    shown = own("stone", "add", "Wedding blue", "--colour", "cornflower blue", "--sizes", "SS16 20")
    assert "Kept: Wedding blue, a stone (wedding-blue)" in shown
    assert "wedding-blue" in own("list", "stones")
    data = json.loads(own("stone", "copy", "WEDDING BLUE", "Second blue", "--json"))
    assert data["entry"]["id"] == "second-blue"
    assert "Renamed: The other blue" in own("stone", "rename", "second blue", "The other blue")
    assert "Removed: The other blue" in own("stone", "remove", "the other blue")
    assert "second-blue" not in own("list", "stones")


def test_a_cut_is_made_counted_and_measured_and_given_to_a_stone(own):
    shown = own("cut", "add", "Zehn Flächen", "--facets", "10", "--top", "55", "--finish", "pressed")
    assert "Kept: Zehn Flächen, a cut (zehn-flachen)" in shown
    own("stone", "add", "Rope blue", "--sizes", "20", "--cut", "zehn flächen")
    assert "10 facets" in own("list", "stones")
    (sentence,) = own("cut", "remove", "zehn flächen", status=2).splitlines()
    assert "Rope blue has it" in sentence
    assert "10 facets" in own("list", "cuts")


def test_jet_is_known_by_its_name_and_said(own):
    assert "taken as jet" in own("stone", "add", "Jet", "--sizes", "12, 16 and 20")


def test_a_coating_begins_as_ab(own):
    shown = own("coating", "add", "Ann's AB")
    assert "begins as AB, maker unknown" in shown
    assert "ann-s-ab" in own("list", "coatings")


def test_what_cannot_be_is_one_sentence_that_offers_the_next_step(own):
    for args, says in (
        (("stone", "add", "Number seven", "--sizes", "20"), "or type it as 2a4b9c"),
        (("stone", "add", "Navy", "--sizes", "large"), "--sizes: found"),
        (("stone", "remove", "pulley-blue"), "make a copy"),
        (("stone", "rename", "puly blue", "X"), "did you mean Pulley blue"),
        (("coating", "add", "Bare", "--like", "uncoated"), "needs no entry"),
    ):
        (sentence,) = own(*args, status=2).splitlines()
        assert says in sentence


def test_a_pairing_is_asked_about_in_the_words_people_use(own, monkeypatch):
    # What else there is in the palette is another question, which takes longest.
    monkeypatch.setattr("planner.cli.trying.instead", lambda *_, **__: ())
    where = ("--size", "ss20", "--venue", "noon", "--grade", "quick", "--json")
    data = json.loads(
        own("try", "--stone", "PULLEY BLUE", "--coating", "AB", "--swatch", "dusty rose", *where)
    )
    assert data["inputs"]["stone"]["id"] == "pulley-blue"
    assert data["inputs"]["coating"]["name"] == "AB, maker unknown"
    assert data["inputs"]["swatch"]["how"] == "the name dusty rose"
    taken = json.loads(
        own("try", "--stone", "pulley blue", "--coating", "bare", "--swatch", "smoky sapphire", *where)
    )
    assert taken["inputs"]["coating"] is None
    assert "smoky sapphire is" in " ".join(taken["notes"])
