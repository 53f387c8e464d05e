"""What an order asks to be done besides buying: take from the drawer first, order a sample first."""

from collections.abc import Sequence
from datetime import timedelta

from planner.order.dates import LOOK_DAYS
from planner.order.order_plan import OrderPlan
from planner.say.names import day, money


def sample(plan: OrderPlan) -> tuple[str, ...]:
    """Return how the sample and the rest follow each other; nothing where no sample is advised."""
    if plan.sample_note:
        return (plan.sample_note,)
    if not plan.sample_first:
        return ()
    names = list(dict.fromkeys(line.name for one in plan.parcels for line in one.lines if line.sample))
    how = (
        f"Order a sample first, of {_named(names)}: fix one to the cloth and look at it under the lamps. "
        f"{LOOK_DAYS} days are allowed for that; then order the rest from the same seller."
    )
    said = [how]
    if plan.sample_extra is not None:
        said.append(f"That costs {money(plan.sample_extra, plan.currency)} more than ordering all at once.")
    spare = plan.days_to_spare
    if spare is not None and plan.due.by is not None:
        latest = plan.today + timedelta(days=spare)
        said.append(
            f"For everything to be here by {day(plan.due.by)}, order the samples by {day(latest)} at the "
            "latest."
        )
    said.append(
        "Only the seller can say whether the rest comes from the same batch as the sample: ask before you "
        "order it."
    )
    return tuple(said)


def drawer(plan: OrderPlan) -> tuple[str, ...]:
    """Return what is taken from the drawer, and what to beware of."""
    if not plan.taken:
        return ()
    names = {(one.need.stone, one.need.coating, one.need.size): one.name for one in plan.covers}
    said = [
        f"Take {one.count:,} of the {one.lot.count:,} {names[one.lot.pairing]} in the drawer"
        f"{f' ({note})' if (note := one.lot.note.rstrip('. ')) else ''}."
        for one in plan.taken
    ]
    mixed = [one.name for one in plan.covers if one.from_drawer and one.bought]
    if mixed:
        said.append(
            f"What you buy comes from another batch and may look different ({_named(mixed)}): lay both on "
            "the cloth under the lamps before you mix them, or keep each to its own part of the costume."
        )
    return tuple(said)


def _named(names: Sequence[str]) -> str:
    """Return names which may hold commas."""
    *first, last = names
    return f"{'; '.join(first)} and {last}" if first else last
