"""Compared offers for people: what was understood, tables side by side, bars, and what to ask."""

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from planner.cli import telling, text
from planner.cli.guard import plain
from planner.order.columns import Column
from planner.order.landed import Alike, Priced, rounded
from planner.order.offers_file import OfferList
from planner.order.worth import Worth, verdict
from planner.reading.phrase import listed
from planner.reading.question import Question

if TYPE_CHECKING:
    from planner.order.compare import Compared

MOST_LISTED = 12
"""Most rows listed one by one under a heading."""

MOST_GROUPS = 40
"""Most things on offer that are shown."""

_USUAL = (
    "seller", "title", "material", "size", "colour", "coating", "shipping", "duty", "tax", "handling",
    "returns", "delivery_days",
)  # fmt: skip
"""Fields that a list of offers mostly has; one of them may hide under a heading that was not understood."""

_EIGHTHS = " ▏▎▍▌▋▊▉"
_MATERIAL = {"lead-free crystal": "lead-free", "lead crystal": "lead cr.", None: "not said"}
_FULL_BAR = 30
_HEAD = (
    f"{'row':>5}  {'seller':<16} {'made of':<9} {'stones':>6} {'landed':>9} {'a gross':>8} {'1,000':>8} "
    f"{'a stone':>8}"
)


def told(found: "Compared", top: int, table: Path | None) -> str:
    """Return all of it as text."""
    shown, count = found.alike[:MOST_GROUPS], len(found.read.offers)
    more = len(found.alike) - len(shown)
    parts = [
        text.heading(text.wrap(f"{count:,} offer{'' if count == 1 else 's'} in {plain(found.read.path)}")),
        telling.block("Understood", _understood(found.read)),
        telling.block("Not understood", _problems(found.read)) if found.read.problems else "",
        text.heading(f"Side by side, landed, in {found.rates.currency}, the cheapest stone first"),
        *(_group(one, top) for one in shown),
        text.wrap(f"{more:,} more things are on offer: see them with --stone, or all with --json.")
        if more
        else "",
        _star(shown),
        telling.block("What to ask", _asked(found)),
        *(_material(*one) for one in found.worth),
        "\n".join(text.wrap(one) for one in found.notes),
        f"Written: {plain(table)}" if table is not None else "",
    ]
    return "\n\n".join(part for part in parts if part)


def _understood(found: OfferList) -> str:
    """Return which heading was taken for which field, and what was decided."""
    known = [one for one in found.columns if one.field is not None]
    plainly = [one for one in known if one.heading.casefold() == _field(one)]
    renamed = ", ".join(f"{one.heading} → {_field(one)}" for one in known if one not in plainly)
    lines = [text.wrap(f"By their own names: {', '.join(map(_field, plainly))}", 4, "  ")] if plainly else []
    lines += [text.wrap(renamed, 4, "  ")] if renamed else []
    unknown = [one.heading for one in found.columns if one.field is None]
    if unknown:
        taken = {one.field for one in known}
        without = [one.replace("_", " ") for one in _USUAL if one not in taken]
        hint = (
            f" (no column was found for {listed(without, 'or')}: rename one if it is that)" if without else ""
        )
        lines.append(text.wrap(f"Not used: {', '.join(unknown)}{hint}", 4, "  "))
    unmatched = [one for one in found.offers if one.stone_id is None or one.coating_id is None]
    lines += [text.wrap(one, 4, "  ") for one in found.notes]
    for one in unmatched[:MOST_LISTED]:
        said = f"{one.colour or one.title or 'no colour'}{f' + {one.coating}' if one.coating else ''}"
        hint = f": is it {', '.join(one.suggestions)}?" if one.suggestions else ""
        lines.append(text.wrap(f"Row {one.row}, “{said}”, is no pairing of the palette{hint}", 4, "  "))
    if len(unmatched) > MOST_LISTED:
        lines.append(f"  and {len(unmatched) - MOST_LISTED:,} more that are no pairing of the palette")
    return "\n".join(lines)


def _field(column: Column) -> str:
    return str(column.field).replace("_", " ") + (" (guessed)" if column.guessed else "")


def _problems(found: OfferList) -> str:
    lines = [text.wrap(f"{one}.", 4, "  ") for one in found.problems[:MOST_LISTED]]
    more = len(found.problems) - MOST_LISTED
    return "\n".join([*lines, *([f"  and {more:,} more"] if more > 0 else [])])


