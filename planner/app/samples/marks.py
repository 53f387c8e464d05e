"""The frames on a photographed card: the white, and each stone with what it is."""

from dataclasses import dataclass, replace
from typing import Final

from planner.fitting.photo.marked import Mark
from planner.swatch.photo_file import Area

WHITE: Final = "W"
"""Name of the white's frame."""

_SIGNS: Final = "123456789abcdefghijklmnopqrstuvxyz"
MOST: Final = len(_SIGNS)
"""Most stones that can be marked."""

_STEP: Final = 0.3
"""How far beside the present frame a new one is put, of its side."""


@dataclass(frozen=True)
class Marks:
    """Frames on one photograph; `planner.app.photo.frames.Framing`."""

    white: Area
    stones: tuple[tuple[str, Area, str], ...]
    """Sign, box, and id of the stone; an empty id is not said yet."""

    @property
    def names(self) -> tuple[str, ...]:
        """The stones' signs, then the white's."""
        return (*(sign for sign, _, _ in self.stones), WHITE)

    def of(self, which: str) -> Area:
        """Return one frame."""
        return self.white if which == WHITE else next(area for sign, area, _ in self.stones if sign == which)

    def put(self, which: str, area: Area) -> "Marks":
        """Return all frames with one elsewhere."""
        if which == WHITE:
            return replace(self, white=area)
        return replace(
            self, stones=tuple((sign, area if sign == which else old, is_) for sign, old, is_ in self.stones)
        )

    def is_called(self, which: str) -> str:
        """Return the stone in a frame; empty where that is not said."""
        return next((is_ for sign, _, is_ in self.stones if sign == which), "")

    def called(self, which: str, stone: str) -> "Marks":
        """Return the frames with one stone said."""
        return replace(
            self,
            stones=tuple((sign, area, stone if sign == which else is_) for sign, area, is_ in self.stones),
        )

    def without(self, which: str) -> "Marks":
        """Return the frames without one stone's."""
        return replace(self, stones=tuple(one for one in self.stones if one[0] != which))

    def another(self, which: str, width: int, height: int) -> tuple["Marks", str]:
        """Return the frames with one more beside `which`, on a picture of that size, and its sign.

        Nothing changes where there are `MOST`.
        """
        free = [sign for sign in _SIGNS if sign not in self.names]
        if not free:
            return self, which
        at = self.of(which)
        side = max(20, min(at.width, at.height)) if which != WHITE else max(20, min(width, height) // 10)
        x = min(max(0, at.x + round(_STEP * at.width)), max(0, width - side))
        y = min(max(0, at.y + round(_STEP * at.height)), max(0, height - side))
        area = Area(x, y, min(side, width), min(side, height))
        return replace(self, stones=(*self.stones, (free[0], area, ""))), free[0]

    def next_unsaid(self, which: str) -> str:
        """Return the next frame after `which` whose stone is not said; `which` where all are."""
        signs = [sign for sign, _, _ in self.stones]
        start = signs.index(which) + 1 if which in signs else 0
        return next((sign for sign in signs[start:] + signs[:start] if not self.is_called(sign)), which)

    def marks(self, every: str = "") -> tuple[Mark, ...]:
        """Return the stones that are said, or all of them as `every`."""
        return tuple(Mark(every or is_, 1, area) for _, area, is_ in self.stones if every or is_)


def proposed(white: Area, stones: tuple[Area, ...]) -> Marks:
    """Return frames round what the planner made out."""
    return Marks(white, tuple((sign, area, "") for sign, area in zip(_SIGNS, stones, strict=False)))
