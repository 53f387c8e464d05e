"""What a job's stones come to and when they come, from offers: as `planner.order` would order them."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from planner.brief.gather import Cost, Gathered, Told
from planner.catalogue.palette import Palette
from planner.order.dates import deadline
from planner.order.offer import Offer
from planner.order.packs import Pairing
from planner.order.plan import Circumstances, plan_order
from planner.order.sample import sample_advised
from planner.order.stock import Lot
from planner.refusal import Refusal


def cost_of(
    told: Gathered, palette: Palette, offers: Sequence[Offer], today: date, lots: Sequence[Lot] = ()
) -> Cost:
    """Return what the cheapest order in time and within the budget comes to; `lots` are in the drawer.

    Raises
    ------
    Refusal
        One sentence, if nothing says how many stones are needed, or there is no such order.

    """
    if not told.needs:
        raise Refusal("the job has no [[area]] that takes stones, so there is nothing to price")
    due = deadline(told.job, told.needs, today)
    samples = frozenset(_pairing(one) for one in told.lines if sample_advised(one.concerns))
    known = Circumstances(told.job, palette, told.needs, due, lots=tuple(lots), samples=samples)
    try:
        outcome = plan_order(offers, known)
    except TimeoutError as problem:
        raise Refusal(f"{problem}; leave out offers that you would not take") from None
    plan = outcome.plan
    if plan is None:
        raise Refusal(f"no order can be made of these offers: {' '.join(outcome.reasons)}".rstrip("."))
    total = sum((parcel.goods + parcel.shipping for parcel in plan.parcels), Decimal(0))
    return Cost(total, plan.currency, plan.arrives, whole=not plan.missing)


def _pairing(told: Told) -> Pairing:
    return (told.line.stone, told.line.coating, told.line.size)
