"""`planner cover`, `planner sizes` and `planner fixing` as typed."""

import json
import re

import pytest
from click.testing import CliRunner

from planner.cli import main
from planner.data import demo

JOBS = sorted((demo() / "jobs").glob("*.toml"))
HEAD = 'title = "Hoop"\nswatch = "leotard-blue"\nvenues = ["rink"]\n'
LINE = '[[line]]\nstone = "pulley-blue"\nsize = "SS20"\nname = "body"\n'
BAND = (
    '[[area]]\nname = "Seam"\nshape = "band"\nlength_cm = 100\npattern = "single line"\nmix = { body = 1 }\n'
)


@pytest.fixture
def run():
    def typed(*args, status=0, **environment):
        result = CliRunner().invoke(main, [str(one) for one in args], env=environment)
        assert result.exit_code == status, result.output
        assert "Traceback" not in result.output
        return result

    return typed


@pytest.fixture
def job(tmp_path):
    def write(text):
        path = tmp_path / "job.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_the_demo_jobs_are_covered(run, path):
    shown = run("cover", path).stdout
    assert max(map(len, shown.splitlines())) <= 80
    data = json.loads(run("cover", path, "--json").stdout)
    assert data["schema"] == "planner cover 1"
    worn = sum(one["worn"] for one in data["needs"])
    assert worn == sum(area["stones"] for area in data["areas"]) > 1000
    assert all(one["count"] == 144 * one["gross"] + one["rest"] for one in data["needs"])
    assert 10 < data["grams"] < 200
    assert data["hours"]["least"] < data["hours"]["usual"] < data["hours"]["most"]
    for area in data["areas"]:
        picture = run("cover", path, "--picture", area["name"]).stdout
        assert max(map(len, picture.splitlines())) <= 80
        assert "A capital letter is the middle of a stone." in " ".join(picture.split())
        assert "A" in picture.split("\n", 1)[1]


def test_a_metre_of_seam_is_said_in_gross_with_its_spares(run, job):
    shown = " ".join(run("cover", job(HEAD + LINE + BAND)).stdout.split())
    assert "Seam: single line – – 200 200 body" in shown
    # A metre at 5 mm is 200; a twentieth and two dozen more are 234: 1 gross of 144 and 90.
    assert "Pulley blue, uncoated, SS20 200 34 234 1 gross + 90" in shown
    assert "set hourly_rate in the job" in shown
    assert "Common practice, no source" in shown


def test_the_wearer_comes_before_the_counts(run, job):
    shown = run("cover", job(HEAD + 'wearer = "under 3"\n' + LINE + BAND)).stdout
    assert shown.index("small-parts-under-3") < shown.index("needed")


def test_little_is_said_without_naughts_and_a_past_event_is_noted(run, job):
    motif = '[[area]]\nname = "Motif"\nshape = "circle"\npattern = "motif"\nmix = { body = 9 }\n'
    path = job(HEAD + "event = 2020-01-01\n" + LINE + motif)
    shown = " ".join(run("cover", path).stdout.split())
    assert "Motif: motif" not in shown
    assert "Motif – – 9" in shown
    assert "A few minutes to set them with glue" in shown
    assert "Note: the event, 2020-01-01, is past" in shown
    assert json.loads(run("cover", path, "--json").stdout)["notes"]
    fixed = " ".join(run("fixing", path).stdout.split())
    assert "9 stones, up to 0.1 ml of glue, a few minutes." in fixed
    assert " 0 to 0" not in fixed + shown
    assert "0.0" not in fixed + shown


@pytest.mark.parametrize(
    ("range_", "said"),
    [((0.07, 0.14), "about 0.1 ml"), ((0.01, 0.04), "under 0.1 ml"), ((0.04, 0.2), "up to 0.2 ml"),
     ((1.0, 2.5), "1.0 to 2.5 ml")],
)  # fmt: skip
def test_a_range_is_never_from_nothing_or_to_itself(range_, said):
    from planner.say.names import between

    assert between(*range_, "ml", 1) == said


def test_a_job_without_areas_says_how_to_add_one(run, job):
    path = job(HEAD + LINE)
    shown = run("cover", path).stdout
    assert "has no areas yet" in shown
    example = shown[shown.index("  [[area]]") :].replace("name-of-a-line", "body")
    run("cover", job(HEAD + LINE + example))


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--picture", "Sean"), 'there is no such area: did you mean "Seam"?'),
        (("--across", "50"), "--across: is the width of a picture; it goes with --picture"),
        (("--picture", "Seam", "--across", "1"), "a width must be a number at least 5 and at most 20000 mm"),
    ],
)
def test_a_wrong_option_is_one_sentence(run, job, args, says):
    shown = run("cover", job(HEAD + LINE + BAND), *args, status=2).stderr
    assert says in shown
    assert len(shown.splitlines()) == 1


def test_overlapping_stones_name_file_area_and_field(run, job):
    path = job(HEAD + LINE + BAND + "spacing_mm = 3\n")
    shown = run("cover", path, status=2).stderr
    assert shown.strip() == (
        f'{path}, job area "Seam", field spacing_mm: found 3 mm; SS20 is 4.7 mm wide, so its spacing must be '
        "at least that"
    )


