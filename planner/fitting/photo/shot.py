"""One photograph of stones beside a white reference: each stone's colour in daylight, and its error."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from planner.colour.cielab import xyz_to_lab
from planner.fitting.photo.stone import StoneRead, read_stone
from planner.optics.arrays import Floats
from planner.refusal import InvalidValue
from planner.swatch.photo import by_white, light_notes
from planner.swatch.photo_area import Patch, look
from planner.swatch.photo_areas import propose_white
from planner.swatch.photo_error import Light, camera_errors, card, paper
from planner.swatch.photo_file import Area, Picture

CAMERA_SHARED: Final = (0.4, 0.3, 0.1)
"""Share of the variance that a camera's errors of lightness, chroma and hue have in common for all
colours of one photograph: as the correlation between samples in ``tests/speed/camera_error.py``, daylight."""

# Our choices.
_RING: Final = (1.15, 1.5)
"""Where the card about a stone is looked at: a ring, in diameters of the stone."""

_LEAST_RINGS: Final = 4
_RING_SCATTER: Final = 0.08
"""Scatter of the rings' logarithm of luminance about a plane up to which they are one card."""

_MOST_SLOPE: Final = 0.7
"""Largest logarithm of luminance by which light is taken to fall off between stone and white."""

_LIGHTER_CARD: Final = 1.1
"""Times the white from which the card is lighter than a white can be beside it."""

_MUCH_BRIGHT: Final = 0.02
"""Share of a stone that mirrors a lamp from which that is told."""


@dataclass(frozen=True, slots=True, eq=False)
class Stone:
    """One stone of a photograph."""

    area: Area
    lab: Floats
    """(3,) CIELAB of its glow in daylight."""
    own: Floats
    """(3, 3) covariance that another stone of the shot would draw anew: unevenness, what was burnt out,
    and the part of the camera's error that differs from colour to colour."""
    shared: Floats
    """(3, 6) how errors of white (three) and camera (three) move it, which all colours share."""
    read: StoneRead


@dataclass(frozen=True, slots=True, eq=False)
class Shot:
    """The stones of one photograph."""

    white: Area
    stones: tuple[Stone | None, ...]
    """In the order of their areas; None where one cannot be read."""
    unread: tuple[str, ...]
    """Why, for each that cannot be read."""
    notes: tuple[str, ...]


def read_shot(
    picture: Picture, areas: Sequence[Area], *, white: Area | None = None, grey: float | None = None,
    light: Light = "unknown", called: Sequence[str] = (),
) -> Shot:  # fmt: skip
    """Return the colours of stones on a photograph.

    Parameters
    ----------
    picture
        The photograph, in even light, with white paper or a grey card in it.
    areas
        The box round each stone.
    white, grey, light
        As for `planner.swatch.photo.measure`.
    called
        What to call each stone in a refusal; by its number where nothing is said.

    Raises
    ------
    ValueError
        With the reason, if the white cannot be read, or no stone can.

    """
    place = propose_white(picture) if white is None else white
    on_white = look(picture, place, "white")
    what = "white paper" if grey is None else "grey card"
    notes = [*picture.notes, *light_notes(on_white, on_white, what)]
    reference, spread = paper(light) if grey is None else card(grey)
    brightest = on_white.xyz / (1.0 if grey is None else grey)
    names = called or [f"stone {number}" for number in range(1, len(areas) + 1)]
    read, unread = _read(picture, areas, brightest, names)
    rings = [_ring(picture, one) for one in areas]
    levels = _levels(areas, rings, on_white)
    root = np.linalg.cholesky(spread)
    stones: list[Stone | None] = []
    for area, one, (level, doubt) in zip(areas, read, levels, strict=True):
        if one is None:
            stones.append(None)
            continue
        lab, jacobian = by_white(one.xyz * np.exp(-level), on_white.xyz, reference)
        turn, sd = camera_errors(lab, light)
        common = np.array(CAMERA_SHARED)
        own = turn @ np.diag(sd**2 * (1.0 - common)) @ turn.T
        # What was burnt out may have been glow as well as lamp.
        own[0, 0] += ((lab[0] + 16.0) / 3.0 * np.hypot(doubt, one.bright)) ** 2
        shared = np.concatenate([jacobian @ root, turn * (sd * np.sqrt(common))], axis=1)
        stones.append(Stone(area, lab, own, shared, one))
    if any(one is not None and one.bright > _MUCH_BRIGHT for one in read):
        notes.append(
            "Some of the stones mirror a lamp or are burnt out in places; that is left out, so their "
            "lightness is less certain."
        )
    lighter = [
        ring / np.exp(level) / brightest[1]
        for ring, (level, _) in zip(rings, levels, strict=True)
        if ring is not None
    ]
    if lighter and np.median(lighter) > _LIGHTER_CARD:
        notes.append(
            f"The card around the stones is lighter than the {what}: check that the {what} is marked "
            "correctly."
        )
    return Shot(place, tuple(stones), unread, tuple(notes))


