"""The log of predicted against seen, a CSV that a person may read, and how far off predictions were."""

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import astuple, dataclass, fields
from functools import lru_cache
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

from planner import atomic
from planner.catalogue.coating import NONE, Coating
from planner.catalogue.files import NoFile, read_text, rows_of
from planner.catalogue.palette import user_folder
from planner.catalogue.stone import Stone
from planner.job.today import today
from planner.refusal import Refusal, show

if TYPE_CHECKING:
    from planner.fitting.arrival import Arrived

NAME = "arrivals.csv"
"""What the log is called, in the person's folder and beside a job."""


@dataclass(frozen=True)
class Line:
    """One prediction and what came of it."""

    date: str
    kind: str
    """From `kind_of`."""
    stone: str
    coating: str
    size: str
    venue: str
    predicted_L: float  # noqa: N815 - the names CIELAB gives them
    predicted_a: float
    predicted_b: float
    seen_L: float  # noqa: N815
    seen_a: float
    seen_b: float
    seen_by: str
    """A key of `planner.fitting.sight.ERRORS`."""
    within: float
    """ΔE00 within which nine in ten were expected."""
    dE00: float  # noqa: N815


@dataclass(frozen=True)
class Track:
    """How far predictions of one kind were off."""

    kind: str
    count: int
    median: float
    """ΔE00 in the middle."""
    expected: float
    """Share that came within what was told, 0 to 1."""

    @property
    def said(self) -> str:
        """One sentence of it."""
        many = "such prediction" if self.count == 1 else "such predictions"
        have = "has" if self.count == 1 else "have"
        near = f"{self.expected * self.count:.0f} of {self.count}"
        return (
            f"So far {self.count} {many} ({self.kind}) {have} been checked against what arrived: {near} came "
            "out as close as promised."
        )


@dataclass(frozen=True)
class Remembered:
    """How far predictions of one kind were off, and a note where the log cannot be read."""

    track: Track | None
    notes: tuple[str, ...] = ()


_HEADER = tuple(one.name for one in fields(Line))
_NUMBERS = tuple(place for place, one in enumerate(fields(Line)) if one.type is float)


def kind_of(stone: Stone, coating: Coating | None) -> str:
    """Return the kind of pairing by which errors are kept apart: coated or not, and what body."""
    body = "coloured"
    if stone.opaque:
        body = "jet"
    elif stone.colourants is None and stone.spectrum is None and stone.colour is None:
        body = "clear"
    return f"{'uncoated' if coating is None else 'coated'}, {body}"


def own_log() -> Path:
    """Return where a person's own log is; it need not exist."""
    return user_folder().parent / NAME


def job_log(job: Path) -> Path:
    """Return where the log beside a job is."""
    return job.resolve().parent / NAME


def line_of(arrived: "Arrived") -> Line:
    """Return what is to be remembered of an arrival."""
    question = arrived.reading.question
    cells = (
        today().isoformat(), kind_of(question.stone, question.coating), question.stone.id,
        question.coating.id if question.coating else NONE, question.size, question.venue.id,
        *(round(one, 2) for one in arrived.reading.seen.lab), *(round(float(one), 2) for one in arrived.lab),
        arrived.seen.source, round(arrived.within, 2), round(arrived.apart.dE00, 2),
    )  # fmt: skip
    return Line(*cells)  # type: ignore[arg-type]  # in the order of the fields


def read_log(path: Path) -> tuple[Line, ...]:
    """Return all lines of a log; none if there is no such file.

    Raises
    ------
    Refusal
        If a line is not one of ours: one sentence with file and line; the file stays as it is.

    """
    try:
        file = read_text(path)
    except NoFile:
        return ()
    rows = rows_of(file)
    if not rows or tuple(rows[0]) != _HEADER:
        found = show(",".join(rows[0])) if rows else "nothing"
        raise Refusal(
            f"{path} line 1: found {found}; a log of arrivals begins with {','.join(_HEADER[:4])} and so on: "
            "mend it, or move it away to begin a new one"
        )
    lines = tuple(_line(path, number, row) for number, row in enumerate(rows[1:], 2))
    if not file.text.endswith("\n"):
        raise Refusal(f"{path} line {len(rows)}: the line is cut short; mend it, or delete that line")
    return lines


def append(path: Path, line: Line) -> bool:
    """Add a line at the end of a log in one write, so that two planners cannot mix their lines.

    A line that is there already counts once: nothing is added, and False returned.

    Raises
    ------
    Refusal
        If the log there is damaged (nothing is added), or cannot be written.

    """
    if line in read_log(path):
        return False
    atomic.make_folder(path.parent)
    if not path.exists():
        try:
            atomic.write(path, _text(_HEADER), new=True)
        except Refusal:
            if not path.exists():  # else another planner began it just now
                raise
    atomic.append(path, _text(astuple(line)))
    return True


def take_back(path: Path) -> Line:
    """Take the last line off a log again, and return it.

    Raises
    ------
    Refusal
        If there is none, or the log is damaged.

    """
    taken: list[Line] = []

    def without_last(_: bytes | None) -> bytes:
        *lines, last = read_log(path) or (None,)
        if last is None:
            raise Refusal(f"{path}: nothing is logged there that could be taken back")
        taken.append(last)
        return b"".join(_text(cells) for cells in (_HEADER, *map(astuple, lines)))

    atomic.change(path, without_last)
    return taken[0]


def track(lines: Sequence[Line], kind: str) -> Track | None:
    """Return how far predictions of a kind were off; None where there is none yet."""
    mine = [one for one in lines if one.kind == kind]
    if not mine:
        return None
    inside = sum(one.dE00 <= one.within for one in mine) / len(mine)
    return Track(kind, len(mine), median(one.dE00 for one in mine), inside)


def remembered(stone: Stone, coating: Coating | None) -> Remembered:
    """Return what the person's own log says of such a pairing; a damaged log costs no reading."""
    path = own_log()
    try:
        lines = _lines(path, path.stat().st_mtime_ns)
    except FileNotFoundError:
        return Remembered(None)
    except (OSError, Refusal) as problem:
        return Remembered(None, (f"the log of arrivals is left out: {problem}.",))
    return Remembered(track(lines, kind_of(stone, coating)))


@lru_cache(maxsize=4)
def _lines(path: Path, changed: int) -> tuple[Line, ...]:  # noqa: ARG001 - a file that changed is another
    return read_log(path)


def _text(cells: Sequence[object]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue().encode("utf-8")


def _line(path: Path, number: int, row: list[str]) -> Line:
    where = f"{path} line {number}"
    if len(row) != len(_HEADER):
        raise Refusal(
            f"{where}: found {len(row)} cells; a line of the log has {len(_HEADER)}: mend it, or delete "
            "that line"
        )
    cells: list[str | float] = list(row)
    for place in _NUMBERS:
        try:
            cells[place] = float(row[place])
        except ValueError:
            cells[place] = math.nan
        if not math.isfinite(float(cells[place])):
            raise Refusal(
                f"{where}, {_HEADER[place]}: found {show(row[place])}; it must be a number: mend it, or "
                "delete that line"
            )
    return Line(*cells)  # type: ignore[arg-type]  # each cell has the type of its field by now
