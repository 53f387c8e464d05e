"""Offers compared: what was understood of them, what they cost landed side by side, and what to ask."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Final

from planner.catalogue.coating import NONE
from planner.catalogue.pairing import name_in, pairing_name
from planner.catalogue.palette import Palette
from planner.order.columns import Column as OfferColumn
from planner.order.heard import Guess
from planner.order.landed import Alike, Priced, rounded
from planner.order.offers_file import OfferList
from planner.order.worth import Worth, verdict
from planner.reading.concern import Concern
from planner.reading.phrase import listed
from planner.reading.question import Question
from planner.say.document import (
    Bar,
    Column,
    Document,
    Item,
    Part,
    Row,
    Section,
    Sentence,
    Table,
    document,
    section,
)
from planner.say.names import counted, cut_short
from planner.say.offers_data import offers_data
from planner.say.warned import concern_parts

if TYPE_CHECKING:
    from planner.order.compare import Compared

MOST_LISTED: Final = 12
"""Most rows listed one by one under a heading."""

MOST_GROUPS: Final = 40
"""Most things on offer that are shown."""

_USUAL: Final = (
    "seller", "title", "material", "size", "colour", "coating", "shipping", "duty", "tax", "handling",
    "returns", "delivery_days",
)  # fmt: skip
"""Fields that a list of offers mostly has; one of them may hide under a heading that was not understood."""

_MATERIAL: Final[dict[str | None, str]] = {
    "lead-free crystal": "lead-free", "lead crystal": "lead cr.", None: "not stated",
}  # fmt: skip
_SELLER: Final = Column("seller", most=16, folds=True)
_COLUMNS: Final = (
    Column("row", "right"), _SELLER, Column("made of"), Column("stones", "right"),
    Column("delivered", "right"), Column("a gross", "right"), Column("1,000", "right"),
    Column("a stone", "right"),
)  # fmt: skip
_BARS: Final = (Column("", "right"), Column("", most=16), Column(""))


def offers_document(
    found: "Compared", palette: Palette, top: int, table: Path | None = None, confirm: Part | None = None
) -> Document:
    """Return offers side by side.

    Parameters
    ----------
    found, palette
        The offers, and what their ids mean.
    top
        How many of each thing are shown.
    table
        What was written with all of them.
    confirm
        How guesses are confirmed, told where there are any.

    """
    shown, count = found.alike[:MOST_GROUPS], len(found.read.offers)
    more = len(found.alike) - len(shown)
    parts: list[Part | None] = [
        *understood(found.read, palette, MOST_LISTED),
        confirm if found.read.guesses else None,
        Sentence(f"Side by side, delivered, in {found.rates.currency}, the cheapest stone first", "strong"),
        *(_group(one, palette, top) for one in shown),
        Sentence(f"{more:,} more kinds of stone are on offer: see them with --stone, or all with --json.")
        if more
        else None,
        _how_to_read(shown),
        _asked(found),
        *(material_section(*one) for one in found.worth),
        section("", map(Sentence, found.notes)),
        Sentence(f"Written: {table}") if table is not None else None,
    ]
    return document(f"{counted(count, 'offer')} in {found.read.path}", parts, offers_data(found, table))


def understood(found: OfferList, palette: Palette, most: int) -> list[Section]:
    """Return which heading was taken for which field, what is only likely, and what was not understood."""
    known = [one for one in found.columns if one.field is not None]
    plainly = [one for one in known if one.heading.casefold() == _field(one)]
    renamed = [f"{one.heading} → {_field(one)}" for one in known if one not in plainly]
    unused = [one.heading for one in found.columns if one.field is None]
    said = [
        f"Columns under their usual names: {', '.join(map(_field, plainly))}" if plainly else "",
        ", ".join(renamed),
        f"Not used: {', '.join(unused)}{_hint(known)}" if unused else "",
        *found.notes,
        *_no_pairing(found, palette, most),
    ]
    problems, more = cut_short(found.problems, most)
    wrong = [*(f"{_sentence(str(one))}." for one in problems), more]
    parts = [
        section("Understood", (Item(one) for one in said if one)),
        _guessed(found, palette, most),
        section("Not understood", (Item(one) for one in wrong if one)),
    ]
    return [one for one in parts if one is not None]


def _guessed(found: OfferList, palette: Palette, most: int) -> Section | None:
    """Return what is likely meant and is to be confirmed."""
    shown, more = cut_short(found.guesses, most)
    told = [Item(guess_told(one, palette), hex=guess_hex(one, palette)) for one in shown]
    return section("Guessed, for you to confirm", [*told, *([Item(more)] if more else [])])


def guess_told(one: Guess, palette: Palette) -> str:
    """Return what a word is likely to mean: "“Pully blue” of Pin Rail Counter: Pulley blue"."""
    if one.kind == "heading":
        return f"column “{one.written}”: {one.means.replace('_', ' ')}"
    entries = palette.stones if one.kind == "stone" else palette.coatings
    return f"“{one.written}” of {one.seller}: {entries[one.means].name}"


def guess_hex(one: Guess, palette: Palette) -> str:
    """Return what a stone that is likely meant looks like by the window; nothing for other guesses."""
    from planner.fitting.by_window import hexes

    return hexes(palette.stones[one.means], palette)[0] if one.kind == "stone" else ""


def _hint(known: Sequence[OfferColumn]) -> str:
    taken = {one.field for one in known}
    without = [one.replace("_", " ") for one in _USUAL if one not in taken]
    if not without:
        return ""
    return f" (no column was found for {listed(without, 'or')}: if one of these is that, rename it)"


def _no_pairing(found: OfferList, palette: Palette, most: int) -> list[str]:
    names = {one.id: one.name for one in (*palette.coatings.values(), *palette.stones.values())}
    unmatched = [one for one in found.offers if one.stone_id is None or one.coating_id is None]
    shown, more = cut_short(unmatched, most, "that are not in your palettes")
    lines = []
    for one in shown:
        said = f"{one.colour or one.title or 'no colour'}{f' + {one.coating}' if one.coating else ''}"
        meant = [names.get(each, each) for each in one.suggestions]
        hint = f": is it {listed(meant, 'or')}?" if meant else ""
        lines.append(f"Row {one.row}, “{said}”, is not in your palettes{hint}")
    return [*lines, more]


def _field(column: OfferColumn) -> str:
    return str(column.field).replace("_", " ") + (" (guessed)" if column.guessed else "")


def _sentence(said: str) -> str:
    return f"{said[:1].upper()}{said[1:]}"


def _group(group: Alike, palette: Palette, top: int) -> Section:
    """Return one table with its bars."""
    shown, more = cut_short(group.priced, top)
    parts: list[Part] = [Table(_COLUMNS, tuple(map(_row, shown)))]
    if more:
        parts.append(Sentence(f"{more} (--top)"))
    if len(shown) > 1:
        most = max(one.cost.per_gross for one in shown)
        parts += [Sentence(""), Table(_BARS, tuple(_bar(one, most) for one in shown))]
    if group.approximate:
        by_mm = tuple(_by_mm(one) for one in shown if one.per_mm is not None)
        parts += [Sentence(""), Table(_BARS, by_mm)] if by_mm else []
    return Section(group_name(group, palette), tuple(parts))


def group_name(group: Alike, palette: Palette) -> str:
    """Return what a group of offers sells, by the palette's names where it is one of its pairings."""
    offer = group.priced[0].offer
    if offer.pairing is not None:
        return name_in(palette, *offer.pairing)
    known = palette.stones.get(offer.stone_id or ""), palette.coatings.get(offer.coating_id or "")
    stone = known[0].name if known[0] else offer.colour or offer.title or "Not stated"
    film = known[1].name if known[1] else offer.coating
    coated = ", uncoated" if offer.coating_id == NONE else f" with {film}" if film else ""
    size = group.what.rpartition(", ")[2]
    approximate = " (not round: what it looks like is approximate)" if group.approximate else ""
    return f"{stone}{coated}, {size}{approximate}"


