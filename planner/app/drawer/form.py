"""What is asked of a lot, and the lot that the answers make."""

from collections.abc import Mapping

from planner.app.form.entry import Entry
from planner.catalogue.coating import NONE
from planner.catalogue.errors import build
from planner.catalogue.find import id_of, not_found
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import sizes_said
from planner.colour.screen import lab_to_srgb, to_hex
from planner.order.numbers import count
from planner.order.stock import Lot
from planner.refusal import InvalidValue
from planner.swatch.typed import from_text


def asked(palette: Palette, old: Lot | None = None) -> tuple[Entry, ...]:
    """Return the lines of the form, filled in as the lot is."""
    stones = tuple(one.name for one in palette.offered.stones.values())
    films = ("uncoated", *(one.name for one in palette.offered.coatings.values()))
    film = None if old is None else palette.coatings.get(old.coating)

    def known(kind: str, said: str) -> str:
        return "" if _called(kind, said, palette) == said else _name(kind, said, palette)

    return (
        Entry("stone", "Stone", "Which of your stones it is.", palette.stones[old.stone].name if old else "",
              lambda text: known("stone", text), stones),
        Entry("coating", "Coating", "Its coating, or uncoated.",
              film.name if film else "uncoated", lambda text: known("coating", text), films),
        Entry("size", "Size", "Such as SS20 or 5 mm.", old.size if old else "", _size),
        Entry("count", "How many", "144, 2 gross, ca. 300.", f"{old.count}" if old else "",
              _counted),
        Entry("seller", "Bought at", "The shop, or where else they are from.",
              old.seller if old else "", _any),
        Entry("number", "Lot", "What stands on the bag, if anything.", old.number if old else "",
              _any),
        Entry("seen", "Seen as", "By the window: teal, or digits such as 2e7f8a. Empty while nobody looked.",
              (old.seen or "").removeprefix("#") if old else "", _seen_told),
        Entry("note", "Note", "Anything worth remembering, such as in spring, for the hoop.",
              old.note if old else "", _any),
    )  # fmt: skip


def lot_of(texts: Mapping[str, str], palette: Palette) -> Lot:
    """Return the lot that the answers make.

    Raises
    ------
    Refusal
        If one of them is missing or not understood.

    """
    data = {
        "stone": _called("stone", texts["stone"], palette),
        "coating": _called("coating", texts["coating"] or "uncoated", palette),
        "size": sizes_said(texts["size"])[0], "count": _many(texts["count"]),
        "seller": texts["seller"], "number": texts["number"], "note": texts["note"],
        **({"seen": _seen(texts["seen"])} if texts["seen"] else {}),
    }  # fmt: skip
    return build(Lot, data, "this lot")


def _called(kind: str, said: str, palette: Palette) -> str:
    if not said:
        raise InvalidValue(f"the {kind} is still to be filled in")
    found = id_of(kind, said, palette.entries(kind))
    if found is None:
        raise InvalidValue(not_found(kind, said, palette.offered.entries(kind)))
    return palette.hers_for.get(found, found) if kind == "coating" else found


def _name(kind: str, said: str, palette: Palette) -> str:
    found = _called(kind, said, palette)
    return "" if found == NONE else palette.entries(kind)[found].name


def _size(text: str) -> str:
    if not text:
        raise InvalidValue("the size is still to be filled in, such as SS20")
    found = sizes_said(text)
    if len(found) != 1:
        raise InvalidValue("a lot is of one size; add one lot for each")
    return "" if found[0] == text else found[0]


def _many(text: str) -> int:
    if not text:
        raise InvalidValue("how many are still to be filled in, such as 144 or 2 gross")
    return count(text, None)


def _counted(text: str) -> str:
    found = _many(text)
    return "" if text == str(found) else f"{found:,} stones"


def _seen(text: str) -> str:
    return to_hex(lab_to_srgb(from_text(text).colour.lab)[0])


def _seen_told(text: str) -> str:
    return " ".join(from_text(text).notes) if text else ""


def _any(_text: str) -> str:
    return ""
