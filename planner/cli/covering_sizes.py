"""The flow of ``planner sizes``."""

import click

from planner.cli import text
from planner.cover.sizes_picture import USUAL, usual_mm
from planner.refusal import Refusal
from planner.say.sizes import sizes_document


def show(names: tuple[str, ...], *, column: float | None, as_data: bool) -> None:
    """Print the picture and the table of sizes."""
    columns = text.columns()
    mm = usual_mm(columns) if column is None or as_data else column
    shown = tuple(dict.fromkeys(names)) or USUAL
    try:
        answer = sizes_document(shown, columns, mm, life_sized=column is not None)
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--column") from None
    text.tell(answer, as_data=as_data)
