"""A screen on whose job pairings are added, taken off and gone to, and every change is taken back."""

from typing import Final

from textual.binding import Binding

from planner.app.job_holder import JobHolder, redone, undone
from planner.app.parts.steady import SteadyScreen
from planner.app.state import State

LINE_KEYS: Final = (
    Binding("u", "undo", "Undo"),
    Binding("U,ctrl+y", "redo", "Redo", show=False),
    Binding("ctrl+z", "undo", "Undo", show=False),
    Binding("plus", "add_line", "Add a pairing", show=False),
    Binding("minus", "remove_line", "Take the pairing off", show=False),
    Binding("full_stop", "line(1)", "Next pairing", show=False),
    Binding("comma", "line(-1)", "Last pairing", show=False),
)
"""Its keys, wherever they stand among those of a screen."""


class LinesScreen(SteadyScreen[None]):
    """A screen that changes the lines of a job."""

    def __init__(self, holder: JobHolder) -> None:
        super().__init__()
        self._holder = holder

    def apply(self, state: State) -> None:
        """Keep a state, and show it."""
        self._holder.apply(state)

    def action_undo(self) -> None:
        """Take the last change back."""
        if (state := undone(self._holder.state, self.notify)) is not None:
            self.apply(state)

    def action_redo(self) -> None:
        """Do again what was taken back."""
        if (state := redone(self._holder.state, self.notify)) is not None:
            self.apply(state)

    def action_add_line(self) -> None:
        """Add a copy of this pairing to the costume."""
        self.apply(self._holder.state.with_new_line())

    def action_remove_line(self) -> None:
        """Take this pairing off the costume."""
        if len(self._holder.state.job.lines) == 1:
            self.notify("A costume keeps at least one pairing.")
        else:
            gone = self._holder.state.gone_with_line
            self.apply(self._holder.state.without_line())
            if gone:
                self.notify(gone)

    def action_line(self, step: int) -> None:
        """Look at the next pairing of the costume, or the last."""
        self.apply(self._holder.state.at_line(self._holder.state.line + step))
