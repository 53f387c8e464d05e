"""What can be bought, as packs: offers landed in the job's money, and the same again for a later order."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from planner.catalogue.pairing import name_in
from planner.catalogue.palette import Palette
from planner.order.dates import LOOK_DAYS, on
from planner.order.landed import CENT, NoRateError, Rates
from planner.order.offer import Offer
from planner.order.packs import Pack, Pairing, Parcel, sample_packs
from planner.order.relax import Words
from planner.order.unsaid import seller_key


@dataclass(frozen=True)
class Market:
    """What can be bought, as packs."""

    packs: tuple[Pack, ...]
    """Their keys are the rows of the offers."""

    parcels: tuple[Parcel, ...]

    notes: tuple[str, ...]
    """What was left out of it, and why."""

    no_rate: Mapping[Pairing, frozenset[str]]
    """Currencies in which a pairing is offered and for which the job has no rate."""


def words(palette: Palette, currency: str) -> Words:
    """Return how pairings and money are told."""
    return Words(lambda pairing: name_in(palette, *pairing), lambda amount: f"{amount:,.2f} {currency}")


def market(
    offers: Iterable[Offer], wanted: Iterable[Pairing], palette: Palette, rates: Rates, today: date
) -> Market:
    """Return the offers of what is wanted as packs, each landed but without shipping, rounded to cents.

    Left out, and told, are offers of another material than the palette's stone, those that have ended or
    are sold out, and those in a currency without a rate. Of several charges for shipping (with handling)
    that a seller states, the highest counts.
    """
    asked, notes = set(wanted), list[str]()
    packs: list[Pack] = []
    shipping: dict[str, dict[Decimal, bool]] = {}  # each charge, and whether handling is in it
    spelt: dict[str, str] = {}
    no_rate: dict[str, list[str]] = {}
    unpriced: dict[Pairing, set[str]] = {}
    for one in offers:
        if one.pairing is None or one.pairing not in asked:
            continue
        if why := _unfit(one, palette, today):
            notes.append(f"Row {one.row} is left out: {why}.")
            continue
        told = [part for part in (one.shipping, one.handling) if part is not None]
        try:
            price = _rounded(one.price + (one.duty or 0) + (one.tax or 0), one, rates)
            charge = _rounded(sum(told, Decimal(0)), one, rates)
        except NoRateError:
            no_rate.setdefault(one.currency, []).append(str(one.row))
            unpriced.setdefault(one.pairing, set()).add(one.currency)
            continue
        seller = spelt.setdefault(seller_key(one), one.seller)
        packs.append(
            Pack(str(one.row), seller, one.pairing, one.count, price, one.delivery_days, one.available)
        )
        charges = shipping.setdefault(seller, {})
        if told:
            charges[charge] = charges.get(charge, False) or bool(one.handling)
    for code, rows in no_rate.items():
        many = len(rows) > 1
        notes.append(
            f"Row{'s' if many else ''} {', '.join(rows)} {'are' if many else 'is'} left out: the job has no "
            f"rate for {code}; add rates = {{ {code} = … }}, what one {code} costs in {rates.currency}."
        )
    for seller, charges in shipping.items():
        if len(charges) > 1:
            listed = " and ".join(f"{one:.2f}" for one in sorted(charges))
            what = "shipping with handling" if any(charges.values()) else "shipping"
            notes.append(f"{seller} states {what} of {listed}; the highest is counted, once.")
    highest = {seller: max(charges, default=Decimal("0.00")) for seller, charges in shipping.items()}
    parcels = tuple(
        Parcel(seller, charge, handling=shipping[seller].get(charge, False))
        for seller, charge in highest.items()
    )
    without = {pairing: frozenset(codes) for pairing, codes in unpriced.items()}
    return Market(tuple(packs), parcels, tuple(notes), without)


def _unfit(offer: Offer, palette: Palette, today: date) -> str:
    """Return why an offer of what is wanted is not taken; empty where it is."""
    stone = palette.stones[offer.stone_id or ""]
    if offer.until is not None and offer.until < today:
        return f"its offer ended on {offer.until}"
    if offer.available == 0:
        return "it is sold out"
    if offer.material is not None and offer.material != stone.material:
        return f"it is {offer.material}, and {stone.name} was read as {stone.material}"
    return ""


def _rounded(amount: Decimal, offer: Offer, rates: Rates) -> Decimal:
    return rates.convert(amount, offer.currency).quantize(CENT, ROUND_HALF_UP)


def with_later(found: Market, samples: frozenset[Pairing], ends: Mapping[str, date], today: date) -> Market:
    """Return a market in which the rest can be ordered once samples have been seen.

    A seller's later delivery is ordered when all samples that this seller can send have arrived and
    `LOOK_DAYS` have passed; an offer that has ended by then is not in it.

    Parameters
    ----------
    found
        What can be ordered today.
    samples
        What is looked at first.
    ends
        Last day of those offers that have one, by key.
    today
        Day of the order.

    """
    first = sample_packs(found.packs)
    waits: dict[str, int | None] = {}
    for (seller, pairing), pack in first.items():
        if pairing in samples:
            before = waits.get(seller, 0)
            waits[seller] = (
                None if before is None or pack.days is None else max(before, pack.days + LOOK_DAYS)
            )
    later = []
    for one in found.packs:
        if one.seller not in waits:
            continue
        wait = waits[one.seller]
        ordered = on(today, wait)
        if one.key in ends and (ordered is None or ends[one.key] < ordered):
            continue
        is_sample = first[one.seller, one.fits] is one and one.fits in samples
        later.append(
            replace(
                one, delivery="later",
                days=None if wait is None or one.days is None else wait + one.days,
                most=None if one.most is None else one.most - is_sample,
            )
        )  # fmt: skip
    parcels = tuple(replace(one, delivery="later") for one in found.parcels if one.seller in waits)
    return replace(found, packs=(*found.packs, *later), parcels=(*found.parcels, *parcels))
