"""Areas stand in the job file beside the lines, and survive what happens to either."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.job import Area, Job, Line, new_job_file, read_job_file
from planner.refusal import Refusal

JOB = """title = "Hoop act"
swatch = "#112233"
venues = ["rink"]
rates = { USD = 0.92 }   # from the bank

[[line]]
stone = "a"
size = "SS20"
name = "body"

# the front, without the straps
[[area]]
name = "Front"
shape = "triangle"
width_cm = 30
height_cm = 20
pattern = "scatter"
spacing_mm = 12
mix = { body = 7 }

[[line]]
stone = "b"
size = "SS16"
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "hoop.toml"
    path.write_text(JOB, encoding="utf-8")
    return read_job_file(path)


def test_lines_and_areas_are_read_wherever_they_stand(file):
    assert [line.stone for line in file.job.lines] == ["a", "b"]
    assert file.job.areas[0].mix == (("body", 7.0),)
    assert file.job.rates == (("USD", Decimal("0.92")),)


def test_an_area_added_leaves_comments_and_the_rest(file):
    circle = Area(name="Back", shape="circle", width_cm=9, pattern="full", mix={"body": 1})
    job = file.job.model_copy(update={"areas": (*file.job.areas, circle), "budget": Decimal("96.40")})
    text = file.with_job(job).source.text
    assert "# the front, without the straps\n[[area]]" in text
    assert "# from the bank" in text
    assert text.count("[[area]]") == 2
    file.with_job(job).save()
    assert read_job_file(file.path).job == job


def test_an_area_taken_off_takes_its_comment_along(file):
    job = file.job.model_copy(update={"areas": ()})
    assert "front" not in file.with_job(job).source.text


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("mix = { body = 7 }", "mix = { bodi = 7 }", 'did you mean "body"'),
        ("mix = { body = 7 }", "mix = 7", "must be a table"),
        ("height_cm = 20", "length_cm = 20", "is given by height_cm, width_cm"),
        ("spacing_mm = 12", "", "takes spacing_mm"),
        ("spacing_mm = 12", "spacing_mm = inf", "above 0 and at most 1000 mm"),
        ('pattern = "scatter"', 'pattern = "motif"\ntimes = 0', "whole number from 1"),
        ("rates = { USD = 0.92 }", "rates = { USD = 0 }", "field rates.USD: found 0"),
        ("rates = { USD = 0.92 }", "rates = { EUR = 1, usd = 0.92 }", 'field rates: found "usd"'),
        ("rates = { USD = 0.92 }", "rates = { XXQ = 0.92 }", 'found "XXQ"; there is no such currency'),
        ("mix = { body = 7 }", "mix = { body = 0 }", "field mix.body: found 0"),
        ("mix = { body = 7 }", 'mix = { "Body x" = 7 }', 'field mix: found "Body x"'),
        (
            "mix = { body = 7 }",
            "mix = { body = 0 }\nspam = 1",
            r"field spam: is .* \(also field mix.body: found 0",
        ),
        ('stone = "b"', 'stone = "b"\nname = "body"', "name on two lines"),
    ],
)
def test_a_wrong_area_is_refused_in_one_sentence(file, old, new, words):
    file.path.write_text(JOB.replace(old, new), encoding="utf-8")
    with pytest.raises(Refusal, match=words) as refusal:
        read_job_file(file.path)
    assert "\n" not in str(refusal.value)


def test_a_gradient_that_grows_denser_is_refused():
    with pytest.raises(ValueError, match="at least as wide"):
        Area(name="x", shape="surface", surface_cm2=1, pattern="gradient", spacing_mm=9, end_spacing_mm=4,
             mix={"body": 1})  # fmt: skip


@given(
    st.lists(st.floats(0.01, 9999), min_size=1, max_size=5),
    st.floats(0.1, 2000),
    st.decimals(0, 9_999_999, places=2),
)
def test_any_area_and_budget_come_back_from_a_file(tmp_path_factory, parts, width, budget):
    lines = tuple(Line(stone="a", size="SS20", name=f"line-{n}") for n in range(len(parts)))
    area = Area(
        name="Front", shape="circle", width_cm=width, pattern="full",
        mix={f"line-{n}": part for n, part in enumerate(parts)},
    )  # fmt: skip
    job = Job(title="x", swatch="#112233", venues=("rink",), budget=budget, lines=lines, areas=(area,))
    path = tmp_path_factory.mktemp("job") / "job.toml"
    new_job_file(path, job).save()
    assert read_job_file(path).job == job
