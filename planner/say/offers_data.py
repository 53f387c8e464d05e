"""Compared offers for programs and for spreadsheets. Money is exact, and therefore text in JSON."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.order.landed import Alike, Priced
from planner.order.worth import Worth
from planner.say.figures import seen_data
from planner.say.question import named
from planner.say.warned import concerns_data

if TYPE_CHECKING:
    from planner.order.compare import Compared

HEADINGS = (
    "what", "row", "seller", "title", "material", "count", "landed", "per gross", "per 1000", "per stone",
    "not said", "returns", "delivery days",
)  # fmt: skip
"""Columns of the CSV."""


def rows(alike: Iterable[Alike]) -> Iterator[tuple[object, ...]]:
    """Yield the offers as rows under `HEADINGS`."""
    for group in alike:
        for one in group.priced:
            offer, cost = one.offer, one.cost
            yield (
                group.what, offer.row, offer.seller, offer.title, offer.material, offer.count,
                exact(cost.total), exact(cost.per_gross), exact(cost.per_thousand), exact(cost.per_stone),
                " ".join(cost.missing), offer.returns, offer.delivery_days,
            )  # fmt: skip


def exact(amount: Decimal | None) -> str | None:
    """Return an amount to six decimals, without idle noughts beyond the second."""
    if amount is None:
        return None
    whole, _, part = f"{amount:.6f}".partition(".")
    return f"{whole}.{part.rstrip('0').ljust(2, '0')}"


def offers_data(found: "Compared", table: Path | None) -> dict[str, Any]:
    """Return everything that was compared."""
    asked = {one.row: concerns for one, concerns in found.concerns}
    return {
        "schema": "planner offers 1",
        "file": str(found.read.path),
        "currency": found.rates.currency,
        "rates": {code: str(rate) for code, rate in found.rates.of.items()},
        "columns": [
            {"heading": one.heading, "field": one.field, "currency": one.currency, "guessed": one.guessed}
            for one in found.read.columns
        ],
        "guesses": [
            {"seller": one.seller, "kind": one.kind, "written": one.written, "means": one.means}
            for one in found.read.guesses
        ],
        "notes": [*found.read.notes, *found.notes],
        "not_understood": [
            {"row": one.row, "where": one.where, "text": one.text, "left_out": one.left_out}
            for one in found.read.problems
        ],
        "offers": [
            {
                "what": group.what,
                "reading_approximate": group.approximate,
                "offers": [_offer(one, asked.get(one.offer.row, ())) for one in group.priced],
            }
            for group in found.alike
        ],
        "material": [
            {
                "stone": named(question.stone),
                "coating": named(question.coating),
                "size": question.size,
                "venue": named(question.venue),
                "distance_m": question.distance,
                "same_cut": [_worth(one) for one in same],
                "usual_cut": [_worth(one) for one in usual],
            }
            for question, same, usual in found.worth
        ],
        "csv": None if table is None else str(table),
    }


def _offer(one: Priced, asked: Iterable[Any]) -> dict[str, Any]:
    offer, cost = one.offer, one.cost
    return {
        "row": offer.row, "seller": offer.seller, "title": offer.title, "material": offer.material,
        "stone": offer.stone_id, "coating": offer.coating_id, "suggestions": list(offer.suggestions),
        "colour": offer.colour, "coating_as_written": offer.coating,
        "size": offer.size, "mm": offer.mm, "mm_across": offer.mm_across, "shape": offer.shape,
        "count": offer.count, "price": str(offer.price), "price_currency": offer.currency,
        "former_price": None if offer.former_price is None else str(offer.former_price),
        "goods": exact(cost.goods), "shipping": exact(cost.shipping),
        "import_charges": exact(cost.import_charges), "landed": exact(cost.total),
        "per_stone": exact(cost.per_stone), "per_gross": exact(cost.per_gross),
        "per_thousand": exact(cost.per_thousand), "per_mm": exact(one.per_mm),
        "not_said": list(cost.missing), "returns_days": offer.returns,
        "packs_available": offer.available,
        "delivery_days": offer.delivery_days, "until": None if offer.until is None else str(offer.until),
        "note": offer.note, "ask": concerns_data([(concern, None) for concern in asked]),
    }  # fmt: skip


def _worth(one: Worth) -> dict[str, Any]:
    return {
        "material": one.material, "cut": one.reading.question.cut.id, "seen": seen_data(one.reading.seen),
        "glow_dE00_from_lead_crystal": one.apart, "flashes_ratio": one.flashes,
        "flash_light_stops": one.flash_stops, "each_flash_stops": one.each_stops, "enough": one.enough,
        "cheapest_per_gross": None if one.cheapest is None else exact(one.cheapest.cost.per_gross),
        "cheapest_row": None if one.cheapest is None else one.cheapest.offer.row,
    }  # fmt: skip
