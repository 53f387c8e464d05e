"""Frames on a photograph: moved and resized in its pixels, and where they lie in cells."""

from typing import Final, NamedTuple, Protocol, Self

from planner.swatch.photo_file import Area

LEAST: Final = 20
"""Least side of a frame, pixels of the picture."""


class Framing(Protocol):
    """Frames with names of one sign each."""

    @property
    def names(self) -> tuple[str, ...]:
        """Their names, the one that keys work on at first before the others."""

    def of(self, which: str) -> Area:
        """Return one of them."""

    def put(self, which: str, area: Area) -> Self:
        """Return all of them with one elsewhere."""


class Frames(NamedTuple):
    """Where cloth and white paper are."""

    cloth: Area
    white: Area

    @property
    def names(self) -> tuple[str, ...]:
        """C and W."""
        return ("C", "W")

    def of(self, which: str) -> Area:
        """Return one of them."""
        return self.cloth if which == "C" else self.white

    def put(self, which: str, area: Area) -> "Frames":
        """Return both with one of them elsewhere."""
        return self._replace(cloth=area) if which == "C" else self._replace(white=area)


class Grid(NamedTuple):
    """A picture of `width` × `height` pixels shown in `columns` × `lines` cells."""

    width: int
    height: int
    columns: int
    lines: int

    def step(self, across: int, down: int) -> tuple[int, int]:
        """Return so many cells in pixels, at least one pixel to a cell."""
        return (
            across * max(1, round(self.width / self.columns)),
            down * max(1, round(self.height / self.lines)),
        )

    def cells(self, area: Area) -> tuple[int, int, int, int]:
        """Return the first and last column, first and last line that an area touches."""
        across, down = self.columns / self.width, self.lines / self.height
        left, top = int(area.x * across), int(area.y * down)
        right = max(left, -int(-(area.x + area.width) * across // 1) - 1)
        low = max(top, -int(-(area.y + area.height) * down // 1) - 1)
        return left, min(right, self.columns - 1), top, min(low, self.lines - 1)


def fit(width: int, height: int, columns: int, lines: int) -> Grid:
    """Return the grid of a picture shown whole in so many cells, each twice as high as wide."""
    scale = min(columns / width, 2 * lines / height)
    return Grid(
        width,
        height,
        min(columns, max(1, round(width * scale))),
        min(lines, max(1, round(height * scale / 2))),
    )


def beginning(width: int, height: int) -> Frames:
    """Return frames to begin with where nothing could be proposed: cloth in the middle, paper beside it."""
    wide, high = max(1, width // 4), max(1, height // 4)
    down = (height - high) // 2
    return Frames(Area((width - wide) // 2, down, wide, high), Area(width // 16, down, wide, high))


def moved(area: Area, across: int, down: int, width: int, height: int) -> Area:
    """Return an area moved by pixels, kept on a picture of this size."""
    return area._replace(
        x=max(0, min(area.x + across, width - area.width)),
        y=max(0, min(area.y + down, height - area.height)),
    )


def resized(area: Area, across: int, down: int, width: int, height: int) -> Area:
    """Return an area whose right and lower edges moved by pixels, kept on the picture and not too small."""
    return area._replace(
        width=min(max(area.width + across, min(LEAST, width)), width - area.x),
        height=min(max(area.height + down, min(LEAST, height)), height - area.y),
    )