def test_an_unknown_stone_is_one_sentence(run, job):
    shown = run("cover", job(HEAD + LINE.replace("pulley", "pully")), status=2).stderr
    assert 'there is no such stone: did you mean "pulley-blue"' in shown


def test_true_colours_are_those_of_the_reading():
    from planner.catalogue import load
    from planner.colour.screen import srgb_to_lab
    from planner.job import read_job_file
    from planner.picture.above import colours

    job, palette = read_job_file(demo() / "jobs" / "hoop-second-half.toml").job, load(demo())
    stones, cloth = colours(job, job.lines[:1], palette)
    # Cobalt glass on a blue leotard: both blue, by CIELAB's sign of b*.
    assert srgb_to_lab(stones.astype("uint8"))[0, 2] < -10
    assert srgb_to_lab(cloth.astype("uint8"))[2] < -10


def test_sizes_are_shown_with_what_is_published_and_what_is_not(run):
    shown = run("sizes", "SS20", "ss 40").stdout
    flat = " ".join(shown.split())
    assert "SS20 4.6 to 4.8 the usual garment stone" in flat
    assert "SS40 about 8.6" in flat
    assert "Not in common use, and so not accepted: SS11, SS13, SS14, SS15" in flat
    assert "life-sized" in flat
    assert max(map(len, shown.splitlines())) <= 80
    data = json.loads(run("sizes", "--json").stdout)
    assert [one["size"] for one in data["sizes"]][:2] == ["SS6", "SS8"]


def test_sizes_fit_a_narrow_terminal(run, monkeypatch):
    monkeypatch.setattr("planner.cli.text.columns", lambda: 40)
    shown = run("sizes", "SS12", "SS20", "SS30").stdout
    assert "one column to 0.6 mm" in " ".join(shown.split())
    assert max(map(len, shown.splitlines())) <= 40


def test_the_fixing_of_a_job_is_named_with_its_palettes(run, job, tmp_path):
    path = job(HEAD + LINE + BAND)
    said = run("cover", path, "--palettes", demo()).stdout
    assert f"planner fixing {path} --palettes {demo()}" in " ".join(said.replace("\\\n", " ").split())


def test_sizes_that_cannot_be_shown_are_one_sentence(run):
    assert "no millimetres are in common use for SS19" in run("sizes", "SS19", status=2).stderr
    assert "--column: found 0.1 mm to a column" in run("sizes", "--column", "0.1", status=2).stderr


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_fixing_is_told_for_each_line(run, path):
    shown = run("fixing", path).stdout
    assert max(map(len, shown.splitlines())) <= 80
    assert "licensed trades come first" in " ".join(shown.split())
    data = json.loads(run("fixing", path, "--json").stdout)
    assert data["schema"] == "planner fixing 1"
    assert [one["line"] for one in data["lines"]] == list(range(1, len(data["lines"]) + 1))
    codes = {one["code"] for one in data["cautions"]}
    assert {"scrap-first", "rules-first"} <= codes
    for one in data["cautions"]:
        assert re.search(rf"{one['severity']} +{one['code']}", shown)


def test_a_path_in_the_next_command_cannot_steer_the_terminal(run, tmp_path):
    path = tmp_path / "a\x1b[2Jb.toml"
    path.write_text(HEAD + LINE + BAND, encoding="utf-8")
    shown = run("cover", path).stdout
    assert "\x1b" not in shown
    assert "\\x1b[2Jb.toml" in shown


def test_a_costume_is_shown_whole_in_letters_and_in_colours(run, monkeypatch):
    path = demo() / "jobs" / "hoop-second-half.toml"
    monkeypatch.setattr("planner.cli.text.columns", lambda: 60)
    shown = run("cover", path, "--costume", NO_COLOR="1").stdout
    flat = " ".join(shown.split())
    assert "Hoop act, second half: blue leotard: leotard, " in flat
    assert "cm high laid flat, as worn" in flat
    assert {"a", "b", "c", "d", "·"} <= set(shown)
    assert max(map(len, shown.splitlines())) <= 80
    data = json.loads(run("cover", path, "--costume", "--json").stdout)
    assert data["outline"] == "leotard"
    assert {"front", "back", "left sleeve", "right sleeve"} <= set(data["parts"])
    assert len(data["stones"]) > 1_000


def test_a_costume_without_an_outline_says_how_to_name_one(run, job):
    shown = run("cover", job(HEAD + LINE + BAND), "--costume", status=2).stderr
    assert "the job has no outline; add" in shown
    assert '"skating dress"' in shown
    assert len(shown.splitlines()) == 1


def test_an_area_is_shown_whole_unless_a_width_is_asked(run, job):
    path = demo() / "jobs" / "hoop-second-half.toml"
    assert "all of it" in run("cover", path, "--picture", "Front").stdout
    assert "a part of it" in run("cover", path, "--picture", "Front", "--across", "90").stdout
