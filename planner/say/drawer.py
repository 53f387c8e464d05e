"""The drawer told: every lot in a row, and the question for more of one."""

from pathlib import Path

from planner.order.drawer import Owned, same_lot
from planner.say.document import Column, Document, Literally, Patch, Row, Sentence, Table, document


def drawer_document(lots: tuple[Owned, ...], path: Path, more: int | None, count: int | None) -> Document:
    """Return the lots of a drawer; with `more`, from 1, the question for `count` more of that one."""
    asked = None if more is None else same_lot(lots[more - 1], count)
    data = {
        "schema": "planner drawer 1",
        "file": str(path),
        "lots": [
            {
                **one.lot.model_dump(exclude_none=True),
                "name": one.name,
                "seen": one.seen,
                "called": one.called,
            }
            for one in lots
        ],
        "question": asked,
    }
    if asked is not None:
        return document("", [Literally(asked)], data)
    if not lots:
        return document("", [Sentence(f"Your drawer is empty ({path}): add lots on its screen.")], data)
    rows = tuple(
        Row(
            (
                str(number), one.name, one.lot.size, f"{one.lot.count:,}", one.lot.number, one.lot.seller,
                Patch(one.called, one.seen) if one.seen else "",
            ),
            (Sentence(one.lot.note),) if one.lot.note else (),
        )
        for number, one in enumerate(lots, 1)
    )  # fmt: skip
    heads = (
        Column(""), Column("stone and coating"), Column("size"), Column("count", "right"), Column("lot"),
        Column("bought at"), Column("seen as"),
    )  # fmt: skip
    next_step = Sentence("planner drawer --more N words a question to the seller for more of the same lot.")
    return document("", [Table(heads, rows), next_step], data)
