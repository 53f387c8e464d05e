"""The whole costume to scale, for ``planner cover --costume``."""

import numpy as np

from planner.catalogue.palette import Palette
from planner.cli import as_json, text
from planner.cli.cover_picture import LINES, half_blocks, key
from planner.cover.costume import Dressed, dressed, outline_of
from planner.cover.picture import LETTERS
from planner.job import Job, JobFile
from planner.picture.costume import costume, questions
from planner.refusal import Refusal


def costume_drawn(file: JobFile, palette: Palette, *, as_data: bool) -> str:
    """Return the costume with its stones and what is left out, or where all of it lies as JSON."""
    job = file.job
    try:
        drawn = dressed(job, outline_of(job, file.path.parent))
    except Refusal as problem:
        raise Refusal(f"{file.path}, {problem}") from None
    if as_data:
        return as_json.dumps(_data(drawn))
    true, wide = text.true_colour(), text.columns()
    least, most = drawn.outline.box
    across, down = most - least
    # No taller than it must be: a wide outline leaves lines free.
    lines = min(LINES, int(np.ceil(0.5 * wide * down / across)) + 1)
    if true:
        asked = questions(job, drawn.lines or job.lines[:1], palette)
        shown = half_blocks(costume(drawn, asked, wide, 2 * lines).frame())
    else:
        shown = _letters(drawn, wide, lines)
    title = text.heading(
        text.wrap(f"{job.title}: {drawn.outline.name}, {down / 10:.0f} cm high laid flat, as worn")
    )
    return "\n".join([title, shown, *key(drawn.lines, true), _says(drawn, job, palette, true=true)])


def _says(drawn: Dressed, job: Job, palette: Palette, *, true: bool) -> str:
    said = [f"{len(drawn.centres):,} stones are drawn."]
    if true:
        metres = job.distance or palette.venues[job.venues[0]].distance
        said.append(f"Seen from {metres:g} m in {palette.venues[job.venues[0]].name}.")
    if drawn.beyond:
        said.append(
            f"{drawn.beyond:,} more would lie off their part, and are left out: see place and turned."
        )
    if drawn.left_out:
        said.append(f"On no part, and so not drawn: {', '.join(drawn.left_out)}; give each a part.")
    said.append("It shows how the stones are spread; it is no template to set them by.")
    return text.wrap(" ".join(said))


def _letters(drawn: Dressed, wide: int, lines: int) -> str:
    """Return the costume in letters: a line's where its stones lie, a point where there is cloth alone."""
    from planner.cover.costume import within

    least, most = drawn.outline.box
    mm = 1.04 * max((most - least) / [wide, 2 * lines])
    origin = 0.5 * (least + most) - 0.5 * mm * np.array([wide, 2 * lines])
    x, y = origin[0] + (np.arange(wide) + 0.5) * mm, origin[1] + (np.arange(lines) + 0.5) * 2 * mm
    points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    cloth = np.zeros(len(points), bool)
    for part in drawn.outline.parts.values():
        cloth |= within(part, points)
    marks = np.where(cloth, "·", " ").reshape(lines, wide)
    for (column, row), kind in zip(
        np.floor((drawn.centres - origin) / [mm, 2 * mm]).astype(int), drawn.which, strict=True
    ):
        if 0 <= row < lines and 0 <= column < wide:
            marks[row, column] = LETTERS[kind % len(LETTERS)]
    return "\n".join("".join(row).rstrip() for row in marks)


def _data(drawn: Dressed) -> dict[str, object]:
    outline = drawn.outline
    return {
        "schema": "planner costume 1",
        "outline": outline.name,
        "parts": {name: points.round(1).tolist() for name, points in outline.parts.items()},
        "lines": {name: points.round(1).tolist() for name, points in outline.lines.items()},
        "stones": [
            {
                "x_mm": round(float(x), 2),
                "y_mm": round(float(y), 2),
                "mm": float(width),
                "line": drawn.lines[kind].name,
            }
            for (x, y), width, kind in zip(drawn.centres, drawn.diameters, drawn.which, strict=True)
        ],
        "beyond": drawn.beyond,
        "on_no_part": list(drawn.left_out),
    }
