"""Files of an older planner are read, and it is told what they are read as."""

import pytest

from planner.job import new_job_file, read_job_file
from planner.job.model import Acceptance, Job, Line

OLD = """title = "Old"
swatch = "#204080"
venues = ["rink"]
wearer = "under 12"

[[line]]
stone = "grommet-clear"
size = "SS16"
accept = [{ code = "lead-under-12", who = "Ada", why = "Seen." }]
"""


@pytest.fixture
def old(tmp_path):
    path = tmp_path / "old.toml"
    path.write_text(OLD)
    return read_job_file(path)


def test_a_child_of_12_is_a_child(old):
    # Section 101 of Public Law 110-314: products for children "12 years of age or younger" (from memory).
    assert old.job.wearer == "12 or younger"
    assert old.job.lines[0].accept[0].code == "lead-12-or-younger"


def test_it_is_told_what_an_older_word_is_read_as(old):
    assert [note.partition(": ")[2].partition(";")[0] for note in old.notes] == [
        '"under 12" is read as "12 or younger"', '"lead-under-12" is read as "lead-12-or-younger"',
    ]  # fmt: skip


def test_a_file_of_today_says_nothing(tmp_path):
    yes = Acceptance(code="lead-12-or-younger", who="Ada", why="Seen.")
    line = Line(stone="grommet-clear", size="SS16", accept=(yes,))
    job = Job(title="New", swatch="#204080", venues=("rink",), wearer="12 or younger", lines=(line,))
    assert read_job_file(new_job_file(tmp_path / "new.toml", job).save().path).notes == ()


def test_another_change_leaves_the_older_words_as_they_stand(old):
    text = old.with_job(old.job.model_copy(update={"title": "Newer"})).source.text
    assert text == OLD.replace('"Old"', '"Newer"')
