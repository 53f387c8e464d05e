"""A screen of lines whose pictures turn, come near and are shown in pixels."""

from typing import Final

from textual.binding import Binding

from planner.app.job_holder import JobHolder
from planner.app.lines_screen import LinesScreen
from planner.app.parts.pixels import VARIABLE, Way
from planner.app.parts.stage import CAUTION, motion_wanted
from planner.app.sight import Sight

PICTURE_KEYS: Final = (
    Binding("t", "tilt", "Turn"),
    Binding("N", "near", "Seats, near by, whole costume", show=False),
    Binding("P", "pixels", "Pixels or blocks", show=False),
)
"""Its keys, wherever they stand among those of a screen."""


class PicturesScreen(LinesScreen):
    """A screen that has a `Sight`."""

    def __init__(self, holder: JobHolder, way: Way) -> None:
        super().__init__(holder)
        self._ways: tuple[Way, Way] = (way, "blocks")
        """How pictures are shown, and how they are after the key that changes it."""

    def action_tilt(self) -> None:
        """Let the pictures turn as their wearer does; once more stops them."""
        sight = self.query_one(Sight)
        sight.swing()
        if sight.moving:
            self.notify(CAUTION)
        elif not motion_wanted():
            self.notify("NO_MOTION is set: turn a picture with the arrow keys or the mouse.")

    def action_near(self) -> None:
        """Show the cloth near by, then the whole costume, then again from where it is seen."""
        self.query_one(Sight).change_kind()

    def action_pixels(self) -> None:
        """Show the pictures in pixels, or again in half blocks."""
        now, other = self._ways
        if now == other:
            self.notify(f"This terminal is not known to show real pixels; {VARIABLE} can say otherwise.")
            return
        self._ways = (other, now)
        self.query_one(Sight).show_in(other)
        self.notify(f"Pictures are in {'half blocks' if other == 'blocks' else 'pixels'} now.")
