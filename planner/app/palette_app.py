"""An app that has a palette and tells things, whatever it is used for; jobs come on top of it."""

from datetime import datetime
from pathlib import Path

from textual.notifications import Notification, Notify, SeverityLevel

from planner.app.answer_worker import AnswerWorker
from planner.app.depth import Depth
from planner.app.parts.steady import SteadyApp
from planner.app.sheets import MOST, Told
from planner.catalogue.palette import Palette


class Shown(Notification):
    """A message shown for a while.

    Where the screen is so slow that its time is up before it is drawn, the library would begin a timer of
    less than no time, which never ends and lets nothing else happen: the planner would stand still for good.
    """

    @property
    def time_left(self) -> float:
        """Seconds left, a moment at the least."""
        return max(0.01, super().time_left)

    @property
    def has_expired(self) -> bool:
        """Whether its time is up."""
        return super().time_left <= 0.0


class PaletteApp(SteadyApp[None]):
    """An app with a palette, which its screens may keep something in, and with messages.

    Parameters
    ----------
    palette
        Every entry at hand.
    palettes
        The folder it was read from, if not the demo's and the person's own.

    """

    answer_worker: AnswerWorker
    depth: Depth

    def __init__(self, palette: Palette, palettes: Path | None) -> None:
        super().__init__()
        self.palette, self.palettes = palette, palettes
        self.told: list[Told] = []
        """Messages so far."""

    def notify(
        self, message: str, *, title: str = "", severity: SeverityLevel = "information",
        timeout: float | None = None, markup: bool = False,  # noqa: ARG002 - the library's screens give it
    ) -> None:  # fmt: skip
        """Show a message for a while, and remember it; one that stands there already is not stacked up.

        It is never markup, whatever a screen asks for: names stand in it.
        """
        self.told = [*self.told[1 - MOST :], Told(datetime.now().astimezone(), message)]
        if all(message != one.message for one in self._notifications):
            seconds = self.NOTIFICATION_TIMEOUT if timeout is None else timeout
            self.post_message(Notify(Shown(message, title, severity, seconds)))

    def know(self, palette: Palette) -> None:
        """Go on with a palette that a screen may have kept something in."""
        if palette is not self.palette:
            self.palette = palette
            self.answer_worker.use(palette)
