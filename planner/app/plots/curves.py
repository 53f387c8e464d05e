"""Spectra as lines of braille dots over wavelength."""

from dataclasses import dataclass
from typing import Any, ClassVar, Final

import numpy as np
from numpy.typing import NDArray
from textual import events
from textual.message import Message
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from planner.app.depth import Depth, as_shown
from planner.app.parts.cells import BLANK, Cell, characters, strip
from planner.app.parts.patch import blend
from planner.colour.grid import WAVELENGTHS
from planner.colour.screen import to_hex
from planner.reading.spectrum import Spectra, spectral_colours

LEFT: Final = 6
"""Cells for the figures of the scale."""

HUES: Final = ((415, "violet"), (465, "blue"), (525, "green"), (577, "yellow"), (605, "orange"), (665, "red"))
"""Where the light of a hue lies, nm."""

_FIRST, _LAST = float(WAVELENGTHS[0]), float(WAVELENGTHS[-1])


@dataclass(frozen=True)
class Line:
    """How one curve is drawn."""

    letter: str
    what: str
    field: str
    """Its name in `planner.reading.spectrum.Spectra`."""
    tag: float
    """nm at which its letter stands."""
    on: int
    """Dots drawn, and then `off` left out."""
    off: int


LINES: Final = (
    Line("L", "light here", "light", 620.0, 1, 2),
    Line("U", "bare stone", "uncoated", 480.0, 3, 3),
    Line("S", "swatch", "swatch", 560.0, 8, 2),
    Line("C", "result", "glow", 520.0, 1, 0),
)
"""In the order drawn, the most important last."""


