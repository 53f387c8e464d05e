"""A job begun from the command line, in words, on the best match of one's own stones."""

import json

import pytest
from click.testing import CliRunner

from planner.catalogue import load, sources
from planner.cli import main
from planner.job import read_job_file


@pytest.fixture
def run():
    """Return a function that runs a command line on the demo and a person's own folder."""

    def runs(*args, status=0):
        result = CliRunner().invoke(main, [str(one) for one in args])
        assert result.exit_code == status, result.output
        return result.output

    return runs


def test_a_job_opens_on_the_best_of_her_own_stones(run, tmp_path):
    for name in ("Royal blue", "Fire red", "Leaf green"):
        run("stone", "add", name, "--sizes", "SS16 20")
    path = tmp_path / "dress.toml"
    shown = run(
        "new", path, "--title", "Ice dress", "--swatch", "tomato red", "--venue", "outdoors at noon",
        "--wearer", "12 or younger", "--event", "2031-03-14",
    )  # fmt: skip
    job = read_job_file(path).job
    assert (job.title, job.wearer, job.venues, job.swatch) == (
        "Ice dress", "12 or younger", ("noon",), "tomato-red",
    )  # fmt: skip
    assert [line.stone for line in job.lines] == ["fire-red"]
    assert "Nearest of your own stones" in shown
    assert f"planner open {path}" in " ".join(shown.split()).replace("\\ ", "")
    swatch = load(*sources()).swatches["tomato-red"]
    assert (swatch.name, swatch.how) == ("Tomato red", "the name tomato red")


def test_without_stones_of_her_own_the_demo_s_are_offered_and_that_is_said(
    run, tmp_path, monkeypatch, palettes
):
    monkeypatch.setattr("planner.catalogue.palette.demo", lambda: palettes)  # all of it takes ten seconds
    data = json.loads(
        run("new", tmp_path / "a.toml", "--swatch", "2a4b9d", "--venue", "noon", "--json")
    )  # fmt: skip
    assert data["own"] is False
    assert data["job"]["swatch"] == "#2a4b9d"


def test_a_job_that_is_there_stays(run, tmp_path):
    path = tmp_path / "a.toml"
    path.write_text("mine")
    assert str(path) in run("new", path, "--swatch", "2a4b9c", "--venue", "noon", status=2)
    assert path.read_text() == "mine"


def test_what_is_missing_is_asked_for_by_its_option_where_nobody_can_be_asked(run, tmp_path):
    assert "--swatch: is missing; what colour" in run("new", tmp_path / "a.toml", "--venue", "noon", status=2)
