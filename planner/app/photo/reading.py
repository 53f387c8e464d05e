"""What a photograph says, worked out behind the screen, and how it is put to a person."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.app.photo.frames import Frames, beginning
from planner.colour.cielab import xyz_to_lab
from planner.colour.screen import lab_to_srgb
from planner.reading.drift import TOLERANCES
from planner.refusal import Refusal
from planner.swatch.photo import measure
from planner.swatch.photo_areas import propose
from planner.swatch.photo_error import Light
from planner.swatch.photo_file import Picture, open_picture
from planner.swatch.spread import metric
from planner.swatch.taken import Taken

_SIDE = 480
"""Longest side, pixels, of the copy that is drawn; more than cells of any console show."""


@dataclass(frozen=True, eq=False)
class Opened:
    """A photograph, ready to be drawn and measured."""

    picture: Picture
    small: NDArray[np.uint8]
    """A small copy (h, w, 3) in sRGB."""
    frames: Frames
    complaint: str
    """Why nothing could be proposed; empty if the frames are a proposal."""


def opened(path: Path) -> Opened:
    """Open a photograph and propose where cloth and paper are; Refusal if it cannot be opened."""
    picture = open_picture(path)
    try:
        frames, complaint = Frames(*propose(picture)), ""
    except Refusal as problem:
        frames = beginning(picture.width, picture.height)
        why = str(problem).partition(";")[0]
        complaint = f"{sentence(why)[:-1]}: put frame C on the cloth and W on the paper."
    return Opened(picture, small_copy(picture), frames, complaint)


def small_copy(picture: Picture) -> NDArray[np.uint8]:
    """Return a small copy (h, w, 3) of a photograph in sRGB, to be drawn."""
    image = Image.fromarray(picture.rgb)
    image.thumbnail((_SIDE, _SIDE), Image.Resampling.BOX)
    encoded = np.asarray(image)
    return encoded if picture.profile is None else lab_to_srgb(xyz_to_lab(picture.to_xyz(encoded)))[0]


def read_cloth(picture: Picture, frames: Frames, light: Light) -> Taken:
    """Return the colour in frame C by the paper in frame W; ValueError with the reason if there is none."""
    return measure(picture, cloth=frames.cloth, white=frames.white, light=light).swatch


def sentence(text: str) -> str:
    """Return a reason as a sentence with a capital and a full stop."""
    return f"{text[:1].upper()}{text[1:]}".rstrip(".") + "."


def neighbours(swatch: Taken) -> NDArray[np.float64]:
    """Return CIELAB (3, 3, 3): the colour in the middle, around it those it may be instead.

    Columns go along the direction in which it is least sure, lightness rising where it takes part, and
    rows along the next; each neighbour beside the middle is as far off, in CIEDE2000, as the colour's
    uncertainty.
    """
    lab = swatch.colour.lab
    _, axes = np.linalg.eigh(swatch.covariance)
    form = metric(lab)
    steps = []
    for axis in (axes[:, 2], axes[:, 1]):
        rising = axis if axis[0] >= 0 else -axis
        steps.append(rising * swatch.colour.uncertainty / np.sqrt(rising @ form @ rising))
    ways = np.array([-1.0, 0.0, 1.0])
    # A corner lies as far off as a side does.
    corner = np.where((ways[:, None] != 0) & (ways[None] != 0), np.sqrt(0.5), 1.0)[..., None]
    apart = ways[None, :, None] * steps[0] + ways[:, None, None] * steps[1]
    found = lab + corner * apart
    found[..., 0] = np.clip(found[..., 0], 0.0, 100.0)
    return np.asarray(found)


def decides(swatch: Taken) -> str:
    """Say in one sentence what the colour is known well enough for."""
    sure = {word: swatch.colour.uncertainty <= most for word, most in TOLERANCES.items() if most is not None}
    if sure["arm"]:
        return "Good enough to decide from the seats and at arm's length."
    if sure["seats"]:
        return "Good enough to decide from the seats, but not at arm's length."
    return "Too uncertain to decide a match; it tells one hue from another."
