"""A ranking in words and columns: how its rows are shown and sorted, and what stands above and below them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from rich.text import Text

from planner.app.depth import Depth
from planner.app.pairings.ranking import NO_FLASH, UNCOATED, Entry, Look
from planner.app.parts.patch import patch
from planner.app.parts.tones import SIGNS
from planner.colour.names import family_swatch, name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.phrase import share, than
from planner.reading.question import Question
from planner.reading.verdict import MARKS, in_brief
from planner.say.table import cut

UNREAD: Final = "…"
"""Stands where a pairing has not been looked at yet."""

GAP: Final = 1
"""Cells between two columns."""


@dataclass(frozen=True)
class Column:
    """One column."""

    key: str
    title: str
    least: int
    """Cells without which it is left out."""
    good: int
    """Cells in which it reads well."""
    most: int
    """Cells beyond which it needs no more."""
    cell: Callable[[Entry, int], Text]
    order: Callable[[Entry], Any]
    full: bool = False
    """Whether it needs a pairing to be looked at."""

    def shown(self, entry: Entry, width: int) -> Text:
        """Return its cell of a row."""
        if self.full and entry.look is None:
            return Text(UNREAD, "dim")
        key = self.key, width
        if key not in entry.cells:
            entry.cells[key] = self.cell(entry, width)
        return entry.cells[key]


def _plain(get: Callable[[Entry], str]) -> Callable[[Entry, int], Text]:
    return lambda entry, width: Text(cut(get(entry), width), no_wrap=True)


def _result(entry: Entry, width: int) -> Text:
    room = width - 3
    fitting = (name for name in (entry.seen.name, entry.hue_name) if len(name) <= room)
    name = next(fitting, cut(entry.seen.family, room))
    return Text.assemble(patch(entry.seen.hex, entry.depth), " ", name, no_wrap=True)


_SHORTER: Final = {"more purple": "purpler", "more vivid": "vivider"}


def _off(entry: Entry, width: int) -> Text:
    head = f"{MARKS[entry.ranked.outcome]} {entry.ranked.dE00:2.0f} "
    room, words = width - len(head), entry.drift.words
    if len(words) > room:
        # The part that says most, without its grade if need be.
        words = max(words.split(", "), key=_grade)
        if len(words) > room:
            words = words.removeprefix("slightly ").removeprefix("much ")
            words = _SHORTER.get(words, words)
    return Text(head + cut(words, room), no_wrap=True)


def _grade(words: str) -> int:
    return words.startswith("much ") - words.startswith("slightly ")


def _batches(entry: Entry, _width: int) -> Text:
    return Text(f"{round(10 * entry.ranked.lots):>2}/10", no_wrap=True)


def _flash(entry: Entry, width: int) -> Text:
    look = entry.look
    if look is None or look.family is None:
        return Text(cut(NO_FLASH, width), no_wrap=True)
    rgb, _ = lab_to_srgb(family_swatch(look.family))
    words = look.flash if len(look.flash) <= width - 2 else cut(look.family, width - 2)
    return Text.assemble(patch(to_hex(rgb), entry.depth, 1), " ", words, no_wrap=True)


def _warning(entry: Entry, width: int) -> Text:
    look = entry.look
    return Text() if look is None else Text(cut(look.warning, width), "bold" * look.severe, no_wrap=True)


def _flash_order(entry: Entry) -> tuple[str, float]:
    look = entry.look
    return ("~", 0.0) if look is None or look.family is None else (look.family, -look.flash_share)


def _millimetres(entry: Entry) -> float:
    return entry.ranked.question.millimetres


COLUMNS: Final = (
    Column("stone", "Stone", 12, 17, 24, _plain(lambda e: e.stone), lambda e: e.stone.lower()),
    Column("coating", "Coating", 11, 17, 31, _plain(lambda e: e.coating), lambda e: e.coating.lower()),
    Column("result", "Result", 16, 24, 28, _result, lambda e: (e.seen.family, e.seen.name, e.ranked.lab[0])),
    Column("off", "How far off", 13, 18, 46, _off, lambda e: e.ranked.dE00),
    Column("batches", "Hold", 5, 5, 5, _batches, lambda e: -e.ranked.lots),
    Column("flash", "Sparkle", 13, 16, 22, _flash, _flash_order, full=True),
    Column("warning", "Warning", 14, 14, 16, _warning, lambda e: e.look and e.look.gravity, full=True),
    Column("material", "Material", 12, 17, 17, _plain(lambda e: e.ranked.question.stone.material),
           lambda e: e.ranked.question.stone.material),
    Column("size", "Size", 5, 5, 5, _plain(lambda e: e.ranked.question.size), _millimetres),
)  # fmt: skip
"""In the order shown."""

_IMPORTANCE: Final = ("stone", "coating", "result", "off", "batches", "warning", "flash", "size", "material")
"""What stays when room is short, most important first."""

_ESSENTIAL: Final = 6
"""So many of them are shown squeezed rather than left out."""

_SQUEEZE: Final = 12
"""Cells that may be missing to good widths before a further column is left out."""

BY_KEY: Final = {column.key: column for column in COLUMNS}


def widths(room: int) -> dict[str, int]:
    """Return which columns fit into `room` cells, in the order shown, and how wide each is."""
    chosen: list[Column] = []
    for number, key in enumerate(_IMPORTANCE):
        tried = [*chosen, BY_KEY[key]]
        least = sum(one.least + GAP for one in tried) - GAP
        good = sum(one.good + GAP for one in tried) - GAP
        if least > room or (number >= _ESSENTIAL and good > room + _SQUEEZE):
            break
        chosen = tried
    found = {one.key: one.least for one in chosen}
    spare = room - sum(found.values()) - GAP * (len(found) - 1)
    for wanted in ("good", "most"):
        for one in chosen:
            more = max(0, min(spare, getattr(one, wanted) - found[one.key]))
            found[one.key] += more
            spare -= more
    return {column.key: found[column.key] for column in COLUMNS if column.key in found}


def ordered(entries: Sequence[Entry], key: str | None, *, reverse: bool) -> list[Entry]:
    """Return rows in the order of a column; None is best for the wish first.

    Rows that have not been looked at come last where the column needs it.
    """
    if key is None:
        return sorted(entries, key=lambda one: one.ranked.standing, reverse=reverse)
    column = BY_KEY[key]
    if not column.full:
        return sorted(entries, key=column.order, reverse=reverse)
    known = [one for one in entries if one.look is not None]
    unknown = [one for one in entries if one.look is None]
    return sorted(known, key=column.order, reverse=reverse) + unknown


_WISHES: Final = {"blend": "to blend in", "tone": "tone on tone", "contrast": "to stand out"}
_ALLOWED: Final = {
    "arm": "at arm's length",
    "seats": "from the seats",
    "family": "in the same colour family",
}


def heading(question: Question, depth: Depth) -> Text:
    """Return what all pairings are held against."""
    allowed = question.tolerance
    near = _ALLOWED.get(allowed, allowed) if isinstance(allowed, str) else f"within ΔE00 {allowed:g}"
    rgb, _ = lab_to_srgb(question.swatch.lab)
    return Text.assemble(
        ("All pairings for your swatch ", "bold"), patch(to_hex(rgb), depth, 3),
        (f" {name_of(question.swatch.lab)}", "bold"),
        (f"\n{_WISHES[question.wish]}, {near} · {question.distance:g} m · {question.venue.name}", "dim"),
    )  # fmt: skip


def detail(entry: Entry, *, full: bool) -> Text:
    """Return the pairing in words: the sentence once it has been looked at, and the worst warning.

    With `full` there is room for what to do about it.
    """
    if entry.look is None:
        answer = in_brief(entry.ranked.question.wish, entry.ranked.outcome)
        coating = UNCOATED if entry.coating == UNCOATED else f"with {entry.coating}"
        return Text(
            f"{entry.stone} {coating}: {entry.seen.name}, {than(entry.drift.words, 'your swatch')}; "
            f"{answer}, and {share(entry.ranked.lots)} of its batches would do. Looking at its sparkle …"
        )
    worst = _worst(entry.look, full=full)
    parts = [Text(entry.look.sentence), worst]
    if entry.look.concerns and entry.look.concerns[0].severity != "note":
        # Where room is short the end is not seen, and that must not be the warning.
        parts.reverse()
    return Text("\n").join(part for part in parts if part)


def _worst(look: Look, *, full: bool) -> Text:
    """Return the worst warning, and with `full` what to do about it; empty without one."""
    if not look.concerns:
        return Text()
    concern = look.concerns[0]
    mark, _ = SIGNS[concern.severity]
    said = f"{concern.text} {concern.do}" if full else concern.text
    return Text.assemble((f"{mark} {concern.severity}: ", "bold"), said)