def _row(one: Priced) -> Row:
    offer, cost = one.offer, one.cost
    return Row((
        str(offer.row), offer.seller, _MATERIAL.get(offer.material) or str(offer.material),
        f"{offer.count:,}", f"{rounded(cost.total)}{'*' if cost.missing else ' '}", rounded(cost.per_gross),
        rounded(cost.per_thousand), f"{cost.per_stone:.4f}",
    ))  # fmt: skip


def _bar(one: Priced, most: Decimal) -> Row:
    """Return a bar as long as a gross is dear."""
    share = float(one.cost.per_gross / most) if most else 0.0
    return Row((str(one.offer.row), one.offer.seller, Bar(share, rounded(one.cost.per_gross))))


def _by_mm(one: Priced) -> Row:
    said = f"{one.per_mm:.4f} for each millimetre of its length"
    return Row((str(one.offer.row), one.offer.seller, said))


def _how_to_read(shown: Sequence[Alike]) -> Sentence:
    said = "Each row is one pack, with the whole of its seller's shipping: packs bought together share it."
    if any(one.cost.missing for group in shown for one in group.priced):
        said += (
            " * before import charges or shipping: the offer does not state all of duty, tax, handling and "
            "shipping, and what it leaves out comes on top."
        )
    return Sentence(said)


