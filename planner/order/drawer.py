"""What a person owns, lot by lot: her drawer, what each lot was seen as, and how to ask for more of one."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from planner.catalogue.files import TextFile
from planner.catalogue.pairing import pairing_name
from planner.catalogue.palette import Palette, user_folder
from planner.colour.names import hue_name_of, name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.record import Line, own_log, read_log
from planner.order.stock import Lot, StockFile, read_stock
from planner.reading.question import typed_colour


@dataclass(frozen=True)
class Owned:
    """One lot as it is told."""

    lot: Lot
    name: str
    """Its stone and coating."""
    seen: str | None
    """What it was seen as, "#rrggbb"; None while nobody looked."""
    called: str
    """The name of that colour; empty while nobody looked."""


def drawer_file() -> Path:
    """Return where a person's own drawer is kept; it need not exist."""
    return user_folder().parent / "drawer.toml"


def drawer_beside(palettes: Path | None) -> Path | None:
    """Return the drawer that an order takes from where its job names none: her own, if there is one.

    Beside other palettes than her own there is none, since its lots are of hers.
    """
    file = drawer_file()
    return file if palettes is None and file.exists() else None


def read_drawer(path: Path, palette: Palette) -> StockFile:
    """Return a drawer; an empty one where there is no such file yet.

    Raises
    ------
    Refusal
        As `planner.order.stock.read_stock` does.

    """
    if path.exists():
        return read_stock(path, palette)
    return StockFile(TextFile(path, "# Stones in the drawer, lot by lot.\n", None), ())


def owned(drawer: StockFile, palette: Palette) -> tuple[Owned, ...]:
    """Return every lot with its names.

    A lot of which nobody noted what it was seen as has it from the log of arrivals, where just one of its
    pairing and size is in the drawer.

    Raises
    ------
    Refusal
        If the log of arrivals cannot be read.

    """
    log = read_log(own_log()) if own_log().exists() else ()
    return tuple(_owned(one, drawer, palette, log) for one in drawer.lots)


def _owned(lot: Lot, drawer: StockFile, palette: Palette, log: tuple[Line, ...]) -> Owned:
    film = palette.coatings.get(lot.coating)
    name = pairing_name(palette.stones[lot.stone], film)
    seen, called = lot.seen, ""
    alone = sum(one.pairing == lot.pairing for one in drawer.lots) == 1
    arrived = [one for one in log if (one.stone, one.coating, one.size) == lot.pairing]
    if seen is None and alone and arrived:
        last = arrived[-1]
        seen = to_hex(lab_to_srgb(np.array([last.seen_L, last.seen_a, last.seen_b]))[0])
    if seen is not None:
        called = name_of(typed_colour(seen).lab)
    return Owned(lot, name, seen, called)


def same_lot(one: Owned, count: int | None = None) -> str:
    """Return a question to the seller for more of a lot, ready to be sent.

    `count` is how many stones are wanted; left open where it is None.
    """
    lot = one.lot
    many = f"{count:,} more" if count is not None else "more"
    number = f" Its lot number is {lot.number}." if lot.number else ""
    hue = f" Mine look {hue_name_of(typed_colour(one.seen).lab)} by the window." if one.seen else ""
    return (
        "Hello,\n\n"
        f"I bought {one.name} in {lot.size} from you.{number}"
        f"{hue} I need {many} for the same costume, and lots of a coating differ.\n\n"
        "Do you still have stones from the same lot, and how many? If not, could you send me two or three of "
        "the lot you have now, so that I can hold them beside mine before I order? And do you take unopened "
        "packs back, and within how many days?\n\n"
        "Thank you"
    )
