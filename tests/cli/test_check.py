"""Every line of a job: what is warned of, what was accepted, and the exit status."""

import json

import pytest

HEAD = 'title = "Hoop"\nswatch = "leotard-blue"\nvenues = ["theatre", "noon"]\n'
NEAR = HEAD.replace(', "noon"', "") + "distance = 3\n"  # black on blue is seen as such from here
HOLDS = '[[line]]\nstone = "pulley-blue"\ncoating = "halyard-aurora"\nsize = "SS20"\n'
GOOD = '[[line]]\nstone = "marlinspike-navy"\nsize = "SS20"\n'
UNDER = 'coating = "lining-aurora"\n'
BAD = '[[line]]\nstone = "tackle-jet"\nsize = "SS20"\nnote = "First choice."\n'


@pytest.fixture
def job(tmp_path):
    """Return a function that writes a job file."""

    def write(text):
        path = tmp_path / "job.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def accept(code):
    return f'accept = [{{ code = "{code}", who = "Head of wardrobe", why = "Only six." }}]\n'


def test_a_severe_warning_that_stands_is_status_1(planner, job):
    shown = planner("check", job(NEAR + HOLDS + BAD), status=1).stdout
    assert "Line 1: Pulley blue with the Halyard aurora film, SS20, to blend in" in shown
    assert "“First choice.”" in shown
    assert "severe   glow-drifts: " in shown
    assert "What to do: " in shown
    assert "1 severe warning is still open: glow-drifts in line 2." in shown
    assert 'accept = [{ code = "glow-drifts"' in shown
    own = [line for line in shown.splitlines() if "job.toml" not in line]  # a path is as long as it is
    assert max(map(len, own)) <= 80


def test_what_the_cloth_does_to_every_line_is_told_once(planner, job):
    own = job(HEAD).parent / "velvet.palette.toml"
    own.write_text(
        '[[swatch]]\nid = "plush"\nname = "Plush"\nlab = [40, 5, -45]\nbasis = "measured"\n'
        'cloth = { kind = "velvet" }\n'
    )
    text = HEAD.replace("leotard-blue", "plush") + 2 * (GOOD + 'wish = "contrast"\n')
    shown = planner("check", job(text)).stdout
    assert shown.count("Velvet is darker") == 1
    assert shown.index("Velvet is darker") < shown.index("Line 1")


def test_the_same_warning_accepted_is_status_0_and_still_told(planner, job):
    shown = planner("check", job(NEAR + HOLDS + BAD + accept("glow-drifts")), status=0).stdout
    assert "severe   glow-drifts: " in shown
    assert "Accepted by Head of wardrobe: Only six." in shown
    assert "No severe warning is left" in shown


def test_an_acceptance_that_meets_no_warning_is_told(planner, job):
    shown = planner("check", job(NEAR + HOLDS + accept("glow-drift"))).stdout
    flat = " ".join(shown.split())
    assert "glow-drift: accepted by Head of wardrobe (Only six.), but no warning has that name: " in flat
    assert 'did you mean "glow-drifts"?' in flat
    shown = planner("check", job(NEAR + HOLDS + accept("glow-drifts"))).stdout
    assert "there is no such warning now" in " ".join(shown.split())


def test_json_says_the_same(planner, job):
    path = job(NEAR + HOLDS + BAD + accept("glow-drifts"))
    data = json.loads(planner("check", path, "--json").stdout)
    assert data["schema"] == "planner check 1"
    assert data["ok"] is True
    assert data["job"]["title"] == "Hoop"
    first, second = data["lines"]
    assert (first["line"], second["line"]) == (1, 2)
    assert first["inputs"]["venue"]["id"] == "theatre"
    accepted = {one["code"]: one["accepted"] for one in second["warnings"]}
    assert accepted["glow-drifts"] == {"who": "Head of wardrobe", "why": "Only six."}
    assert {"glow", "drift", "flash", "lots", "basis", "cannot_tell"} <= set(first)
    path = job(NEAR + BAD)
    assert json.loads(planner("check", path, "--json", status=1).stdout)["ok"] is False


def test_sizes_of_one_job_are_compared(planner, job):
    two = '[[line]]\nstone = "pulley-blue"\nsize = "SS34"\n[[line]]\nstone = "pulley-blue"\nsize = "SS12"\n'
    text = HEAD + "tolerance = 2.0\n" + two
    data = json.loads(planner("check", job(text), "--json", status=1).stdout)
    codes = [{one["code"] for one in line["warnings"]} for line in data["lines"]]
    assert all("sizes-differ" in found for found in codes)


