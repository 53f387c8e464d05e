"""A palette entry that names an instrument's file: read from beside the palette, and from nowhere else."""

import numpy as np
import pytest

from planner.catalogue import Refusal, read_palette_file
from planner.catalogue.files import MAX_BYTES
from planner.reading.matter import absorption
from planner.reading.question import swatch_colour

ENTRY = '[[swatch]]\nid = "hoop"\nname = "Hoop"\nbasis = "measured"\nfile = "{}"\n'
STONE = (
    '[[stone]]\nid = "hoop-glass"\nname = "Hoop glass"\nbasis = "measured"\nmaterial = "glass"\n'
    'cut = "twelve"\nfile = "glass.csv"\ndepth_mm = 5\nsizes = ["SS20"]\n'
)
CSV = "nm;R %\n" + "".join(f"{nm};{5 + nm / 100:g}\n".replace(".", ",") for nm in range(380, 790, 10))


@pytest.fixture
def folder(tmp_path):
    inside = tmp_path / "palettes"
    (inside / "spectra").mkdir(parents=True)
    (inside / "spectra" / "hoop.csv").write_text(CSV)
    (tmp_path / "outside.csv").write_text(CSV)
    return inside


def read(folder, name, text=ENTRY):
    palette = folder / "own.toml"
    palette.write_text(text.format(name), encoding="utf-8")
    return read_palette_file(palette)


def test_it_is_the_spectrum_of_the_file_and_stays_in_the_file(folder):
    file = read(folder, "spectra/hoop.csv")
    (swatch,) = file.entries
    assert swatch.spectrum[0] == (380.0, 0.088)
    assert swatch_colour(swatch).reflectance[36] == pytest.approx(0.106, abs=1e-6)
    renamed = file.with_entry(swatch.model_copy(update={"name": "Hoop in blue"})).save()
    assert "Hoop in blue" in renamed.source.text
    assert "spectrum" not in renamed.source.text
    assert read_palette_file(folder / "own.toml").entries[0].spectrum == swatch.spectrum


def test_a_changed_file_is_another_swatch(folder):
    (before,) = read(folder, "spectra/hoop.csv").entries
    (folder / "spectra" / "hoop.csv").write_text(CSV.replace("8,8", "9,8"))
    (after,) = read(folder, "spectra/hoop.csv").entries
    assert before != after


def test_a_body_may_be_in_a_file_too(folder):
    (folder / "glass.csv").write_text("".join(f"{nm}, 0.5\n" for nm in range(380, 790, 10)))
    (stone,) = read(folder, "", STONE).entries
    assert absorption(stone, None) == pytest.approx(np.full(81, -np.log(0.5) / 5), rel=1e-3)


@pytest.mark.parametrize(
    "name", ["../outside.csv", "/etc/passwd", "spectra/../../outside.csv", "C:/x.csv", ""]
)
def test_a_file_elsewhere_is_refused(folder, name):
    with pytest.raises(Refusal, match="it must name a file in the palette's own folder") as refused:
        read(folder, name)
    assert "own.toml line 1" in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_link_out_of_the_folder_is_refused(folder):
    (folder / "link.csv").symlink_to(folder.parent / "outside.csv")
    with pytest.raises(Refusal, match="leads out of the palette's folder"):
        read(folder, "link.csv")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (None, "there is no such file"),
        ("Dear all,\nthe cloth is blue.\n", "found no spectrum"),
        ("1\n" * MAX_BYTES, "a file may have at most"),
        ("".join(f"{nm},0.5\n" for nm in (*range(380, 500, 10), *range(560, 790, 10))), "nothing between"),
        ("".join(f"{nm},0.5\n" for nm in range(450, 790, 10)), "must reach"),
        ("".join(f"{nm},-0.5\n" for nm in range(380, 790, 10)), "not below 0"),
        ("".join(f"{nm},{0.1},{0.6}\n" for nm in range(380, 790, 10)), "2 readings that differ"),
    ],
)
def test_a_file_that_holds_no_spectrum_is_one_sentence(folder, content, says):
    if content is not None:
        (folder / "hoop.csv").write_text(content)
    with pytest.raises(Refusal, match=says) as refused:
        read(folder, "hoop.csv")
    assert str(refused.value).startswith(f'{folder / "own.toml"} line 1, swatch "hoop", field file: ')
    assert "\n" not in str(refused.value)


def test_file_and_spectrum_together_are_refused(folder):
    with pytest.raises(Refusal, match="found file and spectrum; give one of them"):
        read(folder, "spectra/hoop.csv", ENTRY + "spectrum = [[400, 0.5], [700, 0.5]]\n")
