"""``planner brief``: one job or several, to files or to the screen, and one sentence for what goes wrong."""

import json

import pytest
from click.testing import CliRunner
from PIL import Image

from planner.brief.gather import gather
from planner.catalogue import load
from planner.cli import main
from planner.job import read_job_file
from planner.reading.matter import QUICK

HEAD = 'title = "Hoop"\nswatch = "leotard-blue"\nvenues = ["theatre"]\n'
LINE = '[[line]]\nstone = "marlinspike-navy"\nsize = "SS20"\n'


@pytest.fixture
def planner(folder, no_pictures):
    def run(*args, status=0):
        words = ["brief", *map(str, args), "--palettes", str(folder), "--grade", "quick"]
        result = CliRunner().invoke(main, words)
        assert result.exit_code == status, result.output
        return result

    return run


@pytest.fixture
def jobs(tmp_path):
    paths = [tmp_path / "hoop.toml", tmp_path / "rope.toml"]
    for path in paths:
        path.write_text(HEAD + LINE, encoding="utf-8")
    return paths


def test_without_a_file_it_is_read_on_the_screen(planner, jobs):
    shown = planner(jobs[0]).stdout
    assert "Marlinspike navy, uncoated" in shown
    assert max(map(len, shown.splitlines())) <= 76


def test_several_jobs_make_several_briefs(planner, jobs, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    shown = planner(*jobs, "--to", out / "brief.pdf", "--to", out / "brief.txt").stdout
    assert sorted(one.name for one in out.iterdir()) == [
        "hoop-brief.pdf", "hoop-brief.txt", "rope-brief.pdf", "rope-brief.txt",
    ]  # fmt: skip
    assert "hoop-brief.pdf: 1 page." in shown


def test_a_file_is_not_written_over_without_being_asked(planner, jobs, tmp_path):
    path = tmp_path / "brief.txt"
    path.write_text("mine", encoding="utf-8")
    said = planner(jobs[0], "--to", path, status=2).stderr
    assert said.count("\n") == 1
    assert "--replace" in said
    assert path.read_text(encoding="utf-8") == "mine"
    planner(jobs[0], "--to", path, "--replace")
    assert "Hoop" in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "name", "complaint"),
    [
        (HEAD, "brief.pdf", "hoop.toml: the job has no pairing yet"),
        (HEAD + LINE.replace("navy", "gone"), "brief.pdf", "job line 1, field stone: found"),
        (HEAD + LINE, "brief.doc", "give a name that ends in .pdf, .png or .txt"),
        (HEAD + LINE, "nowhere/brief.pdf", "there is no folder"),
        (HEAD + 'locale = "xx_YY"\n' + LINE, "brief.pdf", "hoop.toml, field locale: found"),
        (HEAD + f'note = "{"word " * 5000}"\n' + LINE, "brief.pdf", "note"),
    ],
)
def test_what_is_wrong_is_one_sentence_and_no_file(planner, jobs, tmp_path, text, name, complaint):
    jobs[0].write_text(text, encoding="utf-8")
    said = planner(jobs[0], "--to", tmp_path / name, status=2).stderr
    assert said.count("\n") == 1
    assert complaint in said
    assert not (tmp_path / name).exists()


def test_a_tall_picture_for_a_message(planner, jobs, tmp_path):
    path = tmp_path / "message.png"
    shown = planner(jobs[0], "--phone", path).stdout
    assert "message.png: a picture 1080 pixels wide." in shown
    with Image.open(path) as image:
        assert image.width == 1080
        assert image.height > image.width
    assert "--replace" in planner(jobs[0], "--phone", path, status=2).stderr
    assert "ends in .png" in planner(jobs[0], "--phone", tmp_path / "message.pdf", status=2).stderr


def test_no_quote_is_made_without_the_prices_that_it_tells(planner, jobs, tmp_path):
    said = planner(jobs[0], "--quote", "--no-prices", "--to", tmp_path / "quote.txt", status=2).stderr
    assert "--no-prices" in said
    assert len(said.splitlines()) == 1
    assert not (tmp_path / "quote.txt").exists()


def test_two_briefs_never_go_to_one_file(planner, jobs, tmp_path):
    twin = tmp_path / "other" / "hoop.toml"
    twin.parent.mkdir()
    twin.write_text(HEAD + LINE, encoding="utf-8")
    assert "two briefs" in planner(jobs[0], twin, "--to", tmp_path / "brief.txt", status=2).stderr


def test_json_carries_the_page(planner, jobs):
    data = json.loads(planner(jobs[0], "--json").stdout)
    assert data["schema"] == "planner brief 1"
    assert data["briefs"][0]["page"]["blocks"][0]["verdict"]


def test_the_same_warnings_as_a_check(folder, jobs):
    """Whatever ``planner check`` warns of, with severity, the page warns of too."""
    jobs[0].write_text(
        HEAD.replace('"theatre"', '"rink", "theatre", "noon"')
        + LINE
        + '[[line]]\nstone = "pulley-blue"\ncoating = "halyard-aurora"\nsize = "SS20"\n'
        + '[[line]]\nstone = "pelmet-clear"\nsize = "SS30"\n',
        encoding="utf-8",
    )
    words = ["check", str(jobs[0]), "--palettes", str(folder), "--grade", "quick", "--json"]
    data = json.loads(CliRunner().invoke(main, words).stdout)
    checked = [[(one["code"], one["severity"]) for one in line["warnings"]] for line in data["lines"]]
    palette = load(folder)
    lines = gather(read_job_file(jobs[0]).job, palette, grade=QUICK).lines
    told = [[(one.code, one.severity) for one, _ in line.concerns] for line in lines]
    assert told == checked
    assert any(told)
