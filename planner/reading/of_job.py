"""What each line of a job asks."""

from planner.catalogue.coating import NONE
from planner.catalogue.palette import Palette
from planner.job.model import Job, Line
from planner.optics.lean import Lean
from planner.reading.question import Question, coating_called, colour_called
from planner.refusal import InvalidValue, Refusal, show


def line_question(job: Job, line: Line, palette: Palette) -> Question:
    """Return what a line asks as one of a job, in the job's first venue.

    Raises
    ------
    ValueError
        If a colour is no cloth's, or the coating cannot lie on the stone.

    """
    venue = palette.venues[job.venues[0]]
    stone = palette.stones[line.stone]
    swatch = colour_called(job.swatch, palette)
    return Question(
        stone=stone, cut=palette.cuts[stone.cut], coating=coating_called(line.coating, palette),
        size=line.size, swatch=swatch,
        cloth=swatch if job.cloth is None else colour_called(job.cloth, palette), venue=venue,
        distance=venue.distance if job.distance is None else job.distance, cover=job.cover,
        tolerance=job.tolerance, wish=line.wish, lean=lean_of(job, line),
    )  # fmt: skip


def lean_of(job: Job, line: Line) -> Lean:
    """Return how a line's stones lean: as it says, else as the areas say that take it, if with one voice."""
    if line.lean is not None:
        return line.lean
    said = {area.lean for area in job.areas if line.name in dict(area.mix) and area.lean is not None}
    return said.pop() if len(said) == 1 else "round the body"


def question_of(job: Job, number: int, palette: Palette, before: str = "") -> Question:
    """Return the question of a line by its number, from 0; a refusal says where in the job its cause is.

    Raises
    ------
    Refusal
        If a colour is no cloth's, or the coating cannot lie on the stone.

    """
    for field, name in (("swatch", job.swatch), ("cloth", job.cloth or job.swatch)):
        try:
            colour_called(name, palette)
        except InvalidValue as problem:
            raise Refusal(f"{before}field {field}: found {show(name)}; {problem}") from None
    try:
        return line_question(job, job.lines[number], palette)
    except InvalidValue as problem:
        field = "field stone" if job.lines[number].coating == NONE else "field coating"
        raise Refusal(f"{before}job line {number + 1}, {field}: {problem}") from None
