"""The pattern on its cloth from above, to scale, in the job's colours or in letters."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.catalogue.sizes import size
from planner.colour.screen import linear_to_srgb, srgb_to_linear
from planner.cover.count import stones_per_mm2
from planner.cover.layout import MOST_STONES, Layout, Piece, layout
from planner.cover.outline import inside
from planner.cover.surface import worn_mm
from planner.job.area import Area
from planner.job.model import Line
from planner.optics.arrays import Floats

_SHARPER = 4
"""Samples to a pixel, each way."""

_BEYOND = np.array([96, 96, 96], np.uint8)
"""What is not the area, sRGB: a grey that is no cloth's."""

LETTERS = "abcdefghijklmnopqrst"
"""What each line of a mix is drawn as where there are no colours."""

_CLOTH, _NOTHING = "·", " "


@dataclass(frozen=True, eq=False)
class Plan:
    """A layout and the scale it is drawn at."""

    area: Area

    layout: Layout

    mm: float
    """Millimetres to a pixel, each way; a cell of a terminal is one pixel wide and two high."""

    columns: int
    """Pixels across."""

    rows: int
    """Pixels down, an even number."""

    @property
    def bounded(self) -> bool:
        """Whether the area has an edge: a motif and a mere row have none that is known."""
        area = self.area
        return area.pattern != "motif" and not (area.shape == "band" and area.width_cm is None)

    @property
    def shown_mm(self) -> tuple[float, float]:
        """Width and height of what is shown: of the area if all of it is, else of the picture."""
        if self.whole and self.bounded:
            return worn_mm(self.area)
        return self.mm * self.columns, self.mm * self.rows

    @property
    def whole(self) -> bool:
        """Whether all of the area is on it."""
        piece, (wide, high) = self.layout.piece, worn_mm(self.area)
        if self.area.pattern == "motif":
            return True
        right, low = piece.left + piece.width, piece.top + piece.height
        return piece.left <= 0.0 and piece.top <= 0.0 and right >= wide and low >= high


def plan(area: Area, lines: Sequence[Line], columns: int, rows: int, across_mm: float | None = None) -> Plan:
    """Return a layout at a scale that fits a picture.

    Parameters
    ----------
    area
        The area; one of it is drawn, as worn.
    lines
        The lines of its mix, in that order.
    columns, rows
        Size of the picture in pixels; `rows` is even.
    across_mm
        How much of the cloth the picture is wide, mm; all of the area when not given, or as much of it as
        holds no more stones than a layout does.

    Raises
    ------
    Refusal
        If stones would overlap at the spacing given.
    ValueError
        If more stones than a layout holds would lie on the piece.

    """
    widths = [size(line.size).nominal_mm for line in lines]
    largest = max(widths)
    if area.pattern == "motif":
        drawn = layout(area, lines)
        mm = max(drawn.piece.width / columns, drawn.piece.height / rows)
        return Plan(area, _centred(drawn, columns * mm, rows * mm), mm, columns, rows)
    wide, high = worn_mm(area)
    # Half a stone stands out over an edge that a line follows.
    fits = max((wide + largest) / columns, (high + largest) / rows)
    mm = fits if across_mm is None else across_mm / columns
    if across_mm is None and "line" not in area.pattern:
        most = math.sqrt(0.9 * MOST_STONES / (stones_per_mm2(area, widths) * columns * rows))
        mm = min(mm, most)
    piece = _piece(area, (columns * mm, rows * mm), largest)
    return Plan(area, layout(area, lines, piece), mm, columns, rows)


def _centred(drawn: Layout, wide: float, high: float) -> Layout:
    piece = Piece(0.5 * (drawn.piece.width - wide), 0.5 * (drawn.piece.height - high), wide, high)
    return Layout(piece, drawn.centres, drawn.diameters, drawn.which)