class Curves(Widget):
    """The chart; a cursor moves over wavelengths."""

    DEFAULT_CSS = """
    Curves > .curves--light { color: $foreground 55%; }
    Curves > .curves--uncoated { color: $secondary; }
    Curves > .curves--swatch { color: $foreground; }
    Curves > .curves--glow { color: $primary; }
    Curves > .curves--scale { color: $foreground 60%; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "curves--light", "curves--uncoated", "curves--swatch", "curves--glow", "curves--scale",
    }  # fmt: skip

    spectra: reactive[Spectra | None] = reactive(None)
    at: reactive[float] = reactive(550.0)
    """Wavelength of the cursor, nm."""

    class Moved(Message):
        """The cursor stands elsewhere."""

        def __init__(self, at: float) -> None:
            super().__init__()
            self.at = at

    def __init__(self, depth: Depth, **rest: Any) -> None:
        """Take what the console shows."""
        super().__init__(**rest)
        self._depth = depth
        self._lines: list[Strip] = []
        self._drawn_for: object = None

    def watch_at(self, at: float) -> None:
        """Tell of a move."""
        self.post_message(self.Moved(at))

    def validate_at(self, at: float) -> float:
        """Keep the cursor within what is drawn, on the planner's grid."""
        return float(np.clip(5.0 * round(at / 5.0), _FIRST, _LAST))

    def on_click(self, event: events.Click) -> None:
        """Put the cursor where a person clicks."""
        wide = self.size.width - LEFT
        if event.x >= LEFT and wide > 1:
            self.at = _FIRST + (event.x - LEFT) / (wide - 1) * (_LAST - _FIRST)

    def render_line(self, y: int) -> Strip:
        """Return one line."""
        key = (self.size, self.at, self.spectra, self.visual_style)
        if key != self._drawn_for:
            self._drawn_for = key
            self._lines = self._draw()
        return self._lines[y] if y < len(self._lines) else Strip.blank(self.size.width, self.rich_style)

    @property
    def _paper(self) -> str:
        return self.background_colors[1].hex6.lower()

    def _ink(self, part: str) -> str:
        styles = self.get_component_styles(f"curves--{part}")
        return (self.background_colors[1] + styles.color).hex6.lower()

    def _draw(self) -> list[Strip]:
        wide, high = self.size.width - LEFT, self.size.height - 3
        if self.spectra is None or wide < 10 or high < 3:
            return []
        top = highest(self.spectra)
        rows = [[Cell()] * wide for _ in range(high)]
        self._rulers(rows)
        for line in LINES:
            self._curve(rows, line, top)
        for line in LINES:
            self._tag(rows, line, top)
        scale = self._ink("scale")
        marks = {0: f"{100 * top:4.0f}%", high // 2: f"{50 * top:4.0f}%", high - 1: "   0%"}
        found = [
            strip([*(Cell(text, scale) for text in marks.get(y, "").ljust(LEFT)), *row], self.rich_style)
            for y, row in enumerate(rows)
        ]
        return [*found, *(strip([Cell()] * LEFT + row, self.rich_style) for row in self._foot(wide))]

    def _rulers(self, rows: list[list[Cell]]) -> None:
        """Draw faint lines at whole and half of white cloth, and the cursor."""
        wide, scale = len(rows[0]), self._ink("scale")
        faint = blend(self._paper, scale, 0.5)
        for number in (0, len(rows) // 2):
            rows[number][::4] = [Cell("·", faint)] * len(rows[number][::4])
        for row in rows:
            row[column_of(self.at, wide)] = Cell("│", scale)

    def _curve(self, rows: list[list[Cell]], line: Line, top: float) -> None:
        dots = curve_dots(getattr(self.spectra, line.field) / top, len(rows[0]), len(rows), line.on, line.off)
        ink = self._ink(line.field)
        for row, text in zip(rows, characters(dots), strict=True):
            for column, character in enumerate(text):
                if character != BLANK:
                    below = row[column].text
                    both = ord(character) | (ord(below) if "⠀" <= below <= "⣿" else 0)
                    row[column] = Cell(chr(both), ink, bold=line.field == "glow")

    def _tag(self, rows: list[list[Cell]], line: Line, top: float) -> None:
        """Put a curve's letter on it."""
        curve = getattr(self.spectra, line.field)
        value = curve[int((line.tag - _FIRST) / 5.0)]
        if np.isnan(value):
            return
        row = int(np.clip((1.0 - value / top) * len(rows), 0, len(rows) - 1))
        column = column_of(line.tag, len(rows[0]))
        rows[row][column] = Cell(line.letter, self._paper, self._ink(line.field), bold=True)

    def _foot(self, wide: int) -> list[list[Cell]]:
        """Return the strip of hues as bright as the light here, figures of wavelength, names of hues."""
        scale = self._ink("scale")
        strip_of_hues = [Cell()] * wide
        if self._depth in ("true", "256") and self.spectra is not None:
            at = np.linspace(_FIRST, _LAST, wide)
            shown = [np.interp(at, WAVELENGTHS, channel) for channel in spectral_colours().astype(float).T]
            rgb = as_shown(np.stack(shown, axis=-1).astype(np.uint8), self._depth)
            strip_of_hues = [Cell("▀", to_hex(one)) for one in rgb]
        figures, names = [Cell()] * wide, [Cell()] * wide
        for nm in range(400, 800, 50):
            _centred(figures, column_of(nm, wide), f"{nm}{' nm' if nm == 750 else ''}", scale)
        free = 0
        for nm, name in HUES:
            start = column_of(nm, wide) - len(name) // 2
            if start >= free:
                _centred(names, column_of(nm, wide), name, scale)
                free = start + len(name) + 1
        return [strip_of_hues, figures, names]


def highest(spectra: Spectra) -> float:
    """Return the top of the scale: 1, or more in steps of a half where a glow outshines white cloth."""
    most = max(1.0, float(np.nanmax([spectra.glow, spectra.uncoated, spectra.swatch])))
    return float(np.ceil(2.0 * most - 1e-9) / 2.0)


def column_of(nm: float, wide: int) -> int:
    """Return the column of a wavelength."""
    return round((nm - _FIRST) / (_LAST - _FIRST) * (wide - 1))


def curve_dots(share: NDArray[np.float64], wide: int, high: int, on: int, off: int) -> NDArray[np.bool_]:
    """Return the dots (4 high, 2 wide) of a curve (81,) whose 1 is the top; NaN is left out."""
    dots = np.zeros((4 * high, 2 * wide), bool)
    at = np.linspace(_FIRST, _LAST, 2 * wide)
    value = np.interp(at, WAVELENGTHS, share)
    # The end values are kept inside: a curve at 1 runs along the top.
    y = np.rint((1.0 - value) * (4 * high - 1))
    drawn = 0
    for x in range(2 * wide):
        if np.isnan(y[x]):
            continue
        before = y[x - 1] if x and not np.isnan(y[x - 1]) else y[x]
        low, high_ = sorted((before + np.sign(y[x] - before), y[x]))
        for row in range(int(max(low, 0)), int(min(high_, 4 * high - 1)) + 1):
            dots[row, x] = drawn % (on + off) < on
            drawn += 1
    return dots


def _centred(row: list[Cell], middle: int, text: str, ink: str) -> None:
    start = min(max(0, middle - len(text) // 2), len(row) - len(text))
    for column, character in enumerate(text, start):
        if 0 <= column < len(row):
            row[column] = Cell(character, ink)
