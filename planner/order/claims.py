"""What to ask a seller before money is spent: each check is a warning with its reason.

An offer is never called a fraud. Every limit here is our choice and stands as a constant.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from math import ceil
from typing import Final

from planner.catalogue.coating import NONE
from planner.catalogue.stone import Stone
from planner.cover.practice import GROSS
from planner.order.bands import Band
from planner.order.landed import Rates, landed, rounded
from planner.order.numbers import count as count_in
from planner.order.offer import ROUND, Offer
from planner.order.sizing import fits_better, size_in
from planner.order.vocabulary import means, plain, words
from planner.reading.concern import SEVERITIES, Concern
from planner.reading.phrase import listed
from planner.refusal import InvalidValue

CODES: Final = (
    "no-returns", "too-late", "offer-ends", "price-far-under", "price-far-over", "former-price",
    "no-material", "another-material", "not-understood", "count-about", "count-differs", "size-differs",
    "several-lots", "before-import", "not-round",
)  # fmt: skip
"""Every code, in the order in which equals are told."""

FAR_UNDER = Decimal("0.5")
"""Share of the band's low end below which a price is far under it."""

FAR_OVER = Decimal(2)
"""Times the band's high end above which a price is far over it."""

MANY_PACKS = 5
"""Packs from which several lots are likely."""


@dataclass(frozen=True)
class Circumstances:
    """What an offer is held against; whatever is not known is not checked."""

    rates: Rates
    """The job's currency."""

    today: date

    bands: Mapping[tuple[str, str, str, str], Band] = field(default_factory=dict)
    """Confirmed bands by kind."""

    stones: Mapping[str, Stone] = field(default_factory=dict)
    """The palette's stones by id."""

    needed: date | None = None
    """Day on which the stones must be there."""

    wanted: Mapping[tuple[str, str, str], int] = field(default_factory=dict)
    """Stones that the job needs, by stone, coating and size."""

    straddling: frozenset[tuple[str, str, str]] = frozenset()
    """Pairings in a size whose lots disagree, so that a pack may have to go back."""


def by_kind(bands: Iterable[Band]) -> dict[tuple[str, str, str, str], Band]:
    """Return bands as `Circumstances` holds them."""
    return {one.kind: one for one in bands}


def concerns(offer: Offer, known: Circumstances) -> tuple[Concern, ...]:
    """Return what to ask about an offer, gravest first.

    Raises
    ------
    NoRateError
        If its currency, or a band's, has no rate.

    """
    found = [check(offer, known) for check in CHECKS]
    return tuple(
        sorted(
            (one for one in found if one is not None),
            key=lambda one: (SEVERITIES.index(one.severity), CODES.index(one.code)),
        )
    )


def kind_of(offer: Offer, stones: Mapping[str, Stone]) -> tuple[str, str, str, str] | None:
    """Return which band an offer belongs to; None where material or size is not said."""
    if offer.material is None or offer.size is None or offer.shape != ROUND:
        return None
    stone = stones.get(offer.stone_id or "")
    if stone is None:
        clear = means(offer.colour, "clear")
    else:
        clear = not (stone.opaque or stone.colourants or stone.spectrum or stone.colour)
    bare = offer.coating_id == NONE or not offer.coating or means(offer.coating, "uncoated")
    return offer.material, offer.size, "clear" if clear else "coloured", "none" if bare else "film"


@dataclass(frozen=True)
class _Held:
    """A price held against its band; amounts are of one gross, in the job's currency."""

    per_gross: Decimal
    low: Decimal
    high: Decimal

    asked: str
    """The price, as part of a sentence."""

    usual: str
    """The band, as part of a sentence."""


def _held(offer: Offer, known: Circumstances, price: Decimal | None) -> _Held | None:
    """Return a price of an offer beside what is usual; None where nothing is known to be."""
    kind = kind_of(offer, known.stones)
    band = known.bands.get(kind) if kind is not None else None
    if band is None or price is None:
        return None
    rates = known.rates
    per_gross = rates.convert(price, offer.currency) * GROSS / offer.count
    low, high = (rates.convert(one, band.currency) for one in (band.low, band.high))
    film = "with a film" if band.coating == "film" else "uncoated"
    return _Held(
        per_gross, low, high, f"{rounded(per_gross)} {rates.currency} a gross",
        f"{rounded(low)} to {rounded(high)} {rates.currency} a gross is usual for {band.colour} "
        f"{band.material} {band.size} {film} ({band.confirmed}, {band.dated})",
    )  # fmt: skip


def price_far_under(offer: Offer, known: Circumstances) -> Concern | None:
    """Ask where the goods cost under `FAR_UNDER` of the usual."""
    held = _held(offer, known, offer.price)
    if held is None or held.per_gross >= FAR_UNDER * held.low:
        return None
    return Concern(
        "price-far-under", "caution", f"It costs {held.asked} before shipping; {held.usual}.",
        "Ask what the stones are made of, whether foil and film are on every stone, and for a photograph of "
        "the pack itself; order one pack first.",
        {"per_gross": float(held.per_gross), "low": float(held.low), "high": float(held.high)},
    )  # fmt: skip


