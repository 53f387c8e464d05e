"""An order plan in words, as a table and as plain data. Money stays an exact decimal throughout."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from planner.order.dates import LOOK_DAYS
from planner.order.export import csv_text
from planner.order.order_plan import Covered, OrderLine, OrderPlan, SellerOrder
from planner.order.plan import Outcome

HEAD = (
    "seller", "delivery", "order on", "arrives", "row of offer", "title", "for", "packs", "stones a pack",
    "stones", "each", "price", "currency", "sample",
)  # fmt: skip
"""Columns of the order list as a table."""


def table(plan: OrderPlan) -> Iterator[tuple[object, ...]]:
    """Yield the rows under `HEAD`: packs and shipping of each delivery, and the total."""
    for parcel in plan.parcels:
        when = (parcel.seller, parcel.delivery, parcel.ordered, parcel.arrives)
        for line in parcel.lines:
            yield (
                *when, line.offer.row, line.offer.title, line.name, line.times, line.offer.count, line.stones,
                line.each, line.price, plan.currency, "yes" if line.sample else "",
            )  # fmt: skip
        yield (*when, "", parcel.carriage, "", "", "", "", "", parcel.shipping, plan.currency, "")
    yield ("total", *[""] * 10, plan.total, plan.currency, "")


def as_csv(plan: OrderPlan) -> str:
    """Return the order list as CSV, in which no cell can act as a formula."""
    return csv_text(HEAD, table(plan))


def money(amount: Decimal, plan: OrderPlan) -> str:
    """Return an amount with its currency."""
    return f"{amount:,.2f} {plan.currency}"


def cost(plan: OrderPlan) -> tuple[str, ...]:
    """Return what it comes to, and how sure it is that nothing is cheaper."""
    said = (
        f"Packs {money(plan.goods, plan)}, {plan.carriage} {money(plan.shipping, plan)}: "
        f"{money(plan.total, plan)}"
    )
    if plan.budget is not None:
        left = plan.budget - plan.total
        said += (
            f", which leaves {money(left, plan)} of the budget of {money(plan.budget, plan)}"
            if left >= 0
            else f", which is {money(-left, plan)} over the budget of {money(plan.budget, plan)}"
        )
    sure = (
        "No cheaper order by the same rules can be made from these offers (proven)."
        if plan.gap == 0
        else f"The search was cut short: an order up to {money(plan.gap, plan)} cheaper may exist."
    )
    unsaid = tuple(
        f"Not in it, because {seller} does not say: {', '.join(names)}."
        for seller, names in {one.seller: one.unsaid for one in plan.parcels}.items()
        if names
    )
    return f"{said}.", *unsaid, sure


def dates(plan: OrderPlan) -> tuple[str, ...]:
    """Return when all is there, and what there is to spare."""
    said = [plan.due.why]
    if not plan.parcels:
        return tuple(said)
    if plan.arrives is None:
        said.append("A seller does not say how long delivery takes, so the day of arrival is not known.")
        return tuple(said)
    spare = plan.days_to_spare
    if spare is None:
        said.append(f"All is there on {plan.arrives}.")
    elif spare >= 0:
        before = "the very day it is needed" if spare == 0 else f"{_days(spare)} before it is needed"
        said.append(f"All is there on {plan.arrives}, {before}.")
    else:
        said.append(f"All is there on {plan.arrives}, {_days(-spare)} after it is needed.")
    return tuple(said)


def sample(plan: OrderPlan) -> tuple[str, ...]:
    """Return how the sample and the rest follow each other; nothing where no sample is advised."""
    if plan.sample_note:
        return (plan.sample_note,)
    if not plan.sample_first:
        return ()
    names = list(dict.fromkeys(line.name for one in plan.parcels for line in one.lines if line.sample))
    how = (
        f"Order a sample first of {_listed(names)}: fix one to the cloth and look at it under the lamps. "
        f"{LOOK_DAYS} days are kept for that, and then the rest is ordered from the same seller."
    )
    said = [how]
    if plan.sample_extra is not None:
        said.append(f"It comes to {money(plan.sample_extra, plan)} more than ordering all at once.")
    spare = plan.days_to_spare
    if spare is not None:
        latest = plan.today + timedelta(days=spare)
        said.append(
            f"Counted back from {plan.due.by}, the samples must be ordered by {latest} at the latest."
        )
    said.append(
        "Whether the rest comes from the sample's lot only the seller can say: ask before ordering it."
    )
    return tuple(said)


def drawer(plan: OrderPlan) -> tuple[str, ...]:
    """Return what is taken from the drawer, and what to beware of."""
    if not plan.taken:
        return ()
    names = {(one.need.stone, one.need.coating, one.need.size): one.name for one in plan.covers}
    said = [
        f"Take {one.count:,} of the {one.lot.count:,} {names[one.lot.pairing]} in the drawer"
        f"{_in_brackets(one.lot.note)}."
        for one in plan.taken
    ]
    mixed = [one.name for one in plan.covers if one.from_drawer and one.bought]
    if mixed:
        said.append(
            f"What is bought is another lot and may read differently ({_listed(mixed)}): lay both on the "
            "cloth under the lamps before you mix them, or keep them on parts of their own."
        )
    return tuple(said)


def delivery(parcel: SellerOrder) -> str:
    """Return when a delivery is ordered, from whom, and when it is there."""
    when = "when the sample has been seen" if parcel.ordered is None else f"on {parcel.ordered}"
    there = "" if parcel.arrives is None else f", there on {parcel.arrives}"
    return f"Order {when} from {parcel.seller}{there}"


def packs(line: OrderLine) -> str:
    """Return how many packs of an offer are bought, and of what."""
    mark = ", a sample" if line.sample else ""
    return f"{line.times} × {line.offer.count:,} {line.name} (row {line.offer.row}{mark})"


def covered(one: Covered) -> str:
    """Return how one need is met, one sentence."""
    need = one.need
    had = [f"{one.bought:,} bought"] if one.bought else []
    if one.from_drawer:
        had.insert(0, f"{one.from_drawer:,} from the drawer")
    over = one.left_over
    rest = f"{over:,} left over" if over >= 0 else f"{-over:,} are missing"
    asked = f"{need.worn:,} worn and {need.spares:,} spare"
    return f"{one.name}: {asked}; {' and '.join(had) or 'nothing bought'}, {rest}."


def data(outcome: Outcome) -> dict[str, Any]:
    """Return an outcome as plain data; money is text, so that it stays exact, and days are ISO 8601."""
    plan = outcome.plan
    return {
        "possible": plan is not None,
        "order": None if plan is None else _plan(plan),
        "reasons": list(outcome.reasons),
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


def _in_brackets(note: str) -> str:
    return f" ({note.rstrip('. ')})" if note else ""


def _days(number: int) -> str:
    return f"{number} day{'' if number == 1 else 's'}"


def _listed(names: list[str]) -> str:
    *first, last = names
    return f"{'; '.join(first)} and {last}" if first else last


def as_text(plan: OrderPlan, title: str) -> str:
    """Return the order list as lines to read and to tick off."""
    lines = [title, "=" * len(title), ""]
    for parcel in plan.parcels:
        lines.append(delivery(parcel))
        for line in parcel.lines:
            lines.append(f"  [ ] {packs(line)}: {money(line.price, plan)}")
            lines += [f"      “{line.offer.title}”"] if line.offer.title else []
        lines.append(f"      {parcel.carriage}: {money(parcel.shipping, plan)}")
        lines += [f"  ? {one}" for one in parcel.ask]
        lines.append("")
    for head, told in (
        ("Not whole", plan.missing), ("Covered", tuple(covered(one) for one in plan.covers)),
        ("From the drawer", drawer(plan)), ("Sample", sample(plan)), ("Money", cost(plan)),
        ("Dates", dates(plan)),
    ):  # fmt: skip
        lines += [head, *(f"  {one}" for one in told), ""] if told else []
    return "\n".join([*lines, "Nothing was bought or sent by making this list.", ""])
