"""The wearer's cautions, and whether they are accepted: for every line they are about, or not at all."""

from collections.abc import Collection
from dataclasses import dataclass

from planner.catalogue.palette import Palette
from planner.fixing.caution import WEARER, Caution, accepting, cautions
from planner.job.model import Acceptance, Job


@dataclass(frozen=True)
class Guarded:
    """A caution for whoever wears or handles the garment, and who accepts it for which line."""

    caution: Caution

    by_line: tuple[tuple[int, Acceptance | None], ...]
    """(number of the line from 1, who accepts it there or None) for each line that it is about."""

    @property
    def accepted(self) -> Acceptance | None:
        """Who accepts it; None unless every line that it is about says so."""
        by = [one for _, one in self.by_line]
        return by[0] if by and all(by) else None

    @property
    def standing(self) -> tuple[int, ...]:
        """Lines for which it is severe and accepted by nobody."""
        if self.caution.severity != "severe":
            return ()
        return tuple(line for line, by in self.by_line if by is None)


def guarded(
    job: Job, palette: Palette, lines: Collection[int] | None = None, codes: Collection[str] = WEARER
) -> tuple[Guarded, ...]:
    """Return what concerns the wearer of a job, gravest first.

    Parameters
    ----------
    job, palette
        What is worn.
    lines
        Numbers, from 1, of the lines that count, such as those that are ordered; all when not given.
    codes
        Which cautions count; those on a whole job are about no line.

    """
    found = []
    for one in cautions(job, palette):
        numbers = [number for number in one.lines if lines is None or number in lines]
        if one.code in codes and (numbers or not one.lines):
            by_line = tuple((number, accepting(one, job.lines[number - 1])) for number in numbers)
            found.append(Guarded(one, by_line))
    return tuple(found)
