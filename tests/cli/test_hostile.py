"""What hostile paths, streams and files come to: one sentence, and never a fault of ours."""

import os
import subprocess
import sys
import time

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from planner import atomic
from planner.app.run import _lenient
from planner.brief.save import save
from planner.catalogue.spectra.file import read_readings
from planner.cli import main
from planner.refusal import Refusal
from planner.swatch.photo_file import open_picture

COMMANDS = (
    ["check"], ["cover"], ["brief"], ["order"], ["offers"], ["swatch", "measured"], ["swatch", "photo"],
    ["list", "stones", "--palettes"], ["demo"], ["open"],
)  # fmt: skip


IMPOSSIBLE = ("a\0b", "x" * 300, "/" + "y/" * 3000)
ODD = ("no\x1b[31m\x07w", "none/\udcff", "~nobody/x")


@pytest.mark.parametrize("path", [*IMPOSSIBLE, *ODD])
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_a_path_that_cannot_be_is_one_short_sentence(command, path, monkeypatch, tmp_path):
    if command == ["demo"] and path in ODD:
        pytest.skip("a new folder may be called that")
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, [*command, path])
    assert result.exit_code == 2, result.stderr
    assert result.stderr.count("\n") == 1
    assert len(result.stderr) < 900
    assert result.stderr.rstrip("\n").isprintable()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="streams are closed as POSIX does it")
@pytest.mark.parametrize(("closing", "status"), [("<&-", 0), (">&-", 2), ("2>&-", 0), ("<&- >&- 2>&-", 2)])
def test_closed_streams_are_no_fault(closing, status, tmp_path):
    done = subprocess.run(
        ["sh", "-c", f'"$0" -m planner list swatches {closing}', sys.executable], cwd=tmp_path,
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == status, done.stderr
    assert "wrong in the planner itself" not in done.stderr


@pytest.mark.parametrize(
    "text",
    [
        "\n" * 30_000 + "BEGIN_DATA\n",
        "BEGIN_DATA_FORMAT\n" + "SPECTRAL_NM400 " * 60_000 + "\nEND_DATA_FORMAT\n",
        "BEGIN_DATA_FORMAT\n" * 30_000, " \n" * 60_000 + "END_DATA\n",
        "BEGIN_DATA\n" + "\n" * 60_000 + "END_DATA\n",
    ],
)  # fmt: skip
def test_a_file_of_many_empty_lines_or_names_is_refused_soon(text, tmp_path):
    path = tmp_path / "cloth.txt"
    path.write_text(text)
    begun = time.process_time()
    with pytest.raises(Refusal):
        read_readings(path)
    assert time.process_time() - begun < 2.0


@pytest.mark.parametrize("size", [(1, 400), (400, 1), (1, 1), (15, 400)])
def test_a_photograph_of_a_few_pixels_is_refused(size, tmp_path):
    path = tmp_path / "thin.png"
    Image.fromarray(np.full((size[1], size[0], 3), 200, np.uint8)).save(path)
    with pytest.raises(Refusal, match="pixels; at least 16 either way"):
        open_picture(path)


def test_a_byte_that_is_no_letter_is_shown_as_a_mark():
    decoder = _lenient("utf-8")()
    assert decoder.decode(b"a\xff\xc3(") == "a\ufffd\ufffd("


@pytest.mark.parametrize("name", ["..png", "..txt", ". .pdf", "...png"])
def test_a_page_needs_a_name_before_its_ending(name, tmp_path):
    with pytest.raises(Refusal, match="found no name before"):
        save(b"x", tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_demo_that_a_full_disk_ends_leaves_nothing(tmp_path, monkeypatch):
    written = []

    def full(target, *_):
        written.append(target)
        if len(written) > 3:
            raise Refusal("No space left on device")
        target.touch()

    monkeypatch.setattr(atomic, "write", full)
    result = CliRunner().invoke(main, ["demo", str(tmp_path / "a" / "b")])
    assert result.exit_code == 2, result.stderr
    assert len(written) == 4
    assert list(tmp_path.iterdir()) == []
