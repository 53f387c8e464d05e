"""Stone sizes in true proportion, for ``planner sizes``."""

from typing import Any

import click

from planner.catalogue.sizes import StoneSize, size, sizes
from planner.cli import as_json, text
from planner.cover.practice import use_of
from planner.cover.sizes_picture import COIN_MM, USUAL, size_picture, usual_mm
from planner.refusal import Refusal


def show(names: tuple[str, ...], *, column: float | None, as_data: bool) -> None:
    """Print the picture and the table of sizes."""
    shown = tuple(dict.fromkeys(names)) or USUAL
    if as_data:
        click.echo(as_json.dumps({"schema": "planner sizes 1", "sizes": [_data(size(one)) for one in shown]}))
        return
    columns = text.columns()
    mm = usual_mm(columns) if column is None else column
    try:
        picture = size_picture(shown, columns, mm)
    except Refusal as problem:
        raise click.BadParameter(str(problem), param_hint="--column") from None
    scale = (
        f"In true proportion, one column to {mm:g} mm; how large that is on your screen, only a rule held to "
        "it tells (--column MM makes it life-sized)."
        if column is None
        else f"One column is {mm:g} mm: life-sized, if one character of your screen is that wide."
    )
    ring = f"The ring is {COIN_MM:g} mm across, as a one-euro coin is."
    parts = ["\n".join(picture), text.wrap(f"{ring} {scale}")]
    parts.append("\n".join([text.heading("size   millimetres     commonly used for"), *map(_row, shown)]))
    parts.append(text.wrap(f"Millimetres are published, uses are common practice, no source. {_gaps()}"))
    click.echo("\n\n".join(parts))


def _row(name: str) -> str:
    one = size(name)
    wide = f"about {one.nominal_mm:g}" if one.min_mm is None else f"{one.min_mm:g} to {one.max_mm:g}"
    return text.wrap(use_of(name), 23, f"{name:<7}{wide:<16}")


def _gaps() -> str:
    """Say where no range is published."""
    alone = [name for name, one in sizes().items() if one.min_mm is None]
    known = {int(name.removeprefix("SS")) for name in sizes()}
    absent = [f"SS{number}" for number in range(max(known)) if number not in known]
    return (
        f"Where only a nominal diameter is published ({', '.join(alone)}), it says about. Not published, "
        f"and so not taken: {', '.join(absent)}."
    )


def _data(one: StoneSize) -> dict[str, Any]:
    return {
        "size": one.name, "min_mm": one.min_mm, "max_mm": one.max_mm, "nominal_mm": one.nominal_mm,
        "use": use_of(one.name),
    }  # fmt: skip