def _asked(found: "Compared") -> Section:
    """Return what to ask about each offer; what a star says already is left out."""
    some = [
        (offer, [one for one in concerns if one.code not in {"before-import", "not-round"}])
        for offer, concerns in found.concerns
    ]
    some = [(offer, concerns) for offer, concerns in some if concerns]
    shown, more = cut_short(some, MOST_LISTED, "offers (all with --json)")
    parts: list[Part] = []
    for offer, concerns in shown:
        title = f": “{offer.title}”" if offer.title else ""
        parts.append(Item(f"Row {offer.row}, {offer.seller}{title}", under=_to_ask(concerns)))
    if more:
        parts.append(Item(more))
    return Section("What to ask", tuple(parts) or (Item(nothing_to_ask(found.read)),))


def nothing_to_ask(found: OfferList) -> str:
    """Return that the checks find nothing, which holds only of what was understood."""
    count = len(found.problems) + len(found.unused)
    if not count:
        return "Nothing: these checks find no fault."
    things = "one thing was" if count == 1 else f"{count:,} things were"
    return f"These checks find nothing; but {things} not understood (see above)."


def _to_ask(concerns: Iterable[Concern]) -> tuple[Part, ...]:
    return concern_parts([(one, None) for one in concerns], codes=True)


def offer_parts(one: Priced, concerns: Sequence[Concern], currency: str) -> list[Part]:
    """Return one offer alone: what it costs, what it leaves unsaid, and what to ask about it."""
    its, cost = one.offer, one.cost
    price = [f"{its.count:,} stones for {rounded(cost.total)} {currency}: goods {rounded(cost.goods)}"]
    if cost.shipping is not None:
        price.append(f"shipping {rounded(cost.shipping)}")
    if cost.import_charges:
        price.append(f"import {rounded(cost.import_charges)}")
    missing = ", ".join(cost.missing)
    unsaid = f" Not included, because the offer does not say: {missing}." if missing else ""
    back = {None: "returns not stated", 0: "no returns"}.get(its.returns, f"{its.returns} days to return")
    comes = "delivery time not stated" if its.delivery_days is None else f"{its.delivery_days} days to arrive"
    ask = [each for each in concerns if each.code != "before-import"]
    clear = () if cost.missing else (Sentence("✓ These checks find nothing to ask.", "good"),)
    return [
        Sentence(f"Row {its.row}: {its.title or its.colour or 'no title'}", "strong"),
        Sentence(f"{', '.join(price)}.{unsaid} {its.seller}: {comes}, {back}."),
        *((Sentence(f"“{its.note}”", "quiet"),) if its.note else ()),
        *(concern_parts([(each, None) for each in ask]) if ask else clear),
    ]


def material_section(question: Question, same: Sequence[Worth], usual: Sequence[Worth]) -> Section:
    """Return what each material makes of a pairing beside what it costs."""
    caution = (
        "Figures are against lead crystal in the same part of the table; a stop is a doubling of light. Wear "
        "is not counted: acrylic scratches, and dulls with cleaning (common practice). Keep lead crystal and "
        "small parts away from small children."
    )
    columns = (
        Column(""), Column("cut", most=12), Column("glow ΔE00", "right"), Column("flashes", "right"),
        Column("each, stops", "right"), Column("a gross from", "right"),
    )  # fmt: skip
    return Section(
        f"What the material gets you: {pairing_name(question.stone, question.coating)}, {question.size}, "
        f"from {question.distance:g} m in {question.venue.name}",
        (
            Section("in one cut", (Table(columns, tuple(map(_worth, same))),)),
            Section("in the cut usual for each", (Table(columns, tuple(map(_worth, usual))),)),
            Sentence(f"{verdict(usual)} {caution}"),
        ),
    )


def _worth(one: Worth) -> Row:
    return Row((
        one.material, one.reading.question.cut.id, f"{one.apart:.0f}",
        "–" if one.flashes is None else f"{one.flashes:.1f} ×",
        "–" if one.each_stops is None else f"{one.each_stops:+.1f}",
        "no offer" if one.cheapest is None else rounded(one.cheapest.cost.per_gross),
    ))  # fmt: skip
