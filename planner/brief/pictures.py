"""What comes first on the page: a pairing from the seats and in the hand by a window, and the costume."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, PngImagePlugin

from planner.catalogue.palette import load
from planner.catalogue.venue import Venue
from planner.cover.costume import Dressed
from planner.data import shared
from planner.optics.store import fingerprint
from planner.picture.costume import costume
from planner.picture.drawn import drawn
from planner.picture.kinds import Kind
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
    return Pictures(_picture(question, FAR, "seats"), _picture(by_day, NEAR, "hand"))


def _picture(question: Question, size: tuple[int, int], kind: Kind) -> bytes:
    return png(drawn([question], (size, kind), lambda: view(question, *size, kind, finer=1).frame()))


def dressed_picture(dress: Dressed, asked: Sequence[Question]) -> bytes:
    """Return the whole costume as it is seen from the seats; `asked` is what each of its lines asks."""
    least, most = dress.outline.box
    across, down = (round(float(side)) for side in COSTUME * (most - least) / max(most - least))
    outline, stones = dress.outline, (dress.centres, dress.diameters, dress.which)
    corners = [*outline.parts.values(), *outline.lines.values()]
    how = (across, down, list(outline.parts), list(outline.lines), fingerprint(*stones, *corners))
    return png(drawn(asked, how, lambda: costume(dress, asked, across, down).frame()))


def png(pixels: NDArray[np.uint8] | Image.Image) -> bytes:
    """Return (H, W, 3) uint8 sRGB, or an RGB image, as a PNG file that says so."""
    image = pixels if isinstance(pixels, Image.Image) else Image.fromarray(pixels)
    info = PngImagePlugin.PngInfo()
    info.add(b"sRGB", bytes([SRGB]))
    file = BytesIO()
    image.save(file, "PNG", pnginfo=info, compress_level=3)
    return file.getvalue()