def price_far_over(offer: Offer, known: Circumstances) -> Concern | None:
    """Ask where the goods cost over `FAR_OVER` times the usual."""
    held = _held(offer, known, offer.price)
    if held is None or held.per_gross <= FAR_OVER * held.high:
        return None
    return Concern(
        "price-far-over", "note", f"It costs {held.asked} before shipping; {held.usual}.",
        "Ask whether the count is right, and what the price includes that others leave out.",
        {"per_gross": float(held.per_gross), "low": float(held.low), "high": float(held.high)},
    )  # fmt: skip


def former_price(offer: Offer, known: Circumstances) -> Concern | None:
    """Ask where a crossed-out price lies far above anything usual: then the saving is none."""
    held = _held(offer, known, offer.former_price)
    if held is None or held.per_gross <= FAR_OVER * held.high:
        return None
    return Concern(
        "former-price", "caution",
        f"The crossed-out price comes to {held.asked}, but {held.usual}: the saving means nothing.",
        "Compare the price itself with others, and ask when and where the higher one was charged.",
        {"former_per_gross": float(held.per_gross), "high": float(held.high)},
    )  # fmt: skip


def no_material(offer: Offer, known: Circumstances) -> Concern | None:  # noqa: ARG001 - all checks are alike
    """Ask where crystal is advertised and no material is stated."""
    if offer.material is not None or "crystal" not in plain(f"{offer.title} {offer.colour}").split():
        return None
    return Concern(
        "no-material", "caution",
        "It says “crystal” but not what the stones are made of; lead crystal, glass and acrylic are all sold "
        "under that word.",
        "Ask what the stones are made of: lead crystal, lead-free crystal, glass or acrylic.",
    )  # fmt: skip


def another_material(offer: Offer, known: Circumstances) -> Concern | None:
    """Warn where an offer is matched to a stone of another material: its reading is another."""
    stone = known.stones.get(offer.stone_id or "")
    if stone is None or offer.material is None or offer.material == stone.material:
        return None
    return Concern(
        "another-material", "caution",
        f"It is {offer.material}, but {stone.name} was read as {stone.material}, which sparkles "
        "differently.",
        "Ask whether it is the same stone; if so, add a stone of that material to your own and read that "
        "one.",
        {"offered": offer.material, "read": stone.material},
    )  # fmt: skip


_COUNTED = re.compile(r"(?<![\w.,])(\d[\d.,]*)\s*-?\s*([^\W\d]+)")
_BARE_GROSS = re.compile(r"\b(a|one|half|full)[\s-]+(a\s+)?gross\b")


def count_differs(offer: Offer, known: Circumstances) -> Concern | None:  # noqa: ARG001 - all checks are alike
    """Ask where the count is not the title's, or a title says gross and no whole gross is counted."""
    said = title_counts(offer.title)
    gross = "gross" in plain(offer.title).split()
    if said and offer.count not in said:
        listed = " or ".join(f"{one:,}" for one in sorted(said))
        text = f"The title says {listed} stones, but the pack is counted as {offer.count:,}."
    elif gross and not said and offer.count % GROSS:
        text = f"The title says gross, but {offer.count:,} stones are not a whole number of gross (144 each)."
    else:
        return None
    return Concern(
        "count-differs", "caution", text,
        "Ask how many stones are in one pack, and whether the price is for one pack.",
        {"count": float(offer.count)},
    )  # fmt: skip