def test_other_venues_of_the_job_are_looked_at(planner, job):
    line = '[[line]]\nstone = "marlinspike-navy"\nsize = "SS20"\n'
    here = json.loads(planner("check", job(HEAD + line), "--json").stdout)["lines"][0]["drift"]["dE00"]
    there = {}
    for venue in ("theatre", "noon"):
        text = f'title = "x"\nswatch = "leotard-blue"\nvenues = ["{venue}"]\n' + line
        found = json.loads(planner("check", job(text), "--json", status=None).stdout)["lines"][0]
        there[venue] = found["drift"]["dE00"]
    assert here == there["theatre"]
    near, far = sorted(there, key=there.get)
    # A tolerance between the two, clear of the uncertainty that another lamp brings, must break.
    tolerance = there[near] + 0.01
    text = f'title = "x"\nswatch = "leotard-blue"\nvenues = ["{near}", "{far}"]\ntolerance = {tolerance}\n'
    data = json.loads(planner("check", job(text + line), "--json", status=None).stdout)
    broken = [one for one in data["lines"][0]["warnings"] if one["code"] == "breaks-elsewhere"]
    assert bool(broken) == (there[far] > tolerance + 2.0)


def test_a_job_without_lines_is_no_fault(planner, job):
    assert "has no lines yet" in planner("check", job(HEAD)).stdout
    assert json.loads(planner("check", job(HEAD), "--json").stdout)["lines"] == []


def test_the_record_of_such_predictions_stands_beside_a_line(planner, job, tmp_path):
    path = job(HEAD + GOOD)
    first = json.loads(planner("check", path, "--json", status=None).stdout)["lines"][0]
    assert first["track_record"] is None
    came = ("arrived", "--stone", "marlinspike-navy", "--coating", "none", "--size", "SS20")
    planner(*came, "--seen", "1a2350")
    planner(*came, "--seen", "22307a")
    track = json.loads(planner("check", path, "--json", status=None).stdout)["lines"][0]["track_record"]
    assert track["count"] == 2
    assert "So far 2 such predictions (uncoated, coloured)" in planner("check", path, status=None).stdout


def test_palettes_beside_the_job_are_read(planner, job, tmp_path):
    (tmp_path / "own.palette.toml").write_text(
        '[[swatch]]\nid = "own-blue"\nname = "Own blue"\ncolour = "#2a4b9c"\nbasis = "measured"\n'
    )
    text = HEAD.replace("leotard-blue", "own-blue") + GOOD
    assert "To match Own blue" in planner("check", job(text), status=None).stdout


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("title = ", "job.toml"),
        (HEAD + GOOD.replace("navy", "nav"), 'job line 1, field stone: found "marlinspike-nav"'),
        (HEAD + GOOD.replace("navy", "nav") + BAD.replace("jet", "jat"), "(and 1 more in this job)"),
        (HEAD.replace('"theatre", ', '"theater", ') + GOOD, "field venues[0]"),
        (HEAD + GOOD.replace("SS20", "SS19"), "SS19"),
        (HEAD.replace("leotard-blue", "leotard-blu") + GOOD, "field swatch"),
        (
            HEAD + GOOD.replace("marlinspike-navy", "pelmet-clear") + 'coating = "lining-aurora"\n',
            "job line 1",
        ),
        (HEAD + "cover = 1.5\n" + GOOD, "field cover"),
    ],
)
def test_a_bad_job_is_one_sentence_and_status_2(planner, job, text, holds):
    path = job(text)
    result = planner("check", path, status=2)
    assert result.stdout == ""
    (sentence,) = result.stderr.splitlines()
    assert sentence.startswith(str(path))
    assert holds in sentence


def test_a_missing_job_is_one_sentence(planner, tmp_path):
    result = planner("check", tmp_path / "none.toml", status=2)
    assert len(result.stderr.splitlines()) == 1
    assert "none.toml" in result.stderr


@pytest.mark.parametrize("outline", ["cape", "no-such.svg"])
def test_an_outline_that_is_not_there_is_refused_before_the_costume_is_drawn(planner, job, outline):
    path = job(f'outline = "{outline}"\n{HEAD}{GOOD}')
    refused = planner("check", path, status=2).stderr
    assert "field outline: " in refused
    assert outline in refused