def _group(group: Alike, top: int) -> str:
    """Return one table with its bars."""
    shown = group.priced[:top]
    about = " (not round: its reading is approximate)" if group.approximate else ""
    lines = [text.heading(text.wrap(group.what + about)), _HEAD, *map(_line, shown)]
    if len(group.priced) > len(shown):
        lines.append(f"       and {len(group.priced) - len(shown):,} more (--top)")
    if len(shown) > 1:
        most = max(one.cost.per_gross for one in shown)
        lines += ["", *(_bar(one, most) for one in shown)]
    if group.approximate:
        lines += ["", *(_by_mm(one) for one in shown if one.per_mm is not None)]
    return "\n".join(lines)


def _line(one: Priced) -> str:
    offer, cost = one.offer, one.cost
    made = _MATERIAL.get(offer.material, offer.material)
    star = "*" if cost.missing else " "
    return (
        f"{offer.row:>5}  {offer.seller[:16]:<16} {made:<9} {offer.count:>6,} {rounded(cost.total):>9}"
        f"{star}{rounded(cost.per_gross):>7} {rounded(cost.per_thousand):>8} {cost.per_stone:>8.4f}"
    )


def _bar(one: Priced, most: Decimal) -> str:
    """Return a bar as long as a gross is dear."""
    eighths = max(1, int(one.cost.per_gross / most * _FULL_BAR * 8)) if most else 1
    bar = "█" * (eighths // 8) + _EIGHTHS[eighths % 8].strip()
    return f"{one.offer.row:>5}  {one.offer.seller[:16]:<16} {bar} {rounded(one.cost.per_gross)}"


def _by_mm(one: Priced) -> str:
    return f"{one.offer.row:>5}  {one.offer.seller[:16]:<16} {one.per_mm:.4f} for a millimetre of its length"


def _star(shown: Sequence[Alike]) -> str:
    """Return how the tables are to be read."""
    said = "Each row is one pack, with the whole of its seller's shipping: packs bought together share it."
    if any(one.cost.missing for group in shown for one in group.priced):
        said += (
            " * before import charges or shipping: the offer does not say all of duty, tax, handling and "
            "shipping, and what it leaves out comes on top."
        )
    return text.wrap(said)


def _asked(found: "Compared") -> str:
    """Return what to ask about each offer; what a star says already is left out."""
    lines = []
    some = [
        (offer, [one for one in concerns if one.code not in {"before-import", "not-round"}])
        for offer, concerns in found.concerns
    ]
    some = [(offer, concerns) for offer, concerns in some if concerns]
    for offer, concerns in some[:MOST_LISTED]:
        title = f": “{offer.title}”" if offer.title else ""
        lines.append(text.wrap(f"Row {offer.row}, {offer.seller}{title}", 4, "  "))
        lines.append(telling.concerns([(one, None) for one in concerns], codes=True))
    if len(some) > MOST_LISTED:
        lines.append(f"  and {len(some) - MOST_LISTED:,} more offers (all with --json)")
    return "\n".join(lines) if lines else "  Nothing that these checks find."


def _material(question: Question, same: tuple[Worth, ...], usual: tuple[Worth, ...]) -> str:
    """Return what each material makes of a pairing beside what it costs."""
    film = question.coating.name if question.coating else "uncoated"
    lines = [
        text.heading(text.wrap(
            f"What the material buys: {question.stone.name}, {film}, {question.size}, from "
            f"{question.distance:g} m in {question.venue.name}"
        )),
        f"  {'':<13} {'cut':<9} {'glow ΔE00':>9} {'flashes':>8} {'each, stops':>12} {'a gross from':>13}",
    ]  # fmt: skip
    for name, found in (("in one cut", same), ("in the cut usual for each", usual)):
        lines.append(f"  {name}")
        lines += [_worth(one) for one in found]
    caution = (
        "Figures are against lead crystal in the same part of the table; a stop is a doubling of light. Wear "
        "is not reckoned: acrylic scratches and dulls in cleaning (common practice). Lead crystal and small "
        "parts are no thing for small children."
    )
    return "\n".join([*lines, text.wrap(f"{verdict(usual)} {caution}")])


def _worth(one: Worth) -> str:
    cheapest = "no offer" if one.cheapest is None else rounded(one.cheapest.cost.per_gross)
    flashes = "–" if one.flashes is None else f"{one.flashes:.1f} ×"
    each = "–" if one.each_stops is None else f"{one.each_stops:+.1f}"
    cut = one.reading.question.cut.id[:9]
    return f"  {one.material:<13} {cut:<9} {one.apart:>9.0f} {flashes:>8} {each:>12} {cheapest:>13}"
