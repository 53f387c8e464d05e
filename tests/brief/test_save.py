"""A brief's file: written whole or not at all, never over another, and in the form that its name says."""

import errno

import pytest
from PIL import Image

from planner.brief import page
from planner.brief.gather import gather
from planner.brief.page import brief
from planner.brief.save import save
from planner.catalogue import Refusal
from planner.reading.matter import QUICK


@pytest.mark.parametrize("name", ["brief.pdf", "brief.png", "brief.txt"])
def test_a_full_disk_leaves_nothing_and_harms_nothing(made, tmp_path, monkeypatch, name):
    path = tmp_path / name
    path.write_bytes(b"before")

    def full(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(Refusal, match="No space left on device"):
        page.save_as(made, path, replace=True)
    assert [one.name for one in tmp_path.iterdir()] == [name]
    assert path.read_bytes() == b"before"


def test_a_full_temporary_folder(told, monkeypatch, no_pictures):
    def full(*_, **__):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("shutil.copyfile", full)
    with pytest.raises(Refusal, match=r"temporary folder: nothing can be written there \(No space left"):
        brief(told)


def test_a_file_that_is_there_is_not_written_over(tmp_path):
    path = tmp_path / "brief.txt"
    path.write_bytes(b"mine")
    with pytest.raises(Refusal, match="--replace"):
        save(b"new", path)
    assert path.read_bytes() == b"mine"
    save(b"new", path, replace=True)
    assert path.read_bytes() == b"new"
    assert [one.name for one in tmp_path.iterdir()] == ["brief.txt"]


def test_a_file_has_the_form_that_its_name_says(job, palette, tmp_path, no_pictures):
    single = job.model_copy(update={"lines": job.lines[1:2], "areas": ()})
    made = brief(gather(single, palette, grade=QUICK))
    files = [tmp_path / f"brief{end}" for end in (".pdf", ".png", ".txt")]
    for path in files:
        page.save_as(made, path)
    assert files[0].read_bytes().startswith(b"%PDF")
    with Image.open(files[1]) as image:
        assert image.info["srgb"] == 1
    assert single.title in files[2].read_text(encoding="utf-8")
    assert [image.size for image in made.images(40)] == [(331, 468)]


def test_a_folder_that_may_not_be_written_in_is_told_before_any_work(tmp_path, monkeypatch):
    monkeypatch.setattr("os.access", lambda *_: False)
    with pytest.raises(Refusal, match=r"nothing may be written in .*; name another folder"):
        save(b"new", tmp_path / "brief.pdf")
    assert not any(tmp_path.iterdir())
