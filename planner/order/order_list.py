"""An order plan as a table for spreadsheets. Money stays an exact decimal throughout."""

from collections.abc import Iterator

from planner.order.export import csv_text
from planner.order.order_plan import OrderPlan

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
        carriage = "" if parcel.carriage_unsaid else parcel.shipping
        yield (*when, "", parcel.carriage, "", "", "", "", "", carriage, plan.currency, "")
    yield ("total", *[""] * 10, plan.total, plan.currency, "")


def as_csv(plan: OrderPlan) -> str:
    """Return the order list as CSV, in which no cell can act as a formula."""
    return csv_text(HEAD, table(plan))
