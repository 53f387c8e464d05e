"""What a person confirmed of a seller's words: headings, names of stones and of coatings, kept in a table.

The table lies beside the person's palettes, one word in a row, and can be mended in a spreadsheet.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, Literal, TypeAlias

from planner import atomic
from planner.catalogue.files import NoFile, read_text, rows_of
from planner.catalogue.palette import user_folder
from planner.order.export import csv_text
from planner.order.vocabulary import plain
from planner.refusal import Refusal, show

Kind: TypeAlias = Literal["heading", "stone", "coating"]

FILE_NAME: Final = "sellers_words.csv"
HEAD: Final = ("seller", "kind", "written", "means")


@dataclass(frozen=True)
class Guess:
    """What a seller's word is likely to mean."""

    seller: str
    """Empty for a heading of a file with several sellers."""
    kind: Kind
    written: str
    means: str
    """A field of an offer, or an id of the palette."""


@dataclass(frozen=True)
class Heard:
    """What was confirmed."""

    of: Mapping[tuple[str, str, str], str] = field(default_factory=dict)
    """What is meant, by seller, kind and word, all in plain words."""

    def meaning(self, seller: str, kind: Kind, written: str) -> str | None:
        """Return what a word of a seller was confirmed to mean; None where nothing was."""
        return self.of.get((plain(seller), kind, plain(written)))

    def headings(self) -> dict[str, str]:
        """Return the fields of headings, whoever wrote them."""
        return {written: means for (_, kind, written), means in self.of.items() if kind == "heading"}


def heard_file(palettes: Path | None = None) -> Path:
    """Return where the table lies: beside what ``--palettes`` names, or in the person's own folder."""
    if palettes is None:
        return user_folder() / FILE_NAME
    return (palettes if palettes.is_dir() else palettes.parent) / FILE_NAME


def read_heard(path: Path) -> Heard:
    """Return what was confirmed; nothing where there is no table yet.

    Raises
    ------
    Refusal
        If the table cannot be read.

    """
    return Heard({(plain(one.seller), one.kind, plain(one.written)): one.means for one in _read(path)})


def remember(path: Path, guesses: Iterable[Guess]) -> None:
    """Keep guesses that were confirmed; a later one of the same word takes the place of an earlier one.

    Raises
    ------
    Refusal
        If the table cannot be read or written.

    """
    more = tuple(guesses)

    def with_them(_: bytes | None) -> bytes:
        kept = {(plain(one.seller), one.kind, plain(one.written)): one for one in (*_read(path), *more)}
        rows = [(one.seller, one.kind, one.written, one.means) for one in kept.values()]
        return csv_text(HEAD, rows).encode("utf-8-sig")

    atomic.make_folder(path.parent)
    atomic.change(path, with_them)


def _read(path: Path) -> list[Guess]:
    try:
        rows = rows_of(read_text(path))
    except NoFile:
        return []
    found = []
    for number, cells in enumerate(rows[1:], 2):
        if not cells:
            continue
        row = dict(zip(rows[0], cells, strict=False))
        kind = (row.get("kind") or "").strip()
        if kind not in {"heading", "stone", "coating"} or not row.get("written") or not row.get("means"):
            allowed = "each row needs a kind (heading, stone or coating), what is written and what it means"
            raise Refusal(f"{path} row {number}: found kind {show(kind)}; {allowed}")
        found.append(Guess(row.get("seller") or "", kind, row["written"], row["means"]))  # type: ignore[arg-type]
    return found
