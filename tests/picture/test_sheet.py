"""The sheet that is written: a whole PNG, or one sentence and nothing changed."""

import stat

import numpy as np
import pytest
from PIL import Image

from planner import atomic
from planner.catalogue import load
from planner.colour.screen import parse_hex
from planner.data import demo
from planner.picture import sheet
from planner.picture.png import checked, save
from planner.picture.sheet import HEIGHT, MARGIN, ROW, WIDTH, write_picture
from planner.reading.matter import QUICK
from planner.reading.question import Question, coating_called, typed_colour
from planner.reading.read import read
from planner.refusal import Refusal


@pytest.fixture(scope="module")
def reading():
    palette = load(demo())
    stone, venue = palette.stones["tackle-jet"], palette.venues["theatre"]
    cloth = typed_colour("#20242c")
    film = coating_called("halyard-aurora", palette)
    question = Question(
        stone, palette.cuts[stone.cut], film, "SS20", typed_colour("#2f5fb0"), cloth, venue, venue.distance
    )
    return read(question, QUICK)


@pytest.fixture
def small(monkeypatch):
    """Draw few pixels: what is checked here is the sheet."""
    whole = sheet.view
    monkeypatch.setattr(sheet, "view", lambda *asked: whole(*asked, finer=1))


def test_a_sheet_is_written_whole(reading, tmp_path, small):
    path = tmp_path / "out.png"
    write_picture(reading, path)
    with Image.open(path) as image:
        assert image.format == "PNG"
        assert image.size == (WIDTH, HEIGHT)
        pixels = np.asarray(image)
    glow = pixels[ROW + 50, MARGIN + 188 + 60]
    assert (glow == parse_hex(reading.seen.hex)).all()
    assert (pixels[ROW + 50, MARGIN + 60] == parse_hex(reading.swatch.hex)).all()
    assert [one.name for one in tmp_path.iterdir()] == ["out.png"]


def test_labels_tell_pairing_place_and_basis(reading, monkeypatch):
    said = []
    monkeypatch.setattr(sheet, "_text", lambda *given: said.append(given[2]))
    monkeypatch.setattr(sheet, "_panels", lambda *_: (43.0, 129.0))
    sheet.sheet(reading)
    text = " | ".join(said)
    for words in ("Tackle jet with Halyard aurora, SS20", "Theatre", "15 m", "invented numbers",
                  "dimmer than they are", reading.seen.name, reading.cloth.name):  # fmt: skip
        assert words in text
    main = reading.flash.main
    assert f"{main} {100 * reading.flash.by_luminance[main]:.0f} / " in text


@pytest.mark.parametrize("name", ["out.jpg", "out", "no/such/folder/out.png"])
def test_a_bad_path_is_refused_before_anything_is_drawn(reading, tmp_path, name):
    with pytest.raises(Refusal, match=r"out") as refused:
        write_picture(reading, tmp_path / name)
    assert "\n" not in str(refused.value)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_may_not_be_written_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("planner.picture.png.os.access", lambda *_: False)
    with pytest.raises(Refusal, match="nothing may be written"):
        checked(tmp_path / "out.png")


def test_a_folder_of_that_name_is_refused(tmp_path):
    (tmp_path / "out.png").mkdir()
    with pytest.raises(Refusal, match="found a folder"):
        checked(tmp_path / "out.png")


def test_a_failed_write_leaves_the_old_picture(tmp_path, monkeypatch):
    path = tmp_path / "out.png"
    save(Image.new("RGB", (4, 4), "#102030"), path)
    before = path.read_bytes()
    image = Image.new("RGB", (4, 4))

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic.os, "fsync", full)
    with pytest.raises(Refusal, match="No space left"):
        save(image, path)
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == ["out.png"]


def test_a_picture_may_be_read_by_others(tmp_path):
    path = tmp_path / "out.png"
    save(Image.new("RGB", (4, 4)), path)
    assert stat.S_IMODE(path.stat().st_mode) & 0o400


def test_a_name_the_font_lacks_gives_way_to_the_identifier():
    assert sheet._plain("Étoile", "etoile") == "Etoile"
    assert sheet._plain("Ангар", "hangar") == "hangar"
