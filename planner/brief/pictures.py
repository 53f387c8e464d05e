"""The three pictures of a pairing: in the hand, from the seats, and in the hand by daylight."""

from dataclasses import dataclass, replace
from functools import cache
from io import BytesIO

from PIL import Image, PngImagePlugin

from planner.catalogue.palette import load
from planner.catalogue.venue import Venue
from planner.data import shared
from planner.optics.arrays import Floats
from planner.picture.picture import default_width_mm, frame, prepare, scene_at_distance
from planner.picture.view import WIDER
from planner.reading.question import Question

WIDTH = 440
"""Pixels across a picture printed 57 mm wide: about 195 to the inch. One sample each: finer pixels print
better than smoother ones."""

FAR_WIDTH = 280
"""Of the one from the seats, which an eye's blur leaves nothing finer in."""

FLAT = 0.676
"""Height over width, where a picture is not square."""

SRGB = 1
"""Rendering intent "relative colorimetric" of a PNG's sRGB chunk (PNG specification, 11.3.2.5)."""


@dataclass(frozen=True)
class Pictures:
    """Three PNG files, sRGB."""

    hand: bytes
    seats: bytes
    daylight: bytes


@cache
def daylight() -> Venue:
    """Return the daylight by a window that every brief is shown in."""
    return load(shared("brief") / "daylight.toml").venues["window"]


def pictures(question: Question, *, square: bool = False) -> Pictures:
    """Return the three pictures of a question."""
    size, far_size = ((wide, round(wide * (1.0 if square else FLAT))) for wide in (WIDTH, FAR_WIDTH))
    across = default_width_mm(question)
    near = frame(prepare(question, *size, mm_across=across, samples=1))
    wide = prepare(question, *far_size, mm_across=WIDER * across, samples=1)
    far = scene_at_distance(wide, 0.0, question.distance)
    outside = replace(question, venue=daylight(), distance=daylight().distance)
    return Pictures(png(near), png(far), png(frame(prepare(outside, *size, mm_across=across, samples=1))))


def png(pixels: Floats | Image.Image) -> bytes:
    """Return (H, W, 3) uint8 sRGB, or an RGB image, as a PNG file that says so."""
    image = pixels if isinstance(pixels, Image.Image) else Image.fromarray(pixels)
    info = PngImagePlugin.PngInfo()
    info.add(b"sRGB", bytes([SRGB]))
    file = BytesIO()
    image.save(file, "PNG", pnginfo=info, compress_level=3)
    return file.getvalue()
