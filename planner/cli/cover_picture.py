"""The pattern of one area from above, for ``planner cover --picture``."""

from itertools import groupby
from typing import Any

import click
import numpy as np
from numpy.typing import NDArray

from planner.catalogue.palette import Palette
from planner.cli import as_json, text
from planner.cover.count import AreaCount, lines_of
from planner.cover.picture import LETTERS, Plan, letters, plan
from planner.job import Job, Line
from planner.picture.costume import area_seen
from planner.refusal import InvalidValue

LINES = 22
"""As many as fit a usual terminal with what stands round the picture; two pixels each."""

_HALF = "▀"


def drawn(count: AreaCount, job: Job, palette: Palette, across: float | None, *, as_data: bool) -> str:
    """Return the picture of an area with what it shows, or the places of its stones as JSON."""
    area = count.area
    lines = lines_of(area, job)
    try:
        picture = plan(area, lines, text.columns(), 2 * LINES, across)
    except InvalidValue as problem:
        raise click.BadParameter(str(problem), param_hint="--across") from None
    if as_data:
        return as_json.dumps(_data(picture, lines))
    true = text.true_colour()
    shown = half_blocks(area_seen(picture, lines, job, palette)) if true else "\n".join(letters(picture))
    title = text.heading(text.wrap(_title(picture, job)))
    return "\n".join([title, shown, *key(lines, true), _says(picture)])


def _title(picture: Plan, job: Job) -> str:
    part, size = "all of it" if picture.whole else "a part of it", picture.shown_mm
    area = picture.area
    return f"{job.title}: {area.name}, {area.pattern}, {part}, {size[0]:.0f} × {size[1]:.0f} mm"


def key(lines: tuple[Line, ...], true: bool) -> list[str]:
    """Return which mark is which line."""
    if true:
        return [f"  {line.name}, {line.size}" for line in lines]
    marks = zip(LETTERS, lines, strict=False)
    return [*(f"  {mark}  {line.name}, {line.size}" for mark, line in marks), "  ·  cloth"]


def _says(picture: Plan) -> str:
    said = [f"One column is {picture.mm:.2g} mm, one line {2 * picture.mm:.2g} mm."]
    if picture.whole and text.true_colour():
        said.append("Seen as from the seats.")
    if not text.true_colour():
        said.append("A capital is a stone's middle.")
    said.append(
        "The job says how many stones a motif has, not where they lie: this is one way."
        if picture.area.pattern == "motif"
        else "The picture shows the pattern; it is no template to set stones by."
    )
    said.append("See more or less of it with --across MM.")
    return text.wrap(" ".join(said))


def half_blocks(pixels: NDArray[np.uint8]) -> str:
    """Return a picture (2 · lines, columns, 3) as lines of cells."""
    pairs = pixels.reshape(-1, 2, *pixels.shape[1:])
    return "\n".join(_half_blocks(upper, lower) for upper, lower in pairs)


def _half_blocks(upper: NDArray[np.uint8], lower: NDArray[np.uint8]) -> str:
    """Return two rows of pixels as one line of cells; cells alike in a row are styled together."""
    cells = zip(map(_colour, upper), map(_colour, lower), strict=True)
    return "".join(
        click.style(_HALF * len(list(run)), fg=above, bg=below) for (above, below), run in groupby(cells)
    )


def _colour(pixel: NDArray[np.uint8]) -> tuple[int, int, int]:
    red, green, blue = map(int, pixel)
    return red, green, blue


def _data(picture: Plan, lines: tuple[Line, ...]) -> dict[str, Any]:
    piece = picture.layout.piece
    return {
        "schema": "planner cover picture 1",
        "area": picture.area.name,
        "whole": picture.whole,
        "piece_mm": {"left": piece.left, "top": piece.top, "width": piece.width, "height": piece.height},
        "stones": [
            {"x_mm": centre[0], "y_mm": centre[1], "mm": width, "line": lines[which].name}
            for centre, width, which in zip(
                picture.layout.centres, picture.layout.diameters, picture.layout.which, strict=True
            )
        ],
    }
