"""The pattern of one area from above, and the whole costume to scale: pictures with what they show."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from planner.catalogue.palette import Palette
from planner.cover.costume import Dressed, within
from planner.cover.picture import LETTERS, Plan, letters
from planner.job import Job, Line
from planner.picture.costume import area_seen, costume, questions
from planner.say.document import Document, Drawn, Literally, Part, Section, Sentence

LINES = 22
"""As many as fit a usual terminal with what stands round the picture; two pixels each."""


def pattern_document(
    picture: Plan, lines: tuple[Line, ...], job: Job, palette: Palette, *, colours: bool
) -> Document:
    """Return the pattern of an area.

    Parameters
    ----------
    picture, lines
        Where its stones lie, and what they are.
    job, palette
        Whose area it is, and what its ids mean.
    colours
        Whether it is to be seen in colours; else in letters alone.

    """
    part, (across, down) = "all of it" if picture.whole else "a part of it", picture.shown_mm
    area = picture.area
    title = f"{job.title}: {area.name}, {area.pattern}, {part}, {across:.0f} × {down:.0f} mm"
    pixels = area_seen(picture, lines, job, palette) if colours else None
    drawn = Drawn(() if colours else tuple(letters(picture)), pixels)
    said = Sentence(" ".join(_of_pattern(picture, colours=colours)))
    parts: list[Part] = [Sentence(title, "strong"), drawn, *_key(lines, colours=colours), said]
    return Document("", (Section("", tuple(parts)),), _pattern_data(picture, lines))


def _key(lines: tuple[Line, ...], *, colours: bool) -> Iterator[Literally]:
    """Yield which mark is which line."""
    if colours:
        yield from (Literally(f"{line.name}, {line.size}") for line in lines)
        return
    marks = zip(LETTERS, lines, strict=False)
    yield from (Literally(f"{mark}  {line.name}, {line.size}") for mark, line in marks)
    yield Literally("·  cloth")


def _of_pattern(picture: Plan, *, colours: bool) -> Iterator[str]:
    yield f"One column is {picture.mm:.2g} mm, one line {2 * picture.mm:.2g} mm."
    if picture.whole and colours:
        yield "As it looks from the seats."
    if not colours:
        yield "A capital letter is the middle of a stone."
    if picture.area.pattern == "motif":
        yield "The job says how many stones a motif has, not where they go: this is one way."
    else:
        yield "It shows the pattern; do not set stones by it."
    yield "See more or less of it with --across MM."


def _pattern_data(picture: Plan, lines: tuple[Line, ...]) -> dict[str, Any]:
    piece, layout = picture.layout.piece, picture.layout
    return {
        "schema": "planner cover picture 1",
        "area": picture.area.name,
        "whole": picture.whole,
        "piece_mm": {"left": piece.left, "top": piece.top, "width": piece.width, "height": piece.height},
        "stones": [
            {"x_mm": centre[0], "y_mm": centre[1], "mm": width, "line": lines[which].name}
            for centre, width, which in zip(layout.centres, layout.diameters, layout.which, strict=True)
        ],
    }


def costume_document(drawn: Dressed, job: Job, palette: Palette, columns: int, *, colours: bool) -> Document:
    """Return a costume with its stones and what is left out.

    Parameters
    ----------
    drawn, job, palette
        Where the stones lie, whose costume it is, and what its ids mean.
    columns
        Cells across.
    colours
        Whether it is to be seen in colours; else in letters alone.

    """
    least, most = drawn.outline.box
    across, down = most - least
    # No taller than it must be: a wide outline leaves lines free.
    lines = min(LINES, int(np.ceil(0.5 * columns * down / across)) + 1)
    title = f"{job.title}: {drawn.outline.name}, {down / 10:.0f} cm high laid flat, as worn"
    if colours:
        asked = questions(job, drawn.lines or job.lines[:1], palette)
        shown = Drawn((), costume(drawn, asked, columns, 2 * lines).frame())
    else:
        shown = Drawn(_letters(drawn, columns, lines))
    said = Sentence(" ".join(_of_costume(drawn, job, palette, colours=colours)))
    parts: list[Part] = [Sentence(title, "strong"), shown, *_key(drawn.lines, colours=colours), said]
    return Document("", (Section("", tuple(parts)),), _costume_data(drawn))


def _of_costume(drawn: Dressed, job: Job, palette: Palette, *, colours: bool) -> Iterator[str]:
    yield f"{len(drawn.centres):,} stones are drawn."
    if colours:
        metres = job.distance or palette.venues[job.venues[0]].distance
        yield f"Seen from {metres:g} m in {palette.venues[job.venues[0]].name}."
    if drawn.beyond:
        yield f"{drawn.beyond:,} more would fall off their part and are left out: change place or turned."
    if drawn.left_out:
        yield f"Not drawn, because they have no part: {', '.join(drawn.left_out)}."
    yield "It shows how the stones are spread; do not set them by it."


def _letters(drawn: Dressed, wide: int, lines: int) -> tuple[str, ...]:
    """Return the costume in letters: a line's where its stones lie, a point where there is cloth alone."""
    least, most = drawn.outline.box
    mm = 1.04 * max((most - least) / [wide, 2 * lines])
    origin = 0.5 * (least + most) - 0.5 * mm * np.array([wide, 2 * lines])
    x, y = origin[0] + (np.arange(wide) + 0.5) * mm, origin[1] + (np.arange(lines) + 0.5) * 2 * mm
    points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    cloth = np.zeros(len(points), bool)
    for part in drawn.outline.parts.values():
        cloth |= within(part, points)
    marks = np.where(cloth, "·", " ").reshape(lines, wide)
    places = np.floor((drawn.centres - origin) / [mm, 2 * mm]).astype(int)
    for (column, row), kind in zip(places, drawn.which, strict=True):
        if 0 <= row < lines and 0 <= column < wide:
            marks[row, column] = LETTERS[kind % len(LETTERS)]
    return tuple("".join(row).rstrip() for row in marks)


def _costume_data(drawn: Dressed) -> dict[str, Any]:
    outline = drawn.outline
    return {
        "schema": "planner costume 1",
        "outline": outline.name,
        "parts": {name: points.round(1).tolist() for name, points in outline.parts.items()},
        "lines": {name: points.round(1).tolist() for name, points in outline.lines.items()},
        "stones": [
            {"x_mm": round(float(x), 2), "y_mm": round(float(y), 2), "mm": float(width),
             "line": drawn.lines[kind].name}
            for (x, y), width, kind in zip(drawn.centres, drawn.diameters, drawn.which, strict=True)
        ],
        "beyond": drawn.beyond,
        "on_no_part": list(drawn.left_out),
    }  # fmt: skip
