"""What comes first on the page: a pairing from the seats and in the hand by a window, and the costume."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from io import BytesIO

from PIL import Image, PngImagePlugin

from planner.catalogue.palette import load
from planner.catalogue.venue import Venue
from planner.cover.costume import Dressed
from planner.data import shared
from planner.optics.arrays import Floats
from planner.picture.costume import costume
from planner.picture.view import view
from planner.reading.question import Question

NEAR = (520, 376)
"""Pixels of the picture in the hand, printed 87 mm wide and more. One sample each: finer pixels print better
than smoother ones."""

FAR = (340, 246)
"""Of the one from the seats, which an eye's blur leaves nothing finer in."""

COSTUME = 620
"""Pixels of the longer side of the costume."""

SRGB = 1
"""Rendering intent "relative colorimetric" of a PNG's sRGB chunk (PNG specification, 11.3.2.5)."""


@dataclass(frozen=True)
class Pictures:
    """Two PNG files, sRGB."""

    seats: bytes
    hand: bytes
    """By a window, whatever the venue: that is where the parcel is opened."""


@cache
def daylight() -> Venue:
    """Return the daylight by a window that every brief is shown in."""
    return load(shared("brief") / "daylight.toml").venues["window"]


def pictures(question: Question) -> Pictures:
    """Return the two pictures of a question."""
    by_day = replace(question, venue=daylight(), distance=daylight().distance)
    return Pictures(
        png(view(question, *FAR, "seats", finer=1).frame()), png(view(by_day, *NEAR, "hand", finer=1).frame())
    )


def dressed_picture(dress: Dressed, asked: Sequence[Question]) -> bytes:
    """Return the whole costume as it is seen from the seats; `asked` is what each of its lines asks."""
    least, most = dress.outline.box
    across, down = COSTUME * (most - least) / max(most - least)
    return png(costume(dress, asked, round(across), round(down)).frame())


def png(pixels: Floats | Image.Image) -> bytes:
    """Return (H, W, 3) uint8 sRGB, or an RGB image, as a PNG file that says so."""
    image = pixels if isinstance(pixels, Image.Image) else Image.fromarray(pixels)
    info = PngImagePlugin.PngInfo()
    info.add(b"sRGB", bytes([SRGB]))
    file = BytesIO()
    image.save(file, "PNG", pnginfo=info, compress_level=3)
    return file.getvalue()
