"""What the interface knows of a job: a value, so that every change gives another state.

A `State` joins the palette, what has been done to the job (`planner.job.History`) and which of its
lines is looked at. A preview is a state that nobody has kept yet.
"""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from planner.catalogue.coating import NONE
from planner.catalogue.errors import changed
from planner.catalogue.palette import Palette
from planner.job import History, Job, JobFile, Line, unknown_names
from planner.job.naming import copy_of, without_line
from planner.reading.of_job import line_question
from planner.reading.question import Question
from planner.refusal import Refusal

USUAL_SIZE = "SS20"
"""Size that a first line has where its stone is offered in it."""


@dataclass(frozen=True)
class State:
    """A job as it is worked on."""

    palette: Palette
    history: History
    line: int
    """Which line of the job is looked at, from 0."""
    kept: Job
    """The job as last opened or saved."""
    file: JobFile | None = None
    """Its file as on the disk; None while it has no name."""

    @property
    def job(self) -> Job:
        """The job at present."""
        return self.history.job

    @property
    def pairing(self) -> Line:
        """The line looked at."""
        return self.job.lines[self.line]

    @property
    def unsaved(self) -> bool:
        """Whether something has changed since the job was opened or saved."""
        return self.job != self.kept

    @property
    def distance(self) -> float:
        """Viewing distance, m."""
        own = self.job.distance
        return self.palette.venues[self.job.venues[0]].distance if own is None else own

    def with_job(self, **changes: Any) -> "State":
        """Return the state after a change to the job as a whole."""
        return self._done(changed(self.job, changes))

    def with_line(self, **changes: Any) -> "State":
        """Return the state after a change to the line looked at.

        What was accepted of one pairing does not count for another one.
        """
        return self.with_both({}, changes)

    def with_both(self, job: dict[str, Any], line: dict[str, Any]) -> "State":
        """Return the state after one change to the job and to the line looked at, undone as one.

        Raises
        ------
        ValueError
            If a field cannot hold its new value.

        """
        after = changed(self.pairing, line)
        if after.accept == self.pairing.accept and _asks(after) != _asks(self.pairing):
            after = after.model_copy(update={"accept": ()})
        lines = list(self.job.lines)
        lines[self.line] = after
        return self._done(changed(self.job, {**job, "lines": tuple(lines)}))

    def with_new_line(self) -> "State":
        """Return the state with a copy of the present line after it, which is looked at."""
        lines = list(self.job.lines)
        lines.insert(self.line + 1, copy_of(self.pairing))
        return replace(self._done(changed(self.job, {"lines": tuple(lines)})), line=self.line + 1)

    def without_line(self) -> "State":
        """Return the state without the present line; the last line of a job stays.

        Areas drop the line, and an area that takes nothing else goes with it: see `gone_with_line`.
        """
        if len(self.job.lines) == 1:
            return self
        after = self._done(without_line(self.job, self.line).job)
        return replace(after, line=min(self.line, len(after.job.lines) - 1))

    @property
    def gone_with_line(self) -> str:
        """One sentence on the areas that would go with the present line; nothing where none would."""
        return without_line(self.job, self.line).text

    def at_line(self, number: int) -> "State":
        """Return the state that looks at another line."""
        return replace(self, line=max(0, min(number, len(self.job.lines) - 1)))

    def undo(self) -> "State":
        """Return the state one step back."""
        return self._stepped(self.history.undo())

    def redo(self) -> "State":
        """Return the state one step forward."""
        return self._stepped(self.history.redo())

    def saved(self, file: JobFile) -> "State":
        """Return the state whose job is now in `file`."""
        return replace(self, file=file, kept=self.job)

    def question(self) -> Question:
        """Return what is asked about the line looked at.

        Raises
        ------
        ValueError
            If the coating cannot lie on the stone, or a colour is no cloth's.

        """
        return line_question(self.job, self.pairing, self.palette)

    def _done(self, job: Job) -> "State":
        return replace(self, history=self.history.do(job))

    def _stepped(self, history: History) -> "State":
        """Return the state at another point of the history, at the line that changed if one did."""
        before, after = self.job.lines, history.job.lines
        line = min(self.line, len(after) - 1)
        if len(before) == len(after) and before[line] == after[line]:
            line = next((i for i, one in enumerate(after) if one != before[i]), line)
        return replace(self, history=history, line=line)


def _asks(line: Line) -> tuple[str, ...]:
    """Return what of a line its answer depends on."""
    return line.stone, line.coating, line.size, line.wish


def colour_name(text: str, palette: Palette) -> str:
    """Return what a job's colour is called: the swatch's name, or its digits."""
    return palette.swatches[text].name if text in palette.swatches else text


def first_line(palette: Palette) -> Line:
    """Return a line to begin with: the first stone of the palette, uncoated."""
    stone = next(iter(palette.stones.values()))
    size = USUAL_SIZE if USUAL_SIZE in stone.sizes else stone.sizes[0]
    return Line(stone=stone.id, coating=NONE, size=size)


def new_state(palette: Palette, swatch: str | None = None) -> State:
    """Return a new job to begin with, without a name."""
    job = Job(
        title="New costume",
        swatch=swatch or next(iter(palette.swatches), "#808080"),
        venues=(next(iter(palette.venues)),),
        lines=(first_line(palette),),
    )
    return State(palette, History((job,)), 0, job)


def state_of(job: Job, palette: Palette, file: JobFile | None, where: Path) -> State:
    """Return a job as opened; one without lines gets a first one to try things on.

    Raises
    ------
    Refusal
        If the job names something that the palette does not have, or a palette lacks what a job needs.

    """
    unknown = unknown_names(job, palette)
    if unknown:
        more = f" (and {len(unknown) - 1} more in this job)" if len(unknown) > 1 else ""
        raise Refusal(f"{where}, {unknown[0]}{more}")
    if not job.lines:
        job = job.model_copy(update={"lines": (first_line(palette),)})
    return State(palette, History((job,)), 0, job, file)