def _read(
    picture: Picture, areas: Sequence[Area], white: Floats, names: Sequence[str]
) -> tuple[list[StoneRead | None], tuple[str, ...]]:
    """Return what each box shows, and why some cannot be read; refuse if none can."""
    read: list[StoneRead | None] = []
    unread = []
    for area, name in zip(areas, names, strict=True):
        try:
            read.append(read_stone(picture, area, white, name))
        except InvalidValue as problem:
            read.append(None)
            unread.append(str(problem))
    if areas and len(unread) == len(areas):
        raise InvalidValue(unread[0])
    return read, tuple(unread)


def _levels(areas: Sequence[Area], rings: Sequence[float | None], white: Patch) -> list[tuple[float, float]]:
    """Return by how much more light there is at each stone than at the white, logarithm, and its sd.

    A plane through the card's brightness round every stone says how the light falls off, where the card
    is one; else the white's own fall is carried on.
    """
    centres = np.array([[one.x + one.width / 2, one.y + one.height / 2] for one in areas])
    known = np.array([one is not None for one in rings])
    slope, doubt = white.slope, 0.5
    if known.sum() >= _LEAST_RINGS:
        bright = np.log(np.maximum([one for one in rings if one is not None], 1e-6))
        at = centres[known] - centres[known].mean(axis=0)
        found = np.linalg.lstsq(np.column_stack([at, np.ones(len(at))]), bright, rcond=None)[0]
        scatter = float(np.std(bright - at @ found[:2] - found[2]))
        if scatter <= _RING_SCATTER:
            slope, doubt = found[:2], 0.15
    levels = np.clip((centres - white.centre) @ slope, -_MOST_SLOPE, _MOST_SLOPE)
    return [(float(one), abs(float(one)) * doubt + 0.015) for one in levels]


def _ring(picture: Picture, area: Area) -> float | None:
    """Return the median luminance of the card round a stone; None where the picture ends."""
    side = max(area.width, area.height)
    reach = round(_RING[1] * side / 2)
    x, y = area.x + area.width // 2, area.y + area.height // 2
    box = Area(x - reach, y - reach, 2 * reach, 2 * reach)
    if min(box.x, box.y) < 0 or box.x + box.width > picture.width or box.y + box.height > picture.height:
        return None
    encoded = picture.pixels(box)
    high, wide = encoded.shape[:2]
    down, along = np.mgrid[-1.0 : 1.0 : high * 1j, -1.0 : 1.0 : wide * 1j]
    ring = np.hypot(down, along)
    xyz = picture.to_xyz(encoded[(ring > _RING[0] / _RING[1]) & (ring < 1.0)])
    lightness = xyz_to_lab(xyz)[..., 0]
    return float(np.median(xyz[:, 1])) if np.std(lightness) < 20.0 and len(xyz) else None
