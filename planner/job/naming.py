"""Names of lines: what an area calls them by, and what becomes of areas when a line goes."""

from dataclasses import dataclass

from planner.catalogue.coating import NONE
from planner.job.area import Area
from planner.job.model import Job, Line
from planner.refusal import show

_LONGEST = 60
"""Most characters of a name."""


@dataclass(frozen=True)
class Removal:
    """A job without one of its lines, and what went with that line."""

    job: Job

    areas: tuple[str, ...]
    """Names of the areas that took no other line and so went too."""

    @property
    def text(self) -> str:
        """One sentence on the areas that went too; nothing where none did."""
        if not self.areas:
            return ""
        names = ", ".join(map(show, self.areas))
        if len(self.areas) == 1:
            return f"The area {names} had no other stones and was removed too."
        return f"The areas {names} had no other stones and were removed too."


def name_for(line: Line, job: Job) -> str:
    """Return a name for a line that no other line of the job has, such as ``pulley-blue-ss20``.

    It is made of the stone, the coating if there is one and the size; a number follows where that is
    taken. A line that has a name keeps it.
    """
    if line.name is not None:
        return line.name
    parts = [line.stone, *([] if line.coating == NONE else [line.coating]), line.size.lower()]
    taken = {one.name for one in job.lines}
    base, tail, number = "-".join(parts[:-1]), f"-{parts[-1]}", 1
    while (name := base[: _LONGEST - len(tail)].rstrip("-") + tail) in taken:
        number += 1
        tail = f"-{parts[-1]}-{number}"
    return name


def with_name(job: Job, number: int) -> Job:
    """Return `job` in which line `number` (from 0) has a name, so that an area can take it."""
    line = job.lines[number]
    if line.name is not None:
        return job
    lines = list(job.lines)
    lines[number] = line.model_copy(update={"name": name_for(line, job)})
    return job.model_copy(update={"lines": tuple(lines)})


def copy_of(line: Line) -> Line:
    """Return a copy of a line to go on from: without its name, its note and what was accepted for it."""
    return line.model_copy(update={"name": None, "note": "", "accept": ()})


def without_line(job: Job, number: int) -> Removal:
    """Return `job` without line `number` (from 0): areas drop it from their mixes.

    An area that took nothing else goes with it, because an area must take something.
    """
    name = job.lines[number].name
    lines = job.lines[:number] + job.lines[number + 1 :]
    areas, gone = [], []
    for area in job.areas:
        left = _without(area, name)
        if left is None:
            gone.append(area.name)
        else:
            areas.append(left)
    return Removal(job.model_copy(update={"lines": lines, "areas": tuple(areas)}), tuple(gone))


def _without(area: Area, name: str | None) -> Area | None:
    mix = tuple(part for part in area.mix if part[0] != name)
    if not mix:
        return None
    return area if mix == area.mix else area.model_copy(update={"mix": mix})
