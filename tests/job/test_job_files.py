"""Job files in and out, and the history of a job."""

import re
from datetime import date
from typing import Annotated, get_args, get_origin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.catalogue import Refusal, load
from planner.data import demo
from planner.job import Acceptance, History, Job, Line, new_job_file, read_job_file, unknown_names
from planner.job import history as history_module
from planner.job.area import Area, Pattern, Shape
from planner.job.model import Fibre, Fixing, Use, Wearer

TEXT = """\
# Second half, hoop act.
title = "Hoop, second half"   # as in the programme
event = 2031-03-07
swatch = "leotard-blue"
cloth = "#1a2b3c"
venues = ["rink", "gym"]      # main one first
tolerance = 6

# The neckline.
[[line]]
stone = "pulley-blue"
coating = "halyard"
size = "ss20"                 # from the big box
wish = "tone"

[[line]]
stone = "jet"
size = "SS16"
note = "edge only"

# Under the arm, hidden.
[[line]]
stone = "clear"
size = "SS12"
accept = [
  { code = "glow-drift", who = "Wardrobe", why = "Hidden by the arm." },
]
# The end.
"""


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "hoop.toml"
    path.write_text(TEXT)
    return path


def change(job, **update):
    return job.model_copy(update=update)


def test_a_job_is_read(path):
    job = read_job_file(path).job
    assert job.event == date(2031, 3, 7)
    assert (job.cover, job.tolerance, job.distance) == (0.3, 6.0, None)
    assert [line.size for line in job.lines] == ["SS20", "SS16", "SS12"]
    assert job.lines[1].coating == "none"
    assert job.lines[2].accept == (Acceptance(code="glow-drift", who="Wardrobe", why="Hidden by the arm."),)


def test_saving_unchanged_is_byte_identical(path):
    file = read_job_file(path)
    file.with_job(file.job).save()
    assert path.read_text() == TEXT
    assert not path.with_name("hoop.toml.bak").exists()


def test_a_changed_field_changes_its_line_only(path):
    file = read_job_file(path)
    lines = (change(file.job.lines[0], wish="blend"), *file.job.lines[1:])
    file.with_job(change(file.job, lines=lines, swatch="#ff0000")).save()
    expected = TEXT.replace('wish = "tone"', 'wish = "blend"').replace('"leotard-blue"', '"#ff0000"')
    assert path.read_text() == expected
    assert path.with_name("hoop.toml.bak").read_text() == TEXT


def test_lines_come_go_and_move_with_their_comments(path):
    file = read_job_file(path)
    first, _, third = file.job.lines
    extra = Line(stone="thimble", coating="halyard", size="SS30")
    moved = file.with_job(change(file.job, lines=(third, extra, first))).save()
    text = path.read_text()
    assert read_job_file(path).job == moved.job
    assert moved.job.lines == (third, extra, first)
    assert '# The neckline.\n[[line]]\nstone = "pulley-blue"' in text
    assert '# Under the arm, hidden.\n[[line]]\nstone = "clear"' in text
    assert "edge only" not in text
    assert moved.with_job(change(moved.job, lines=())).job.lines == ()


def test_a_new_job_never_replaces_a_file(path, tmp_path):
    job = read_job_file(path).job
    fresh = new_job_file(tmp_path / "copy.toml", job).save()
    assert read_job_file(fresh.path).job == job
    with pytest.raises(Refusal, match="already"):
        new_job_file(path, job).save()
    assert path.read_text() == TEXT


def test_a_job_changed_underneath_is_not_overwritten(path):
    file = read_job_file(path)
    path.write_text(TEXT + "# by hand\n")
    with pytest.raises(Refusal, match="changed by someone else"):
        file.with_job(change(file.job, cover=0.5)).save()
    assert path.read_text() == TEXT + "# by hand\n"


