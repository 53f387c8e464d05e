"""The top line of the main screen: the job's title, and where it is kept."""

from textual.content import Content

from planner.app.depth import BRIEFLY, Depth
from planner.app.parts.plain import Static
from planner.app.state import State
from planner.say.table import cut, width


class JobBar(Static):
    """One line; a click on it opens the costume."""

    _told: tuple[str, ...] = ()

    def show(self, state: State, depth: Depth, basis: str, *, low: bool) -> None:
        """Show a job.

        Parameters
        ----------
        state
            The present state.
        depth
            What the console can show of colours.
        basis
            Where the answer's figures come from; empty where there is no answer.
        low
            Whether the screen has no line for a word on the console's colours, so that it stands here.

        """
        name = state.file.path.name if state.file else "not saved yet"
        mark = " · changed" if state.unsaved and state.file else ""
        figures = f"  {basis} figures" if basis else ""
        warned = f" {BRIEFLY[depth]} " if BRIEFLY[depth] and low else ""
        room = self.screen.size.width - len(figures) - len(warned) - 3
        title = cut(state.job.title, room)
        left = room - width(title)
        file = cut(f"  {name}{mark}", left) if left > len(mark) + 4 else ""
        told = (title, file, figures, warned)
        if told == self._told:
            return
        self._told = told
        self.update(
            Content.assemble(
                ("j ", "$primary"), (title, "bold"), (file, "$foreground 65%"),
                (figures, "italic $foreground 65%"), " ", (warned, "$background on $warning"),
            ),
            layout=False,
        )  # fmt: skip

    def on_click(self) -> None:
        """Open the costume."""
        self.app.call_later(self.app.run_action, "go('costume')")
