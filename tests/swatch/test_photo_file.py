"""Any picture file is read as it looks, or refused in one sentence; its size is looked at first."""

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image, ImageCms

from planner.catalogue import Refusal
from planner.colour.cielab import xyz_to_lab
from planner.colour.difference import delta_e
from planner.colour.screen import srgb_to_lab
from planner.swatch import photo_file
from planner.swatch.photo_file import Area, open_picture

RED, BLUE = (200, 60, 50), (40, 70, 160)


def two_halves(width=80, height=40):
    """Red on the left, blue on the right."""
    image = Image.new("RGB", (width, height), RED)
    image.paste(BLUE, (width // 2, 0, width, height))
    return image


def saved(path, image, **options):
    image.save(path, **options)
    return path


def lab_at(picture, x, y):
    return xyz_to_lab(picture.to_xyz(picture.pixels(Area(x, y, 4, 4)))).mean(axis=(0, 1))


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.heic"])
def test_png_jpeg_and_heic_hold_the_same_colours(tmp_path, name):
    if name.endswith("heic"):
        pillow_heif = pytest.importorskip("pillow_heif")
        pillow_heif.register_heif_opener()
    picture = open_picture(saved(tmp_path / name, two_halves(), quality=95))
    assert (picture.width, picture.height) == (80, 40)
    for x, colour in ((10, RED), (60, BLUE)):
        assert delta_e(lab_at(picture, x, 18), srgb_to_lab(np.array(colour, dtype=np.uint8))) < 2.5


@pytest.mark.parametrize("side", [80, 6000])
def test_the_orientation_tag_turns_the_picture(tmp_path, side):
    exif = Image.Exif()
    exif[0x0112] = 6  # to be shown turned clockwise by a quarter
    path = saved(tmp_path / "a.jpg", two_halves(side, side // 2), exif=exif.tobytes(), quality=95)
    picture = open_picture(path)
    assert (picture.width, picture.height) == (side // 2, side)
    at = side // 8
    for y, colour in ((at, RED), (side - 2 * at, BLUE)):
        assert delta_e(lab_at(picture, at, y), srgb_to_lab(np.array(colour, dtype=np.uint8))) < 2.5


def matrix_profile(primaries, gamma=2.2):
    """Return a small ICC profile of a screen with these primaries (x, y) and D65, adapted to D50.

    The layout is ICC.1:2010; Bradford's matrix from its annex E (from memory).
    """
    bradford = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
    d65, d50 = np.array([0.95047, 1, 1.08883]), np.array([0.9642, 1, 0.8249])
    adapt = np.linalg.inv(bradford) @ np.diag(bradford @ d50 / (bradford @ d65)) @ bradford
    columns = np.array([[x / y, 1, (1 - x - y) / y] for x, y in primaries]).T
    rgb = adapt @ (columns * np.linalg.solve(columns, d65))

    def xyz(value):
        return b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(65536 * one) for one in value))

    text = b"desc\0\0\0\0" + struct.pack(">I", 5) + b"test\0" + bytes(78)
    curve = b"curv\0\0\0\0" + struct.pack(">IH", 1, round(256 * gamma)) + b"\0\0"
    tags = {b"desc": text + bytes(-len(text) % 4), b"wtpt": xyz(d50), b"cprt": b"text\0\0\0\0none\0\0\0\0"}
    tags |= {name: xyz(column) for name, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), rgb.T, strict=True)}
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    table, body, at = struct.pack(">I", len(tags)), b"", 132 + 12 * len(tags)
    for name, content in tags.items():
        table += name + struct.pack(">2I", at + len(body), len(content))
        body += content
    head = struct.pack(">I4sI4s4s4s", at + len(body), b"none", 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    head += bytes(12) + b"acsp" + bytes(28) + struct.pack(">3i", *(round(65536 * one) for one in d50))
    return head.ljust(128, b"\0") + table + body


# Display P3 (SMPTE EG 432-1): the primaries of today's telephones.
P3 = [(0.680, 0.320), (0.265, 0.690), (0.150, 0.060)]


def test_a_wide_gamut_profile_is_honoured(tmp_path):
    image = Image.new("RGB", (40, 40), (60, 220, 70))
    plain = open_picture(saved(tmp_path / "a.png", image))
    wide = open_picture(saved(tmp_path / "b.png", image, icc_profile=matrix_profile(P3)))
    assert wide.profile is not None
    # By hand: gamma 2.2, the primaries of P3 scaled to D65.
    columns = np.array([[x / y, 1, (1 - x - y) / y] for x, y in P3]).T
    matrix = columns * np.linalg.solve(columns, [0.95047, 1, 1.08883])
    expected = xyz_to_lab(matrix @ (np.array([60, 220, 70]) / 255) ** 2.2)
    assert delta_e(lab_at(wide, 5, 5), expected) < 1.0
    assert delta_e(lab_at(plain, 5, 5), expected) > 3.0


def test_an_srgb_profile_changes_nothing_and_a_broken_one_is_told(tmp_path):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    image = Image.new("RGB", (40, 40), BLUE)
    with_profile = open_picture(saved(tmp_path / "a.png", image, icc_profile=profile))
    assert delta_e(lab_at(with_profile, 5, 5), srgb_to_lab(np.array(BLUE, dtype=np.uint8))) < 0.6
    broken = open_picture(saved(tmp_path / "b.png", image, icc_profile=profile[:200]))
    assert "taken as sRGB" in broken.notes[0]


def test_palette_and_16_bit_pictures_are_read(tmp_path):
    path = saved(tmp_path / "a.png", two_halves().quantize(4))
    assert delta_e(lab_at(open_picture(path), 60, 10), srgb_to_lab(np.array(BLUE, dtype=np.uint8))) < 1
    path.write_bytes(deep_png())
    assert delta_e(lab_at(open_picture(path), 2, 2), srgb_to_lab(np.array(BLUE, dtype=np.uint8))) < 0.5


def deep_png(side=40):
    """Return a PNG with 16 bits a channel, all BLUE."""
    rows = (b"\0" + struct.pack(">3H", *(257 * one for one in BLUE)) * side) * side

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">2I5B", side, side, 16, 2, 0, 0, 0)
    parts = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + parts


def truncated(**options):
    noise = Image.effect_noise((300, 200), 60).convert("RGB")
    target = io.BytesIO()
    noise.save(target, "JPEG", **options)
    return target.getvalue()[: len(target.getvalue()) // 2]


def encoded(image, kind, **options):
    target = io.BytesIO()
    image.save(target, kind, **options)
    return target.getvalue()


def said_to_be(side):
    """Return a tiny PNG that claims `side` pixels each way: who decodes it first finds it damaged."""
    data = bytearray(encoded(Image.new("1", (8, 8)), "PNG"))
    data[16:24] = struct.pack(">II", side, side)
    data[29:33] = struct.pack(">I", zlib.crc32(data[12:29]))
    return bytes(data)


def moving(kind):
    return encoded(two_halves(), kind, save_all=True, append_images=[Image.new("RGB", (80, 40))])


def half_there():
    image = two_halves().convert("RGBA")
    image.putalpha(90)
    return image


BAD = {
    "text.jpg": (lambda: b"Dear all,\nthe cloth is blue.\n", "no picture that can be read"),
    "empty.png": (lambda: b"", "no picture that can be read"),
    "cut.jpg": (truncated, "damaged or cut off"),
    "progressive.jpg": (lambda: truncated(progressive=True), "damaged or cut off"),
    "cut.png": (lambda: encoded(two_halves(), "PNG")[:-40], "damaged or cut off"),
    "huge.png": (lambda: said_to_be(30_000), "more than 178 million pixels"),
    "large.png": (lambda: encoded(Image.new("1", (9_000, 9_000)), "PNG"), "at most 64 million"),
    "print.jpg": (lambda: encoded(two_halves().convert("CMYK"), "JPEG"), "CMYK"),
    "grey.png": (lambda: encoded(two_halves().convert("L"), "PNG"), "grey picture"),
    "deep_grey.png": (lambda: encoded(Image.new("I;16", (40, 40)), "PNG"), "grey picture"),
    "moving.png": (lambda: moving("PNG"), "animation"),
    "moving.gif": (lambda: moving("GIF"), "must be PNG, JPEG or HEIC"),
    "ghost.png": (lambda: encoded(half_there(), "PNG"), "see-through"),
    "false.heic": (lambda: b"\0\0\0\x18ftypheic" + bytes(40), "damaged or cut off|no picture"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_files_are_refused_in_one_sentence(tmp_path, name):
    made, says = BAD[name]
    path = tmp_path / name
    path.write_bytes(made())
    with pytest.raises(Refusal, match=says) as caught:
        open_picture(path)
    assert str(caught.value).startswith(str(path))
    assert "\n" not in str(caught.value)


def test_missing_files_folders_and_sizes(tmp_path, monkeypatch):
    with pytest.raises(Refusal, match="no such file"):
        open_picture(tmp_path / "none.jpg")
    with pytest.raises(Refusal, match="a folder"):
        open_picture(tmp_path)
    monkeypatch.setattr(photo_file, "MOST_BYTES", 10)
    with pytest.raises(Refusal, match="at most 10"):
        open_picture(saved(tmp_path / "a.png", two_halves()))


def test_large_pictures_are_kept_small(tmp_path):
    picture = open_picture(saved(tmp_path / "a.jpg", Image.new("RGB", (9000, 6000), BLUE)))
    assert (picture.width, picture.height) == (9000, 6000)
    assert picture.rgb.shape[0] * picture.rgb.shape[1] <= photo_file.WORKING_PIXELS
    assert delta_e(lab_at(picture, 8000, 5000), srgb_to_lab(np.array(BLUE, dtype=np.uint8))) < 1


def test_heic_without_its_reader_is_told(tmp_path, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "pillow_heif", None)
    path = tmp_path / "a.heic"
    path.write_bytes(b"\0\0\0\x18ftypheic" + bytes(40))
    with pytest.raises(Refusal, match="pillow-heif"):
        open_picture(path)
