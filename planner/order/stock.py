"""Stones in the drawer: a small file a person keeps, taken from first, and counted down when told to.

It is TOML, one ``[[lot]]`` for each batch:

    [[lot]]
    stone = "pulley-blue"
    coating = "none"
    size = "SS20"
    count = 310
    seller = "Corner Shop"
    number = "L-204"
    seen = "#2e5f9a"
    note = "Left from the hoop, spring."
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Any, Final

from pydantic import BeforeValidator

from planner.catalogue.coating import NONE
from planner.catalogue.errors import build, suggest
from planner.catalogue.fields import Part, check_hex, identifier, text, whole
from planner.catalogue.files import OwnFile, TextFile, read_text
from planner.catalogue.palette import Palette
from planner.catalogue.palette_file import MAX_ENTRIES, entry_data, places
from planner.catalogue.stone import Size
from planner.catalogue.toml_text import Blocks, edit_entry, new_entry, newline_of, parse, split_for_edit
from planner.cover.need import Need
from planner.order.packs import Pairing, key_of
from planner.refusal import Refusal, show

KIND: Final = "lot"
"""What the header of an entry says."""

MOST = 1_000_000
"""Most stones of one lot."""


class Lot(Part):
    """Stones of one batch."""

    stone: Annotated[str, identifier("the id of a stone")]
    """Id of the stone."""

    coating: Annotated[str, identifier("the id of a coating")] = NONE
    """Id of the coating, or ``none``."""

    size: Size
    """Stone size, such as SS20."""

    count: Annotated[int, whole("a count", 0, MOST)]
    """How many there are."""

    seller: Annotated[str, text("a seller", least=0)] = ""
    """Where they were bought."""

    number: Annotated[str, text("a lot's number", most=40, least=0)] = ""
    """What the seller calls the lot."""

    seen: Annotated[str | None, BeforeValidator(check_hex)] = None
    """What it was seen as by the window, "#rrggbb"."""

    note: Annotated[str, text("a note", most=400, least=0)] = ""
    """Anything worth remembering of the batch, up to 400 characters."""

    @property
    def pairing(self) -> Pairing:
        """What it is."""
        return self.stone, self.coating, self.size


@dataclass(frozen=True)
class Taken:
    """Stones to take from one lot."""

    number: int
    """Which lot of the file, from 0."""

    lot: Lot
    """As it is before."""

    count: int
    """How many are taken."""


@dataclass(frozen=True)
class StockFile(OwnFile):
    """The lots in the drawer, and the text they are kept in."""

    lots: tuple[Lot, ...]

    def with_lot(self, lot: Lot, number: int | None = None) -> "StockFile":
        """Return the file with a lot added, or put in place of lot `number`; all other lines stay.

        Raises
        ------
        Refusal
            If its entries are written in a way that cannot be changed in place.

        """
        blocks, lots = split_for_edit(self.path, self.source.text, (KIND,)), list(self.lots)
        if number is None:
            newline = newline_of(blocks.text)
            gap = newline if blocks.text else ""
            text, lots = blocks.text + gap + new_entry(KIND, entry_data(lot), newline), [*lots, lot]
        else:
            pieces, old = list(blocks.blocks), lots[number]
            edited = edit_entry(pieces[number].text, KIND, entry_data(old), entry_data(lot))
            pieces[number], lots[number] = replace(pieces[number], text=edited), lot
            text = Blocks(blocks.head, tuple(pieces)).text
        after = _read(replace(self.source, text=text))
        if after.lots != tuple(lots):
            raise Refusal(f"{self.path}: cannot be changed in place; please edit it by hand")
        return after

    def without_lot(self, number: int) -> "StockFile":
        """Return the file without lot `number`; all other lines stay.

        Raises
        ------
        Refusal
            If its entries are written in a way that cannot be changed in place.

        """
        blocks = split_for_edit(self.path, self.source.text, (KIND,))
        text = Blocks(blocks.head, (*blocks.blocks[:number], *blocks.blocks[number + 1 :])).text
        after = _read(replace(self.source, text=text))
        if after.lots != (*self.lots[:number], *self.lots[number + 1 :]):
            raise Refusal(f"{self.path}: cannot be changed in place; please edit it by hand")
        return after

    def without(self, taken: Sequence[Taken]) -> "StockFile":
        """Return the file with what is taken counted down; its comments and all other lines stay.

        Raises
        ------
        Refusal
            If its entries are written in a way that cannot be changed in place, or hold too little.

        """
        blocks = split_for_edit(self.path, self.source.text, (KIND,))
        pieces, lots = list(blocks.blocks), list(self.lots)
        for one in taken:
            old = lots[one.number]
            if one.count > old.count:
                raise Refusal(
                    f"{self.path}, lot {one.number + 1}: found {old.count} stones; {one.count} are needed"
                )
            new = old.model_copy(update={"count": old.count - one.count})
            piece = pieces[one.number]
            edited = edit_entry(piece.text, KIND, entry_data(old), entry_data(new))
            pieces[one.number], lots[one.number] = replace(piece, text=edited), new
        after = _read(replace(self.source, text=Blocks(blocks.head, tuple(pieces)).text))
        if after.lots != tuple(lots):
            raise Refusal(f"{self.path}: cannot be changed in place; please count it down by hand")
        return after


def read_stock(path: Path, palette: Palette) -> StockFile:
    """Return the stock file at `path`.

    Raises
    ------
    Refusal
        If it cannot be read, is not TOML, a field is wrong or the palette has no such stone or coating:
        one sentence for the first fault.

    """
    file = _read(read_text(path))
    known: tuple[tuple[str, Mapping[str, Any] | set[str]], ...] = (
        ("stone", palette.stones), ("coating", {*palette.coatings, NONE}),
    )  # fmt: skip
    for number, lot in enumerate(file.lots):
        for field, names in known:
            if (name := getattr(lot, field)) not in names:
                raise Refusal(
                    f"{_places(file.source, len(file.lots))[number]}, field {field}: found {show(name)}; "
                    f"there is no such {field}: {suggest(name, names)}"
                )
    return file


def _read(source: TextFile) -> StockFile:
    data = parse(source.path, source.text)
    for key in data:
        if key != KIND:
            raise Refusal(f"{source.path}, field {show(key)}: is not known here; stones stand under [[lot]]")
    rows = data.get(KIND, [])
    if not isinstance(rows, list):
        raise Refusal(f"{source.path}: found [lot]; each lot needs a header in double brackets, [[lot]]")
    if len(rows) > MAX_ENTRIES:
        raise Refusal(f"{source.path}: found {len(rows)} lots; a file may have at most {MAX_ENTRIES}")
    at = _places(source, len(rows))
    return StockFile(source, tuple(build(Lot, row, where) for row, where in zip(rows, at, strict=True)))


def _places(source: TextFile, lots: int) -> tuple[str, ...]:
    return places(source, KIND, (KIND,), lots, KIND)


def take(lots: Sequence[Lot], needs: Sequence[Need]) -> tuple[Taken, ...]:
    """Return what the drawer gives towards each need, from as few lots as may be.

    Where one lot is enough, the smallest such is taken; else the largest first.
    """
    taken = []
    for need in needs:
        left = need.count
        mine = [(number, lot) for number, lot in enumerate(lots) if lot.pairing == key_of(need) and lot.count]
        while left and mine:
            enough = [one for one in mine if one[1].count >= left]
            one = min(enough, key=lambda at: at[1].count) if enough else max(mine, key=lambda at: at[1].count)
            taken.append(Taken(*one, min(one[1].count, left)))
            left -= taken[-1].count
            mine.remove(one)
    return tuple(taken)


def after_taking(needs: Sequence[Need], taken: Sequence[Taken]) -> tuple[Need, ...]:
    """Return what is left to buy: stones from the drawer count as worn first, then as spares."""
    rest = []
    for need in needs:
        had = sum(one.count for one in taken if one.lot.pairing == key_of(need))
        worn = max(need.worn - had, 0)
        rest.append(replace(need, worn=worn, spares=max(need.count - had, 0) - worn))
    return tuple(rest)