def _piece(area: Area, room: tuple[float, float], largest: float) -> Piece:
    """Return the part of the cloth to show: a line's row, a gradient's dense end, else the middle."""
    frame = worn_mm(area)
    at_edge = "line" in area.pattern or area.pattern == "gradient"
    left, top = (
        -0.5 * (given - needed) if given >= needed + largest else 0.5 * (needed - given)
        for given, needed in zip(room, frame, strict=True)
    )
    if at_edge and room[1] < frame[1] + largest and not (area.shape == "band" and "line" in area.pattern):
        top = frame[1] + largest - room[1] if area.shape == "triangle" else -largest
    return Piece(left, top, *room)


def rgb(drawn: Plan, stones: Floats, cloth: Floats) -> NDArray[np.uint8]:
    """Return the picture, (rows, columns, 3) sRGB; light is mixed where a pixel holds cloth and stone.

    Parameters
    ----------
    drawn
        What to draw.
    stones
        (K, 3) sRGB 0 to 255 of each line of the area's mix: what its glow looks like.
    cloth
        (3,) sRGB 0 to 255.

    """
    kinds = _sampled(drawn)
    colours = np.vstack([_BEYOND, cloth, stones]) / 255.0
    light = srgb_to_linear(colours)[kinds + 2]
    shape = (drawn.rows, _SHARPER, drawn.columns, _SHARPER, 3)
    return np.rint(255.0 * linear_to_srgb(light.reshape(shape).mean(axis=(1, 3)))).astype(np.uint8)


def letters(drawn: Plan) -> tuple[str, ...]:
    """Return the picture as lines of text: a letter of `LETTERS` where a line's stones fill most of a cell.

    The cell of a stone's middle has a capital, so that stones that touch can be counted. A point is cloth,
    and so is a cell of which stones cover less than a quarter.
    """
    kinds, lines = _sampled(drawn), drawn.rows // 2
    split = kinds.reshape(lines, 2 * _SHARPER, drawn.columns, _SHARPER)
    cells = split.swapaxes(1, 2).reshape(lines * drawn.columns, -1)
    shares = np.stack([(cells == kind).mean(axis=-1) for kind in range(-2, len(drawn.area.mix))], axis=-1)
    stony = shares[:, 2:].sum(axis=-1) >= 0.25
    best = np.where(stony, 2 + shares[:, 2:].argmax(axis=-1), shares[:, :2].argmax(axis=-1))
    marks = np.array(list(_NOTHING + _CLOTH + LETTERS))[best].reshape(lines, drawn.columns)
    piece = drawn.layout.piece
    middles = np.floor((drawn.layout.centres - [piece.left, piece.top]) / drawn.mm / [1.0, 2.0]).astype(int)
    for (column, line), kind in zip(middles, drawn.layout.which, strict=True):
        if 0 <= line < lines and 0 <= column < drawn.columns:
            marks[line, column] = LETTERS[kind].upper()
    return tuple("".join(row).rstrip() for row in marks)


def _sampled(drawn: Plan) -> NDArray[np.int64]:
    """Return what lies at each sample: a line's place in the mix, −1 for cloth, −2 for nothing."""
    high, wide = _SHARPER * drawn.rows, _SHARPER * drawn.columns
    step = drawn.mm / _SHARPER
    piece = drawn.layout.piece
    x = piece.left + (np.arange(wide) + 0.5) * step
    y = piece.top + (np.arange(high) + 0.5) * step
    kinds: NDArray[np.int64]
    if not drawn.bounded:
        kinds = np.full((high, wide), -1)
    else:
        points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        kinds = np.where(inside(drawn.area, points), -1, -2).reshape(high, wide)
    for centre, width, kind in zip(
        drawn.layout.centres, drawn.layout.diameters, drawn.layout.which, strict=True
    ):
        radius = 0.5 * width
        columns = slice(*np.searchsorted(x, [centre[0] - radius, centre[0] + radius]))
        rows = slice(*np.searchsorted(y, [centre[1] - radius, centre[1] + radius]))
        near = (x[columns] - centre[0]) ** 2 + (y[rows, None] - centre[1]) ** 2 <= radius**2
        kinds[rows, columns][near] = kind
    return kinds
