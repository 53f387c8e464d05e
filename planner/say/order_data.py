"""An order for programs: money is text, so that it stays exact, and days are ISO 8601."""

from datetime import date
from typing import Any

from planner.order.job_order import JobOrder
from planner.order.order_plan import OrderLine, OrderPlan, SellerOrder
from planner.order.plan import Outcome
from planner.say.order_advice import drawer, sample
from planner.say.warned import concerns_data


def order_data(found: JobOrder) -> dict[str, Any]:
    """Return what stands against an order, and the order."""
    return {
        "wearer": [
            {
                "code": one.caution.code, "severity": one.caution.severity, "text": one.caution.text,
                "do": one.caution.do, "lines": list(one.caution.lines),
                "accepted": one.accepted and {"who": one.accepted.who, "why": one.accepted.why},
            }
            for one in found.assessment.wearer
        ],
        "warnings": [
            {"line": one.number, "warnings": concerns_data(one.concerns)}
            for one in found.assessment.lines
            if one.concerns
        ],
        **_outcome(found.outcome),
    }  # fmt: skip


def _outcome(outcome: Outcome) -> dict[str, Any]:
    plan = outcome.plan
    return {
        "possible": plan is not None,
        "order": None if plan is None else _plan(plan),
        "reasons": list(outcome.reasons),
        "rates_wanted": list(outcome.rates_wanted),
        "ways_out": [
            {
                "gives": list(one.gives), "text": one.text, "effort": one.effort,
                "total": str(one.solution.total), "days": one.solution.days,
            }
            for one in outcome.ways
        ],
        "left_out": list(outcome.notes),
    }  # fmt: skip


def _plan(plan: OrderPlan) -> dict[str, Any]:
    return {
        "currency": plan.currency,
        "goods": str(plan.goods),
        "shipping": str(plan.shipping),
        "total": str(plan.total),
        "budget": None if plan.budget is None else str(plan.budget),
        "proven_cheapest": plan.gap == 0,
        "gap": str(plan.gap),
        "unsaid": {seller: list(names) for seller, names in plan.unsaid},
        "with_unsaid": None if plan.silent is None else {
            "total": str(plan.silent.total),
            "unsaid": {seller: list(names) for seller, names in plan.silent.unsaid},
        },
        "today": _day(plan.today),
        "needed_by": _day(plan.due.by),
        "why_then": plan.due.why,
        "arrives": _day(plan.arrives),
        "days_to_spare": plan.days_to_spare,
        "deliveries": [_parcel(one) for one in plan.parcels],
        "covers": [
            {
                "stone": one.need.stone, "coating": one.need.coating, "size": one.need.size,
                "worn": one.need.worn, "spares": one.need.spares, "from_drawer": one.from_drawer,
                "bought": one.bought, "left_over": one.left_over, "sellers": list(one.sellers),
            }
            for one in plan.covers
        ],
        "drawer": list(drawer(plan)),
        "sample": list(sample(plan)),
        "sample_extra": None if plan.sample_extra is None else str(plan.sample_extra),
        "missing": list(plan.missing),
    }  # fmt: skip


def _parcel(parcel: SellerOrder) -> dict[str, Any]:
    return {
        "seller": parcel.seller, "delivery": parcel.delivery, "order_on": _day(parcel.ordered),
        "arrives": _day(parcel.arrives), "goods": str(parcel.goods), "shipping": str(parcel.shipping),
        "packs": [_line(one) for one in parcel.lines], "ask": list(parcel.ask),
        "unsaid": list(parcel.unsaid),
    }  # fmt: skip


def _line(line: OrderLine) -> dict[str, Any]:
    return {
        "row": line.offer.row, "title": line.offer.title, "for": line.name, "packs": line.times,
        "stones_a_pack": line.offer.count, "stones": line.stones, "each": str(line.each),
        "price": str(line.price), "sample": line.sample,
    }  # fmt: skip


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
