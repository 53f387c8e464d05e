"""A job remembers its offers and its drawer by paths that move with it."""

from pathlib import Path

from planner.job import Job
from planner.job.companions import carried, companion, written

JOB = Job(title="Hoop act", swatch="#203060", venues=("rink",))


def test_a_file_beside_the_job_is_written_from_its_folder_and_found_again(tmp_path):
    job, offers = tmp_path / "hoop.toml", tmp_path / "lists" / "offers.csv"
    assert written(offers, job) == "lists/offers.csv"
    assert companion("lists/offers.csv", job) == offers


def test_a_file_elsewhere_is_written_in_full(tmp_path):
    job, offers = tmp_path / "jobs" / "hoop.toml", tmp_path / "offers.csv"
    assert companion(written(offers, job), job) == offers
    assert Path(written(offers, job)).is_absolute()
    assert companion("", job) is None
    assert companion("~nobody-of-that-name/offers.csv", None) is not None


def test_a_job_that_moves_still_finds_its_files(tmp_path):
    before, after = tmp_path / "jobs" / "hoop.toml", tmp_path / "hoop.toml"
    job = JOB.model_copy(update={"offers": "offers.csv"})
    changes = carried(job, before, after)
    assert companion(changes["offers"], after) == companion("offers.csv", before)
    assert carried(job, before, before.with_name("other.toml")) == {}
    assert carried(JOB, before, after) == {}