BAD = {
    "no title": (TEXT.replace('title = "Hoop, second half"', ""), "field title", "missing"),
    "unknown field": (TEXT.replace("tolerance", "tolerence"), "field tolerence", '"tolerance"'),
    "lines misspelt": ("[[lines]]\nstone = 'a'\n", "field lines", '"line"'),
    "bad size": (TEXT.replace("SS16", "SS18"), "line 16, job line 2, field size", "SS16 and SS20"),
    "bad wish": (TEXT.replace('"tone"', '"tune"'), "line 10, job line 1, field wish", '"tune"'),
    "unknown key in a line": (TEXT.replace("note =", "nite ="), "job line 2, field nite", '"note"'),
    "no reason": (
        TEXT.replace('why = "Hidden by the arm."', 'why = ""'),
        "job line 3, field accept[0].why",
        '""',
    ),
    "bad tolerance": (TEXT.replace("tolerance = 6", 'tolerance = "near"'), "tolerance", '"near"', '"seats"'),
    "no tolerance": (TEXT.replace("tolerance = 6", "tolerance = 0"), "tolerance", "found 0", "above 0"),
    "nan": (TEXT.replace("tolerance = 6", "cover = nan"), "field cover", "found nan", "at most 1"),
    "bad date": (TEXT.replace("2031-03-07", '"soon"'), "field event", '"soon"', "a date like"),
    "no venue": (TEXT.replace('["rink", "gym"]', "[]"), "field venues", "0 entries"),
    "venue twice": (TEXT.replace('"gym"', '"rink"'), 'venue twice in venues, "rink"; each'),
    "bad colour": (TEXT.replace("#1a2b3c", "#1a2b3"), "field cloth", "six hexadecimal digits"),
    "line no list": (TEXT.split("\n# The neckline", maxsplit=1)[0] + "\nline = 3\n", "[[line]]"),
    "bad TOML": (TEXT.replace("tolerance = 6", "tolerance = "), "line 7", "not valid TOML"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_job_is_one_sentence(tmp_path, name):
    text, *expected = BAD[name]
    path = tmp_path / "bad.toml"
    path.write_text(text)
    with pytest.raises(Refusal) as caught:
        read_job_file(path)
    for words in ["bad.toml", *expected]:
        assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_lines_without_headers_are_read_but_not_rewritten(tmp_path):
    path = tmp_path / "inline.toml"
    path.write_text(
        'title = "T"\nswatch = "#000000"\nvenues = ["a"]\nline = [{ stone = "a", size = "SS20" }]\n'
    )
    file = read_job_file(path)
    assert len(file.job.lines) == 1
    with pytest.raises(Refusal, match="another name"):
        file.with_job(change(file.job, cover=0.5))


@pytest.mark.parametrize("name", ["hoop-second-half.toml", "usher-waistcoats.toml"])
def test_the_demo_jobs_name_only_what_the_demo_has(name):
    palette = load(demo())
    job = read_job_file(demo() / "jobs" / name).job
    assert unknown_names(job, palette) == ()
    assert all(line.size in palette.stones[line.stone].sizes for line in job.lines)
    assert len(job.lines) >= 4


def test_unknown_names_are_one_sentence_each(path):
    job = Job(
        title="T",
        swatch="leotard-blu",
        cloth="thatch",
        venues=("rinc",),
        lines=(
            Line(stone="pully-blue", coating="nothing", size="SS20"),
            Line(stone="tackle-jet", size="SS20"),
        ),
    )
    problems = unknown_names(job, load(demo()))
    assert [problem.split(":")[0] for problem in problems] == [
        "field swatch",
        "field cloth",
        "field venues[0]",
        "job line 1, field stone",
        "job line 1, field coating",
    ]
    assert 'did you mean "leotard-blue"' in problems[0]
    assert 'did you mean "rink"' in problems[2]


# --- Properties -----------------------------------------------------------------------------------

printable = st.just(" ") | st.characters(exclude_categories=("C", "Z"))
lines = st.builds(
    Line,
    stone=st.sampled_from(["a", "b", "c"]),
    coating=st.sampled_from(["none", "film"]),
    size=st.sampled_from(["SS16", "SS20"]),
    wish=st.sampled_from(["blend", "tone", "contrast"]),
    note=st.text(printable, max_size=20),
)
jobs = st.builds(
    Job,
    title=st.text(printable, min_size=1, max_size=20).filter(str.strip),
    event=st.none() | st.dates(),
    swatch=st.sampled_from(["red", "#00ff00"]),
    venues=st.lists(st.sampled_from(["rink", "gym", "noon"]), min_size=1, unique=True).map(tuple),
    cover=st.floats(0, 1),
    tolerance=st.sampled_from(["arm", "seats", "family"]) | st.floats(0.01, 50),
    lines=st.lists(lines, max_size=5).map(tuple),
)


@given(one=jobs, other=jobs, newline=st.sampled_from(["\n", "\r\n"]), end=st.booleans())
def test_any_job_becomes_any_other_in_its_file(tmp_path_factory, one, other, newline, end):
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.unlink(missing_ok=True)
    text = new_job_file(path, one).save().source.text
    path.write_bytes((text if end else text.rstrip("\n")).replace("\n", newline).encode())
    first = read_job_file(path)
    assert first.job == one
    second = first.with_job(other).save()
    assert read_job_file(path).job == other
    assert second.with_job(one).job == one


@given(first=jobs, steps=st.lists(jobs | st.sampled_from(["undo", "redo"]), max_size=25))
def test_history_is_a_line_of_states(first, steps):
    history, past, future = History((first,)), [first], []
    for step in steps:
        if step == "undo":
            history = history.undo()
            if len(past) > 1:
                future.append(past.pop())
        elif step == "redo":
            history = history.redo()
            if future:
                past.append(future.pop())
        else:
            history = history.do(step)
            if step != past[-1]:
                past.append(step)
                future = []
        assert history.job == past[-1]
        assert history.can_undo == (len(past) > 1)
        assert history.can_redo == bool(future)
    assert History((first,)).undo().job == first


def test_history_forgets_the_oldest(monkeypatch):
    monkeypatch.setattr(history_module, "MOST_STATES", 3)
    history = History((Job(title="0", swatch="#000000", venues=("a",)),))
    for number in range(1, 6):
        history = history.do(change(history.job, title=str(number)))
    assert [job.title for job in history.states] == ["3", "4", "5"]
    assert history.undo().undo().undo().job.title == "3"


def test_the_demo_job_says_what_every_field_means():
    head = (demo() / "jobs" / "hoop-second-half.toml").read_text(encoding="utf-8").split("\ntitle =")[0]
    assert all(line.startswith("#") for line in head.splitlines())
    fields = {*Job.model_fields, *Line.model_fields, *Area.model_fields} - {"lines", "areas"}
    assert {one for one in fields if not re.search(rf"\b{one}\b", head)} == set()
    words = (Fibre, Fixing, Use, Wearer, Shape, Pattern)
    values = {get_args(one.__origin__ if get_origin(one) is Annotated else one) for one in words}
    assert {
        one for some in values for one in some if one not in " ".join(head.replace("#", "").split())
    } == set()