def title_counts(title: str) -> frozenset[int]:
    """Return every number of stones that a title can be read to say."""
    found: set[int] = set()
    for number, unit in _COUNTED.findall(title):
        if plain(unit) not in words().units:
            continue
        for mark in (".", ","):
            try:
                found.add(count_in(f"{number} {unit}", "." if mark == "." else ","))
            except InvalidValue:
                continue
    bare = _BARE_GROSS.search(title.casefold())
    if bare is not None:
        found.add(GROSS // 2 if bare[1] == "half" else GROSS)
    return frozenset(found)


def size_differs(offer: Offer, known: Circumstances) -> Concern | None:  # noqa: ARG001 - all checks are alike
    """Ask where title, size and millimetres do not name one size."""
    try:
        titled = size_in(offer.title)
    except InvalidValue:
        titled = None
    if titled is not None and offer.size is not None and titled != offer.size and not offer.size_from_mm:
        text = f"The title says {titled}, but the size is given as {offer.size}."
    elif offer.size_from_mm or offer.size is None or offer.mm is None or offer.shape != ROUND:
        return None
    else:
        better = fits_better(offer.size, offer.mm)
        if better is None:
            return None
        text = f"It is called {offer.size} and {offer.mm:g} mm, which fits {better} better."
    return Concern(
        "size-differs", "caution", text,
        "Ask the seller to measure one stone in millimetres, and order by that.",
        {"size": offer.size, **({} if offer.mm is None else {"mm": offer.mm})},
    )  # fmt: skip


def no_returns(offer: Offer, known: Circumstances) -> Concern | None:
    """Warn where a pack cannot go back and the lots of its pairing disagree."""
    if offer.pairing not in known.straddling or offer.returns:
        return None
    said = "takes nothing back" if offer.returns == 0 else "does not say whether a pack may go back"
    return Concern(
        "no-returns", "severe" if offer.returns == 0 else "caution",
        f"The seller {said}, and batches of this pairing differ: not every one will do what you wish.",
        "Ask for one stone of that very batch, or a photograph of one under a small lamp, before you buy the "
        "rest.",
    )  # fmt: skip


def several_lots(offer: Offer, known: Circumstances) -> Concern | None:
    """Warn where so many packs are needed that they hardly come from one lot."""
    wanted = known.wanted.get(offer.pairing, 0) if offer.pairing is not None else 0
    packs = ceil(wanted / offer.count)
    if packs < MANY_PACKS:
        return None
    return Concern(
        "several-lots", "caution",
        f"The job's {wanted:,} stones take {packs} of these packs, which may well come from several batches.",
        "Ask the seller to send all of them from one batch, or take larger packs.",
        {"packs": float(packs), "wanted": float(wanted)},
    )  # fmt: skip


def too_late(offer: Offer, known: Circumstances) -> Concern | None:
    """Warn where a pack ordered today comes after the day it is needed."""
    if known.needed is None or offer.delivery_days is None or known.needed < known.today:
        return None
    arrives = known.today + timedelta(days=offer.delivery_days)
    late = (arrives - known.needed).days
    if late <= 0:
        return None
    return Concern(
        "too-late", "severe",
        f"Ordered today it comes on {arrives}, {late} day{'s' if late > 1 else ''} after it is needed "
        f"({known.needed}).",
        "Ask whether it can be sent faster and what that costs, or choose another seller.",
        {"days_late": float(late)},
    )  # fmt: skip


def offer_ends(offer: Offer, known: Circumstances) -> Concern | None:
    """Note an offer that ends soon."""
    if offer.until is None or (offer.until - known.today).days > 7:
        return None
    return Concern(
        "offer-ends", "note", f"The offer ends on {offer.until}.",
        "Ask whether the price will be held; a deadline is no reason to buy unseen.",
    )  # fmt: skip


def before_import(offer: Offer, known: Circumstances) -> Concern | None:
    """Note what the offer leaves unsaid of its cost."""
    missing = landed(offer, known.rates).missing
    if not missing:
        return None
    text = f"{', '.join(missing)} {'is' if len(missing) == 1 else 'are'} not stated: the cost is before "
    unsaid = [] if missing == ("shipping",) else ["import charges"]
    return Concern(
        "before-import", "note",
        (text + " and ".join((["shipping"] if "shipping" in missing else []) + unsaid) + ".").capitalize(),
        "Ask what else you will pay before the parcel is at your door; write 0 for what costs nothing.",
    )  # fmt: skip


def not_round(offer: Offer, known: Circumstances) -> Concern | None:  # noqa: ARG001 - all checks are alike
    """Note that a stone which is not round reads only approximately as computed."""
    if offer.shape == ROUND:
        return None
    return Concern(
        "not-round", "note",
        f"Readings are worked out for round stones: for a {offer.shape} one they are only approximate.",
        "Ask for one, sew it on, and look at it under the lamps.",
    )  # fmt: skip


def not_understood(offer: Offer, known: Circumstances) -> Concern | None:  # noqa: ARG001 - as above
    """Ask where something stands in a row that was not understood, and so counts as not said."""
    if not offer.unread:
        return None
    return Concern(
        "not-understood", "caution",
        f"What it says under {listed(offer.unread, 'and')} was not understood, so it counts as not stated.",
        "Ask the seller what is meant before you order, and write it out plainly.",
    )  # fmt: skip


def count_about(offer: Offer, known: Circumstances) -> Concern | None:  # noqa: ARG001 - as above
    """Ask where a count is only about right."""
    if not offer.about:
        return None
    return Concern(
        "count-about", "caution", f"It says about {offer.count:,} stones; {offer.count:,} are counted.",
        "Ask how many there are for certain, and order by that.", {"count": float(offer.count)},
    )  # fmt: skip


CHECKS: Sequence[Callable[[Offer, Circumstances], Concern | None]] = (
    no_returns, too_late, offer_ends, price_far_under, price_far_over, former_price, no_material,
    another_material, not_understood, count_about, count_differs, size_differs, several_lots,
    before_import, not_round,
)  # fmt: skip
"""Every check."""
