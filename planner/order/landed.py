"""What a pack costs once it lies on the table: goods, shipping and import charges in one currency."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from planner.catalogue.errors import cut_short
from planner.cover.practice import GROSS
from planner.job.model import Job
from planner.order.offer import ROUND, Offer
from planner.order.unsaid import unsaid
from planner.refusal import InvalidValue

CENT = Decimal("0.01")


class NoRateError(InvalidValue):
    """An amount in a currency that the job has no rate for; one sentence."""


@dataclass(frozen=True)
class Rates:
    """One currency, and what a unit of each other one costs in it."""

    currency: str
    """ISO 4217 code."""

    of: Mapping[str, Decimal]
    """Rate of every other currency."""

    @classmethod
    def of_job(cls, job: Job) -> "Rates":
        """Return the currency and rates that a job states."""
        return cls(job.currency, dict(job.rates))

    def convert(self, amount: Decimal, currency: str) -> Decimal:
        """Return an amount in this currency, exactly.

        Raises
        ------
        NoRateError
            If there is no rate.

        """
        if currency == self.currency:
            return amount
        if currency not in self.of:
            raise NoRateError(
                f"found an amount in {currency} and no rate for it; add rates = {{ {currency} = … }} to the "
                f"job: what one {currency} costs in {self.currency}"
            )
        return amount * self.of[currency]


@dataclass(frozen=True)
class Landed:
    """What an offer costs, all in one currency; exact, to be rounded when it is shown."""

    goods: Decimal
    """The packs alone."""

    shipping: Decimal | None
    """None where the offer does not say."""

    import_charges: Decimal | None
    """Duty, tax and handling together, as far as they are said; None where none of them is."""

    total: Decimal
    """All that is known: with something `missing`, at least this."""

    per_stone: Decimal
    per_gross: Decimal
    per_thousand: Decimal

    missing: tuple[str, ...] = ()
    """Which of shipping, duty, tax and handling the offer does not say."""

    @property
    def before_import(self) -> bool:
        """Whether an import charge is missing."""
        return any(one in self.missing for one in ("duty", "tax", "handling"))


def landed(offer: Offer, rates: Rates, packs: int = 1) -> Landed:
    """Return what some packs of an offer cost in one delivery.

    Price, duty and tax count for each pack, shipping and handling once.

    Raises
    ------
    NoRateError
        If the offer's currency has no rate.

    """

    def own(amount: Decimal | None, times: int) -> Decimal | None:
        return None if amount is None else rates.convert(times * amount, offer.currency)

    goods = rates.convert(packs * offer.price, offer.currency)
    parts = {
        "shipping": own(offer.shipping, 1), "duty": own(offer.duty, packs), "tax": own(offer.tax, packs),
        "handling": own(offer.handling, 1),
    }  # fmt: skip
    said = [amount for name, amount in parts.items() if name != "shipping" and amount is not None]
    total = goods + sum((one for one in parts.values() if one is not None), Decimal(0))
    stones = packs * offer.count
    return Landed(
        goods=goods,
        shipping=parts["shipping"],
        import_charges=sum(said, Decimal(0)) if said else None,
        total=total,
        per_stone=total / stones,
        per_gross=total * GROSS / stones,
        per_thousand=total * 1000 / stones,
        missing=unsaid((offer,)),
    )


def rounded(amount: Decimal) -> str:
    """Return an amount with two decimals, half a cent up."""
    return f"{amount.quantize(CENT, ROUND_HALF_UP):,f}"


@dataclass(frozen=True)
class Priced:
    """An offer with what it costs."""

    offer: Offer
    cost: Landed

    @property
    def per_mm(self) -> Decimal | None:
        """Cost of a stone for each millimetre of its longer side, by which unlike shapes are compared."""
        return None if not self.offer.mm else self.cost.per_stone / Decimal(str(self.offer.mm))


@dataclass(frozen=True)
class Alike:
    """Offers of one thing, the cheapest stone first."""

    what: str
    """What they are, for a person."""

    approximate: bool
    """Whether their reading is only approximate, because they are not round."""

    priced: tuple[Priced, ...]


def side_by_side(offers: Iterable[Offer], rates: Rates) -> tuple[tuple[Alike, ...], tuple[str, ...]]:
    """Return the offers grouped by what they sell, and a sentence for each currency without a rate.

    A group is one pairing and size where all three are known, else one colour, coating and size as
    written; shapes that are not round go by their millimetres.
    """
    groups: dict[str, list[Priced]] = {}
    without: dict[str, list[int]] = {}
    for one in offers:
        try:
            groups.setdefault(what(one), []).append(Priced(one, landed(one, rates)))
        except NoRateError:
            without.setdefault(one.currency, []).append(one.row)
    alike = tuple(
        Alike(name, group[0].offer.shape != ROUND, tuple(sorted(group, key=_cheapest)))
        for name, group in sorted(groups.items())
        if group
    )
    return alike, tuple(_without(code, rows, rates.currency) for code, rows in without.items())


def _cheapest(one: Priced) -> tuple[Decimal, int, int]:
    return one.cost.per_stone, len(one.cost.missing), one.offer.row


def _without(code: str, rows: list[int], own: str) -> str:
    shown, more = cut_short(rows, 8)
    listed = f"{', '.join(map(str, shown))} {more}".rstrip()
    return (
        f"row{'s' if len(rows) > 1 else ''} {listed}: found amounts in {code} and no rate for it; give "
        f"what one {code} costs in {own}: rates = {{ {code} = … }} in the job, or --rate {code}=…"
    )


def what(offer: Offer) -> str:
    """Return what an offer sells, for a person: ids where they are known, else as written."""
    stone = offer.stone_id or offer.colour or offer.title or "not stated"
    film = offer.coating_id or offer.coating
    named = f"{stone} + {film}" if film else stone
    if offer.shape != ROUND:
        across = "" if offer.mm_across is None else f" × {offer.mm_across:g}"
        size = f"{offer.shape}{'' if offer.mm is None else f' {offer.mm:g}{across} mm'}"
    else:
        size = offer.size or ("size not stated" if offer.mm is None else f"{offer.mm:g} mm")
    return f"{named}, {size}"
