"""What becomes of a job's areas when its lines are copied and removed on the screen."""

from pathlib import Path

from planner.app.state import state_of
from planner.catalogue import load
from planner.data import demo
from planner.job import read_job_file


def opened():
    job = read_job_file(demo() / "jobs" / "hoop-second-half.toml").job
    return state_of(job, load(demo()), None, Path("x"))


def test_a_copied_line_is_no_line_of_an_area():
    state = opened().with_new_line()
    assert state.pairing.name is None
    assert state.job.areas == opened().job.areas


def test_a_removed_line_leaves_its_areas_and_comes_back_with_undo():
    state = opened().at_line(2)
    assert state.gone_with_line == 'The area "Side, under the arm" had no other stones and was removed too.'
    after = state.without_line()
    assert [area.name for area in after.job.areas] == ["Front", "Neckline", "Cuff"]
    assert after.undo().job == state.job


def test_a_job_that_lost_a_line_can_be_opened_again(tmp_path):
    source = demo() / "jobs" / "hoop-second-half.toml"
    path = tmp_path / "job.toml"
    path.write_bytes(source.read_bytes())
    file = read_job_file(path)
    after = state_of(file.job, load(demo()), file, path).without_line()
    file.with_job(after.job).save()
    assert read_job_file(path).job == after.job
    assert after.gone_with_line == ""
