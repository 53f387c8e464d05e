"""A job's order: the drawer and samples come first, packs are chosen, and what is found becomes a plan."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from planner.catalogue.palette import Palette
from planner.cover.need import Need
from planner.job.model import Job
from planner.order.ask import asks
from planner.order.dates import Deadline, on
from planner.order.landed import Rates
from planner.order.market import Market, market, with_later, words
from planner.order.offer import Offer
from planner.order.order_plan import Covered, OrderLine, OrderPlan, SellerOrder, Silent
from planner.order.packs import TIME_LIMIT, Pairing, Parcel, Programme, Solution, key_of
from planner.order.relax import Relaxation, Words, reasons, relaxations
from planner.order.solve import cheapest
from planner.order.stock import Lot, after_taking, take
from planner.order.unsaid import seller_key, stating, unsaid


@dataclass(frozen=True)
class Outcome:
    """What came of planning an order."""

    plan: OrderPlan | None
    """None where it cannot be made; `reasons` then say why."""

    reasons: tuple[str, ...] = ()

    ways: tuple[Relaxation, ...] = ()
    """What would have to give, least first."""

    notes: tuple[str, ...] = ()
    """What was left out of account."""

    rates_wanted: tuple[str, ...] = ()
    """Currencies of offers left out because the job has no rate for them."""

    only_rates: bool = False
    """Whether nothing but those rates stands in the way of an order."""


@dataclass(frozen=True)
class Circumstances:
    """What an order is planned from, beside its offers."""

    job: Job
    palette: Palette
    needs: tuple[Need, ...]
    due: Deadline
    lots: tuple[Lot, ...] = ()
    """Stones in the drawer."""
    samples: frozenset[Pairing] = frozenset()
    """Pairings to be seen before all of them are ordered."""
    straddling: frozenset[Pairing] = frozenset()
    """Pairings whose lots disagree."""
    time_limit: float = TIME_LIMIT

    @property
    def rates(self) -> Rates:
        """The job's currency."""
        return Rates.of_job(self.job)


def plan_order(offers: Sequence[Offer], known: Circumstances) -> Outcome:
    """Return the cheapest order for a job, or why there is none and what would have to give.

    What nobody offers is told and the rest is planned. A sample comes first where one is advised and time
    and budget allow it; else all is planned at once, and it says what a sample would take. Where sellers
    who state every charge can send as much, the order is theirs, and what the others would come to stands
    beside it: nobody wins by saying nothing.

    Raises
    ------
    TimeoutError
        If no order was found in the time given.

    """
    found = _planned(offers, known)
    if found.plan is None or not found.plan.unsaid:
        return found
    stated = _planned(stating(offers), known)
    plan = stated.plan
    if plan is None or len(plan.missing) > len(found.plan.missing):
        return found
    if plan.total > found.plan.total:
        plan = replace(plan, silent=Silent(found.plan.total, found.plan.unsaid))
    return replace(found, plan=replace(plan, missing=found.plan.missing))


def _planned(offers: Sequence[Offer], known: Circumstances) -> Outcome:
    """Return the cheapest order, whatever its sellers leave unsaid."""
    taken = take(known.lots, known.needs)
    needs = tuple(one for one in after_taking(known.needs, taken) if one.count)
    wanted = [key_of(one) for one in needs]
    today = known.due.today
    found = market(offers, wanted, known.palette, known.rates, today)
    offered = {one.fits for one in found.packs}
    tell = words(known.palette, known.job.currency)
    lacking = [one for one in needs if key_of(one) not in offered]
    missing = tuple(_missing(one, found, offers, tell, known) for one in lacking)
    rates = tuple(sorted(frozenset[str]().union(*found.no_rate.values())))
    programme = Programme(
        tuple(one for one in needs if key_of(one) in offered), found.packs, found.parcels,
        known.job.one_seller, known.job.budget, known.due.within,
    )  # fmt: skip
    if needs and not programme.needs:
        only = all(key_of(one) in found.no_rate for one in lacking)
        return Outcome(None, missing, (), found.notes, rates, only_rates=only)
    samples = frozenset(wanted) & known.samples & offered
    solution, sample_note, seen_first = None, "", samples
    if samples:
        ends = {str(one.row): one.until for one in offers if one.until is not None}
        first = with_later(found, samples, ends, today)
        sampled = replace(programme, packs=first.packs, parcels=first.parcels, samples=samples)
        solution = _kept(sampled, known.time_limit)
        if solution is None:
            sample_note = _no_room(sampled, tell, known.time_limit)
    if solution is None:
        solution, seen_first = _kept(programme, known.time_limit), frozenset()
    if solution is None:
        why = reasons(programme, tell, time_limit=known.time_limit)
        ways = relaxations(programme, tell, time_limit=known.time_limit)
        return Outcome(None, (*missing, *why), ways, found.notes, rates)
    # Where the smallest pack holds all that is needed there is no rest to wait with, and so no sample.
    rest = {one.pack.fits for one in solution.choices if one.pack.delivery != "now"}
    if seen_first and not seen_first & rest:
        sample_note = _ALL_IN_ONE.format(names=" and ".join(sorted(map(tell.name, seen_first))))
    seen_first &= rest
    plan = _plan(solution, offers, known, tell, seen_first)
    if seen_first:
        at_once = cheapest(programme, time_limit=known.time_limit)
        plan = replace(plan, sample_extra=None if at_once is None else solution.total - at_once.total)
    return Outcome(replace(plan, missing=missing, sample_note=sample_note), (), (), found.notes, rates)


