"""The pattern of one area from above, for ``planner cover --picture``."""

from itertools import groupby
from typing import Any

import click
import numpy as np
from numpy.typing import NDArray

from planner.catalogue.palette import Palette
from planner.cli import as_json, text
from planner.cover.count import AreaCount, lines_of
from planner.cover.picture import LETTERS, Plan, letters, plan, rgb
from planner.job import Job, Line
from planner.picture.above import colours
from planner.refusal import InvalidValue

_ROWS = 44
"""Pixels down: as many lines as fit a usual terminal with what stands round the picture."""

_HALF = "▀"


def drawn(count: AreaCount, job: Job, palette: Palette, across: float | None, *, as_data: bool) -> str:
    """Return the picture of an area with what it shows, or the places of its stones as JSON."""
    area = count.area
    lines = lines_of(area, job)
    try:
        picture = plan(area, lines, text.columns(), _ROWS, across)
    except InvalidValue as problem:
        raise click.BadParameter(str(problem), param_hint="--across") from None
    if as_data:
        return as_json.dumps(_data(picture, lines))
    true = text.true_colour()
    shown = _coloured(picture, job, lines, palette) if true else "\n".join(letters(picture))
    title = text.heading(text.wrap(_title(picture, job)))
    return "\n".join([title, shown, *_key(lines, true), _says(picture)])


def _title(picture: Plan, job: Job) -> str:
    area, mm = picture.area, picture.mm
    part = "all of it" if picture.whole else "a part of it"
    return (
        f"{job.title}: {area.name}, {area.pattern}, {part}, {mm * picture.columns:.0f} × "
        f"{mm * picture.rows:.0f} mm"
    )


def _key(lines: tuple[Line, ...], true: bool) -> list[str]:
    """Return which mark is which line."""
    if true:
        return [f"  {line.name}, {line.size}" for line in lines]
    marks = zip(LETTERS, lines, strict=False)
    return [*(f"  {mark}  {line.name}, {line.size}" for mark, line in marks), "  ·  cloth"]


def _says(picture: Plan) -> str:
    said = [f"One column is {picture.mm:.2g} mm, one line {2 * picture.mm:.2g} mm."]
    if not text.true_colour():
        said.append("A capital is a stone's middle.")
    said.append(
        "The job says how many stones a motif has, not where they lie: this is one way."
        if picture.area.pattern == "motif"
        else "The picture shows the pattern; it is no template to set stones by."
    )
    if not picture.whole:
        said.append("See more or less of it with --across MM.")
    return text.wrap(" ".join(said))


def _coloured(picture: Plan, job: Job, lines: tuple[Line, ...], palette: Palette) -> str:
    stones, cloth = colours(job, lines, palette)
    pixels = rgb(picture, stones, cloth).reshape(-1, 2, picture.columns, 3)
    return "\n".join(_half_blocks(upper, lower) for upper, lower in pixels)


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
