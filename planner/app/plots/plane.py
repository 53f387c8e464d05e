"""The a*b* plane in real colours, with what a reading puts on it."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from planner.app.depth import Depth, as_shown
from planner.app.parts.cells import BLANK, Cell, characters, draw_line, set_dots, strip
from planner.app.parts.patch import blend
from planner.colour.screen import ink_on, lab_to_srgb, parse_hex, to_hex
from planner.reading.read import Reading

BATCHES: Final = 256
"""Batches drawn, one dot each: enough to see where they lie, few enough to see through."""

_WHOLE: Final = 100.0
"""a* and b* that the whole plane reaches to."""

_CLOSEST: Final = 24.0
"""Least height of a close view, in a* or b*: closer, nothing would be told apart."""

_DIM: Final = 0.7
"""How far towards the background a colour is taken that no screen has."""

_MARGIN: Final = 1.35
"""Size of a close view over what must be in it."""


@dataclass(frozen=True)
class View:
    """What part of the plane is seen; pixels are square, two to a cell, one above the other."""

    centre: tuple[float, float]
    unit: float
    """a* or b* of one pixel."""
    columns: int
    rows: int

    def dots(self, ab: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return where a*, b* (N, 2) lie in braille dots, x and y from the top left."""
        x = (ab[:, 0] - self.centre[0]) / self.unit + self.columns / 2
        y = self.rows - (ab[:, 1] - self.centre[1]) / self.unit
        return 2 * x - 0.5, 2 * y - 0.5

    def dot(self, lab: tuple[float, float, float]) -> tuple[float, float]:
        """Return where one colour lies in braille dots."""
        x, y = self.dots(np.array([lab[1:]]))
        return float(x[0]), float(y[0])

    def cell(self, lab: tuple[float, float, float]) -> tuple[int, int]:
        """Return the (row, column) in which a colour lies; it may be outside."""
        x, y = self.dot(lab)
        return int((y + 0.5) // 4), int((x + 0.5) // 2)

    def pixels(self, lightness: float) -> NDArray[np.float64]:
        """Return CIELAB in the middle of every pixel, (2 rows, columns, 3)."""
        a = self.centre[0] + (np.arange(self.columns) + 0.5 - self.columns / 2) * self.unit
        b = self.centre[1] - (np.arange(2 * self.rows) + 0.5 - self.rows) * self.unit
        grid = np.meshgrid(a, b)
        return np.stack([np.full_like(grid[0], lightness), *grid], axis=-1)


def view_of(reading: Reading, columns: int, rows: int, *, close: bool) -> View:
    """Return the view that holds bare stone, result, swatch and eight batches in ten; or all of the plane."""
    if not close:
        return View((0.0, 0.0), 2 * _WHOLE / max(1, min(columns, 2 * rows)), columns, rows)
    points = np.array([one.lab[1:] for one in (reading.uncoated, reading.seen, reading.swatch)])
    lots = np.percentile(reading.lab_lots[:, 1:], (10, 90), axis=0)
    held = np.concatenate([points, lots])
    low, high = held.min(axis=0), held.max(axis=0)
    span = _MARGIN * (high - low)
    unit = max(span[0] / max(1, columns), span[1] / max(1, 2 * rows), _CLOSEST / max(1, 2 * rows))
    middle = (low + high) / 2
    return View((float(middle[0]), float(middle[1])), float(unit), columns, rows)


def lightness_of(reading: Reading) -> float:
    """Return the L* at which the plane is drawn: the result's, kept where hues can be seen."""
    return float(np.clip(reading.seen.lab[0], 30.0, 80.0))


def drawn(reading: Reading, view: View, depth: Depth, ink: str, paper: str) -> list[list[Cell]]:
    """Return the plane as cells.

    Parameters
    ----------
    reading, view
        What is drawn, and which part of the plane.
    depth
        What the console shows; without true hues the ground is left plain.
    ink, paper
        What is drawn with on a plain ground, and that ground.

    """
    cells = _ground(view, lightness_of(reading), depth, paper)
    _axes(cells, view, ink)
    _axis_words(cells, ink)
    _overlay(cells, _travel(reading, view), ink)
    _letters(cells, reading, view, ink, paper)
    return cells


def _ground(view: View, lightness: float, depth: Depth, paper: str) -> list[list[Cell]]:
    """Return the plane's own colours; where no screen has them, the nearest one, dimmed."""
    if depth in ("16", "grey"):
        return [[Cell()] * view.columns for _ in range(view.rows)]
    rgb, inside = lab_to_srgb(view.pixels(lightness))
    dimmed = _DIM * parse_hex(paper) + (1.0 - _DIM) * rgb
    shown = as_shown(np.where(inside[..., None], rgb, dimmed.astype(np.uint8)), depth)
    packed = (shown.astype(np.int64) * [65536, 256, 1]).sum(axis=-1).tolist()
    hexes = [[f"#{pixel:06x}" for pixel in line] for line in packed]
    return [
        [Cell("▀", *pair) for pair in zip(hexes[2 * row], hexes[2 * row + 1], strict=True)]
        for row in range(view.rows)
    ]


def _on(cell: Cell, text: str, ink: str, *, soft: bool = False) -> Cell:
    """Return a character on the colour that a cell has; `soft` lets the colour through."""
    if cell.ground is None:
        return Cell(text, ink)
    over = ink_on(cell.ground)
    return Cell(text, blend(cell.ground, over) if soft else over, cell.ground)


def _travel(reading: Reading, view: View) -> list[str]:
    """Return braille rows of the batches and of the way from bare stone to result to swatch."""
    dots = np.zeros((4 * view.rows, 2 * view.columns), bool)
    step = max(1, len(reading.lab_lots) // BATCHES)
    set_dots(dots, *view.dots(reading.lab_lots[::step, 1:]))
    bare, glow, swatch = (view.dot(one.lab) for one in (reading.uncoated, reading.seen, reading.swatch))
    _thick(dots, bare, glow, 0)
    _thick(dots, glow, swatch, 3)
    return characters(dots)


def _thick(dots: NDArray[np.bool_], start: tuple[float, float], end: tuple[float, float], gap: int) -> None:
    """Draw a line two dots thick, which a batch's single dot is not taken for."""
    steep = abs(end[1] - start[1]) > abs(end[0] - start[0])
    for aside in (0.0, 1.0):
        x, y = (aside, 0.0) if steep else (0.0, aside)
        draw_line(dots, (start[0] + x, start[1] + y), (end[0] + x, end[1] + y), on=3, off=gap)


def _overlay(cells: list[list[Cell]], braille: list[str], ink: str) -> None:
    for row, line in zip(cells, braille, strict=True):
        for column, character in enumerate(line):
            if character != BLANK:
                row[column] = _on(row[column], character, ink)


def _axes(cells: list[list[Cell]], view: View, faint: str) -> None:
    """Mark grey, where a* and b* are nothing, by a cross of dots through it."""
    middle_row, middle_column = view.cell((0.0, 0.0, 0.0))
    for number, row in enumerate(cells):
        here = range(0, view.columns, 2) if number == middle_row else [middle_column]
        for column in here:
            if 0 <= column < view.columns:
                row[column] = _on(row[column], "·", faint, soft=True)
    if 0 <= middle_row < view.rows and 0 <= middle_column < view.columns - 5:
        for at, character in enumerate("┼grey"):
            cell = cells[middle_row][middle_column + at]
            cells[middle_row][middle_column + at] = _on(cell, character, faint)


def _axis_words(cells: list[list[Cell]], ink: str) -> None:
    rows, columns = len(cells), len(cells[0])
    for row, column, text in (
        (0, (columns - 10) // 2, "▲ yellower"),
        (rows - 1, (columns - 7) // 2, "▼ bluer"),
        (rows // 2, 0, "◀ greener"),
        (rows // 2, columns - 8, "redder ▶"),
    ):
        for at, character in enumerate(text, column):
            if 0 <= at < columns:
                cells[row][at] = _on(cells[row][at], character, ink)


def _letters(cells: list[list[Cell]], reading: Reading, view: View, ink: str, paper: str) -> None:
    """Put U, S and C where they lie, as tags; one whose cell is taken moves aside."""
    taken: set[tuple[int, int]] = set()
    for letter, one in (("C", reading.seen), ("S", reading.swatch), ("U", reading.uncoated)):
        row, column = view.cell(one.lab)
        while (row, column) in taken:
            column += 1
        taken.add((row, column))
        if 0 <= row < view.rows and 0 <= column < view.columns:
            ground = _on(cells[row][column], letter, ink).ground
            tag = ink if ground is None else ink_on(ground)
            cells[row][column] = Cell(letter, paper if ground is None else ink_on(tag), tag, bold=True)


class Plane(Widget):
    """The drawing; it draws anew when its size, reading or view changes, and only then."""

    close: reactive[bool] = reactive(True)
    """Whether only what matters is seen, or the whole plane."""

    def __init__(self, reading: Reading, depth: Depth, **rest: Any) -> None:
        """Take what to draw, and what the console shows."""
        super().__init__(**rest)
        self._reading, self._depth = reading, depth
        self._lines: list[Strip] = []
        self._drawn_for: object = None

    def render_line(self, y: int) -> Strip:
        """Return one line."""
        style = self.visual_style
        key = (self.size, self.close, style)
        if key != self._drawn_for:
            self._drawn_for = key
            self._lines = self._draw()
        return self._lines[y] if y < len(self._lines) else Strip.blank(self.size.width, self.rich_style)

    def _draw(self) -> list[Strip]:
        columns, rows = self.size
        if columns < 1 or rows < 1:
            return []
        view = view_of(self._reading, columns, rows, close=self.close)
        ink, paper = self.styles.color.hex6.lower(), self.background_colors[1].hex6.lower()
        cells = drawn(self._reading, view, self._depth, ink, paper)
        return [strip(row, self.rich_style) for row in cells]


WIDTH = 11
"""Cells across: a bar of two, and room for letters and words."""


class LightnessScale(Widget):
    """L* of bare stone, result and swatch; lightest on top."""

    DEFAULT_CSS = f"LightnessScale {{ width: {WIDTH}; }}"

    def __init__(self, reading: Reading, depth: Depth, **rest: Any) -> None:
        """Take what to draw, and what the console shows."""
        super().__init__(**rest)
        self._depth = depth
        self._marks = (
            ("C", reading.seen.lab[0]),
            ("S", reading.swatch.lab[0]),
            ("U", reading.uncoated.lab[0]),
        )

    def render_line(self, y: int) -> Strip:
        """Return one line."""
        rows = self.size.height
        letters = "".join(letter for letter, lightness in self._marks if _row(lightness, rows) == y)
        words = {0: "lighter", rows - 1: "darker"}.get(y, "")
        bar = self._bar(y, rows)
        text = (f"◂{letters}" if letters else f" {words}").ljust(WIDTH - 3)
        cells = [Cell(), *bar, *(Cell(character, bold=bool(letters)) for character in text)]
        return strip(cells, self.rich_style)

    def _bar(self, y: int, rows: int) -> list[Cell]:
        if self._depth == "16":
            return [Cell("│"), Cell()]
        lightness = 100.0 * (1.0 - (np.array([2 * y, 2 * y + 1]) + 0.5) / (2 * rows))
        lab = np.stack([lightness, np.zeros(2), np.zeros(2)], axis=-1)
        top, bottom = (to_hex(grey) for grey in as_shown(lab_to_srgb(lab)[0], self._depth))
        return [Cell("▀", top, bottom)] * 2


def _row(lightness: float, rows: int) -> int:
    """Return the line of an L*; what is lighter than white or darker than black is at the end."""
    return int(np.clip((1.0 - lightness / 100.0) * rows, 0, rows - 1))