_ALL_IN_ONE: Final = (
    "The smallest pack of {names} holds all that is needed, so no sample can be bought first: ask the seller "
    "for two or three loose stones, and use no other until you have seen one on the cloth under the lamps."
)


def _missing(need: Need, found: Market, offers: Sequence[Offer], tell: Words, known: Circumstances) -> str:
    """Return why a need is not met at all: no offer, a likely name alone, or money without a rate."""
    name, codes = tell.name(key_of(need)), found.no_rate.get(key_of(need), frozenset())
    likely = [str(one.row) for one in offers if one.pairing is None and one.likely_pairing == key_of(need)]
    if likely and not codes:
        rows = f"row{'s' if len(likely) > 1 else ''} {', '.join(likely)}"
        only = f"is only offered under a name that is a guess ({rows}): confirm it first"
        return f"{name} ({need.count:,} needed) {only}."
    if not codes:
        return f"Nobody offers {name}: {need.count} are needed."
    money = sorted(codes)
    cost = "costs" if len(money) == 1 else "cost"
    return (
        f"{name} ({need.count:,} needed) is only offered in {' and '.join(money)}: say what one "
        f"{' and one '.join(money)} {cost} in {known.job.currency}."
    )


def _kept(programme: Programme, time_limit: float) -> Solution | None:
    """Return the cheapest order if the budget allows it."""
    found = cheapest(programme, time_limit=time_limit)
    over = found is not None and programme.budget is not None and found.total > programme.budget
    return None if over else found


def _no_room(sampled: Programme, tell: Words, time_limit: float) -> str:
    """Say that a sample first does not fit, and what it would take."""
    try:
        ways = relaxations(sampled, tell, time_limit=time_limit)
    except TimeoutError:  # the order itself does not depend on this
        ways = ()
    takes = f" With a sample first it would be {ways[0].text}." if ways else ""
    return (
        f"A sample first does not fit the date or the budget, so everything is ordered at once.{takes} Keep "
        "the packs closed until you have seen one stone on the cloth."
    )


def _plan(
    solution: Solution, offers: Sequence[Offer], known: Circumstances, tell: Words,
    samples: frozenset[Pairing],
) -> OrderPlan:  # fmt: skip
    """Return a solution with everything a person needs to know of it."""
    by_key = {str(one.row): one for one in offers}
    taken = take(known.lots, known.needs)
    today = known.due.today
    covers = tuple(
        Covered(
            need=need,
            name=tell.name(key_of(need)),
            from_drawer=sum(one.count for one in taken if one.lot.pairing == key_of(need)),
            bought=solution.stones(key_of(need)),
            sellers=tuple(
                dict.fromkeys(one.pack.seller for one in solution.choices if one.pack.fits == key_of(need))
            ),
        )
        for need in known.needs
    )
    return OrderPlan(
        today=today,
        due=known.due,
        currency=known.job.currency,
        budget=known.job.budget,
        parcels=tuple(
            _parcel(one, solution, by_key, known, tell, samples)
            for one in sorted(solution.parcels, key=lambda one: (one.delivery != "now", one.seller))
        ),
        covers=covers,
        taken=taken,
        gap=solution.gap,
        arrives=on(today, solution.days),
    )


def _parcel(
    parcel: Parcel, solution: Solution, by_key: Mapping[str, Offer], known: Circumstances, tell: Words,
    samples: frozenset[Pairing],
) -> SellerOrder:  # fmt: skip
    """Return one delivery of one seller."""
    mine = sorted(
        (one for one in solution.choices
         if (one.pack.seller, one.pack.delivery) == (parcel.seller, parcel.delivery)),
        key=lambda one: int(one.pack.key),
    )  # fmt: skip
    now = parcel.delivery == "now"
    lines = tuple(
        OrderLine(
            by_key[one.pack.key], tell.name(one.pack.fits), one.times, one.pack.price,
            sample=now and one.pack.fits in samples,
        )
        for one in mine
    )  # fmt: skip
    days = [one.pack.days for one in mine]
    last = None if None in days else max(one for one in days if one is not None)
    # All packs of a later delivery wait for the same day.
    first, offer = mine[0].pack, lines[0].offer
    wait = None if first.days is None or offer.delivery_days is None else first.days - offer.delivery_days
    return SellerOrder(
        seller=parcel.seller,
        delivery=parcel.delivery,
        ordered=known.due.today if now else on(known.due.today, wait),
        lines=lines,
        shipping=parcel.shipping,
        handling=parcel.handling,
        arrives=on(known.due.today, last),
        unsaid=unsaid(
            (one.offer for one in lines),
            [one for one in by_key.values() if one.pairing and seller_key(one) == seller_key(offer)],
        ),
        ask=asks(
            lines, known.rates, known.due, known.straddling, after_sample=frozenset() if now else samples
        ),
    )
