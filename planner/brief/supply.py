"""What a job's stones come to and when they come, from offers: as `planner.order` would order them."""

from collections.abc import Sequence
from datetime import date

from planner.assess import Assessment
from planner.brief.gather import Cost, Gathered
from planner.catalogue.palette import Palette
from planner.order.job_order import circumstances
from planner.order.offer import Offer
from planner.order.plan import plan_order
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
    known = circumstances(Assessment(told.job, told.lines, ()), palette, told.needs, today, lots=lots)
    try:
        outcome = plan_order(offers, known)
    except TimeoutError as problem:
        raise Refusal(f"{problem}; leave out offers that you would not take") from None
    plan = outcome.plan
    if plan is None:
        raise Refusal(f"no order can be made of these offers: {' '.join(outcome.reasons)}".rstrip("."))
    return Cost(plan.total, plan.currency, plan.arrives, whole=not plan.missing, unsaid=plan.unsaid)
