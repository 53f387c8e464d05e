"""Stone sizes in true proportion, their millimetres and what they are used for."""

from collections.abc import Collection, Sequence
from typing import Any

from planner.catalogue.sizes import StoneSize, size, sizes
from planner.cover.practice import use_of
from planner.cover.sizes_picture import COIN_MM, size_picture
from planner.say.document import Column, Document, Drawn, Row, Section, Sentence, Table, document


def sizes_document(
    names: Sequence[str], columns: int, mm: float, *, life_sized: bool = False, own: Collection[str] = ()
) -> Document:
    """Return sizes side by side.

    Parameters
    ----------
    names
        Which.
    columns
        Cells across.
    mm
        What one cell is wide.
    life_sized
        Whether that was measured on this screen.
    own
        Those that the job takes, which are marked.

    Raises
    ------
    Refusal
        If they do not fit.

    """
    scale = (
        f"One column is {mm:g} mm: life-sized, if one character on your screen is that wide."
        if life_sized
        else f"In true proportion, one column to {mm:g} mm. To see it life-sized, hold a ruler to your "
        "screen and say how wide one column is (--column MM)."
    )
    rows = tuple(Row((f"{'▸ ' if one in own else ''}{one}", _wide(size(one)), use_of(one))) for one in names)
    told = (Column("size"), Column("millimetres"), Column("commonly used for", folds=True))
    marked = " ▸ is on this costume." if own else ""
    return document("", [
        Drawn(tuple(size_picture(names, columns, mm))),
        Sentence(f"The ring is {COIN_MM:g} mm across, as a one-euro coin is. {scale}"),
        Section("", (Table(told, rows),)),
        Sentence(f"Millimetres and uses are common practice, no source.{marked} {_gaps()}"),
    ], {"schema": "planner sizes 1", "sizes": [_data(size(one)) for one in names]})  # fmt: skip


def _wide(one: StoneSize) -> str:
    return f"about {one.nominal_mm:g}" if one.min_mm is None else f"{one.min_mm:g} to {one.max_mm:g}"


def _gaps() -> str:
    """Say where no range is in common use."""
    alone = [name for name, one in sizes().items() if one.min_mm is None]
    known = {int(name.removeprefix("SS")) for name in sizes()}
    absent = [f"SS{number}" for number in range(max(known)) if number not in known]
    return (
        f"“About” is where only a nominal diameter is in use ({', '.join(alone)}). Not in common use, and "
        f"so not accepted: {', '.join(absent)}."
    )


def _data(one: StoneSize) -> dict[str, Any]:
    return {
        "size": one.name, "min_mm": one.min_mm, "max_mm": one.max_mm, "nominal_mm": one.nominal_mm,
        "use": use_of(one.name),
    }  # fmt: skip
