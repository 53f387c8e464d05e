"""A job's order: what to heed first, the packs to buy, what they cost and cover, and when they come."""

import shlex
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from planner.assess import Assessment, LineAssessed
from planner.catalogue.pairing import name_in
from planner.catalogue.palette import Palette
from planner.order.heard import Guess
from planner.order.job_order import JobOrder, heeded
from planner.order.order_plan import Covered, OrderLine, OrderPlan, SellerOrder
from planner.order.plan import Outcome
from planner.order.relax import Relaxation
from planner.order.row import Problem
from planner.reading.phrase import listed
from planner.say.document import (
    Column,
    Command,
    Document,
    Item,
    Part,
    Row,
    Section,
    Sentence,
    Table,
    document,
    section,
)
from planner.say.figures import bases
from planner.say.names import counted, day, money
from planner.say.order_advice import drawer, sample
from planner.say.order_data import order_data
from planner.say.reading import invented
from planner.say.warned import concern_parts, guarded_part

NOTHING_BOUGHT = "Nothing was bought or sent: placing the order is up to you."


@dataclass(frozen=True, eq=False)
class Ordered:
    """An order, and the files it was made from."""

    order: JobOrder
    file: Path
    """The job's."""
    offers: Path
    count: int
    """Offers read."""
    problems: tuple[Problem, ...] = ()
    """What was not understood in them."""
    guesses: tuple[Guess, ...] = ()
    """What is likely meant in them, and not ordered by until it is confirmed."""


def order_document(
    found: Ordered, palette: Palette, *, said: Iterable[str] = (), counted_down: bool = False,
    palettes: Path | None = None,
) -> Document:  # fmt: skip
    """Return everything there is to tell of an order.

    Parameters
    ----------
    found, palette
        The order, and what its ids mean.
    said
        What was done with it: files written, the drawer counted down.
    counted_down
        Whether the drawer was counted down.
    palettes
        What was read instead of the demo and the person's own folder.

    """
    job, outcome = found.order.known.job, found.order.outcome
    plan, lines = outcome.plan, found.order.assessment.lines
    when = "" if job.event is None else f", first worn on {day(job.event)}"
    check = Command(f"check {shlex.quote(str(found.file))}", {"--palettes": palettes})
    parts: list[Part | None] = [section("Before you buy", heed(found.order.assessment, palette, check))]
    if plan is None:
        parts += impossible(outcome, job.currency)
    else:
        parts += [_items("Incomplete", plan.missing), *deliveries(plan), *rest(plan)]
    parts += [
        _items("Not taken into account", _left_out(found)),
        invented(each for one in lines for each in bases(one.reading.question).items()),
        Section("", tuple(Sentence(one) for one in (*said, NOTHING_BOUGHT))),
    ]  # fmt: skip
    data = {
        "schema": "planner order 1",
        "job": {"file": str(found.file), "title": job.title, "event": job.event and day(job.event)},
        "offers": {"file": str(found.offers), "read": found.count,
                   "not_understood": [str(one) for one in found.problems]},
        "ok": found.order.well,
        **order_data(found.order),
        "counted_down": counted_down,
    }  # fmt: skip
    return document(f"{job.title}{when}", parts, data)


def heed(found: Assessment, palette: Palette, check: Command | None = None) -> list[Part]:
    """Return what concerns the wearer, severe warnings that stand, and what asks for a sample.

    `check` is the command that tells all the others; without it they are only counted.
    """
    parts: list[Part] = [guarded_part(one) for one in found.wearer]
    shown = 0
    for one in found.lines:
        told = heeded(one)
        if told:
            parts.append(
                Section(_line(one, palette), concern_parts([(each, None) for each in told], codes=True))
            )
            shown += len(told)
    more = sum(len(one.concerns) for one in found.lines) - shown
    if more and check is not None:
        are = "warnings are" if more > 1 else "warning is"
        parts.append(Section("", (Sentence(f"{more} more {are} shown by"), check)))
    return parts


def _line(one: LineAssessed, palette: Palette) -> str:
    return f"Line {one.number}: {name_in(palette, one.line.stone, one.line.coating, one.line.size)}"


def headline(found: JobOrder) -> Sentence | None:
    """Return an order in a line; it is no good one while a severe warning stands."""
    plan = found.outcome.plan
    if plan is None:
        return None
    spare = plan.days_to_spare
    said = [
        f"{money(plan.total, plan.currency)} in {counted(len(plan.parcels), 'delivery', 'deliveries')}",
        "sample first" if plan.sample_first else "",
        "" if plan.arrives is None else f"all here on {day(plan.arrives)}",
        "" if spare is None else f"{counted(spare, 'day')} to spare",
        "plus what a seller leaves unsaid" if plan.unsaid else "",
        "" if found.assessment.well else "see the warnings above first",
    ]  # fmt: skip
    mark = "✓" if found.well else "~"
    return Sentence(f"{mark} {', '.join(filter(None, said))}", "good" if found.well else "unsure")


def impossible(outcome: Outcome, currency: str) -> list[Section | None]:
    """Return why no order can be made, and what would do."""
    title = "Only a rate of exchange is missing" if outcome.only_rates else "This order cannot be made"
    ways = [f"{way(one)}: it then comes to {money(one.solution.total, currency)}." for one in outcome.ways]
    possible = "What would make it possible, the smallest change first"
    return [_items(title, outcome.reasons), _items(possible, ways)]


def way(one: Relaxation) -> str:
    """Return what a way out takes, as the beginning of a sentence."""
    return f"{one.text[:1].upper()}{one.text[1:]}"


def deliveries(plan: OrderPlan, *, to_tick: bool = False) -> list[Section]:
    """Return every delivery: its packs, its shipping, and what to ask; `to_tick` leaves a box for each."""
    return [_delivery(one, plan, to_tick=to_tick) for one in plan.parcels]


def _delivery(parcel: SellerOrder, plan: OrderPlan, *, to_tick: bool) -> Section:
    when = "once you have seen the sample" if parcel.ordered is None else f"on {day(parcel.ordered)}"
    there = "" if parcel.arrives is None else f", here on {day(parcel.arrives)}"
    box = "[ ] " if to_tick else ""
    rows = [
        Row((box + _packs(one), money(one.price, plan.currency)),
            (Sentence(f"“{one.offer.title}”", "quiet"),) if to_tick and one.offer.title else ())
        for one in parcel.lines
    ]  # fmt: skip
    rows.append(Row((parcel.carriage, _carriage(parcel, plan.currency))))
    priced = Table((Column("", folds=True), Column("", "right")), tuple(rows), full=True)
    return Section(
        f"Order {when} from {parcel.seller}{there}", (priced, *(Item(one, "?") for one in parcel.ask))
    )


def _carriage(of: SellerOrder | OrderPlan, currency: str) -> str:
    return "not stated" if of.carriage_unsaid else money(of.shipping, currency)


def _packs(line: OrderLine) -> str:
    mark = ", a sample" if line.sample else ""
    return f"{line.times} × {line.offer.count:,} {line.name} (row {line.offer.row}{mark})"


def rest(plan: OrderPlan) -> list[Section | None]:
    """Return what an order covers, what comes from the drawer and as a sample, its money and its dates."""
    return [
        _items("Covered", map(_covered, plan.covers)),
        _items("From the drawer", drawer(plan)),
        _items("Sample", sample(plan)),
        _items("Money", cost(plan)),
        _items("Dates", dates(plan)),
    ]


def _covered(one: Covered) -> str:
    need = one.need
    had = [f"{one.bought:,} bought"] if one.bought else []
    if one.from_drawer:
        had.insert(0, f"{one.from_drawer:,} from the drawer")
    over = one.left_over
    left = f"{over:,} left over" if over >= 0 else f"{-over:,} short"
    asked = f"{need.worn:,} worn and {need.spares:,} spare"
    return f"{one.name}: {asked}; {' and '.join(had) or 'nothing bought'}, {left}."


def cost(plan: OrderPlan) -> tuple[str, ...]:
    """Return what it comes to, what is not in it, and how sure it is that nothing is cheaper."""

    def told(amount: Decimal) -> str:
        return money(amount, plan.currency)

    carriage = f"{plan.carriage} {_carriage(plan, plan.currency)}"
    said = f"Packs {told(plan.goods)}, {carriage}: {told(plan.total)}"
    if plan.budget is not None:
        left = plan.budget - plan.total
        said += (
            f", which leaves {told(left)} of the budget of {told(plan.budget)}"
            if left >= 0
            else f", which is {told(-left)} over the budget of {told(plan.budget)}"
        )
    sure = (
        "No cheaper order by the same rules is possible from these offers (this is proven)."
        if plan.gap == 0
        else f"The search was cut short: an order up to {told(plan.gap)} cheaper may exist."
    )
    return f"{said}.", *unsaid(plan), *_silent(plan), sure


def unsaid(plan: OrderPlan) -> tuple[str, ...]:
    """Return what is not in the price because a seller does not say it, a sentence for each."""
    return tuple(
        f"Not included, because {seller} does not say: {', '.join(names)}." for seller, names in plan.unsaid
    )


def _silent(plan: OrderPlan) -> tuple[str, ...]:
    """Return what sellers who do not state every charge would come to beside the order."""
    other = plan.silent
    if other is None:
        return ()
    who = listed([f"{seller} ({', '.join(names)})" for seller, names in other.unsaid], "and")
    many = len(other.unsaid) > 1
    said = (
        f"This price is complete. From {who} it would come to {money(other.total, plan.currency)}, "
        f"{money(plan.total - other.total, plan.currency)} less, plus what "
        f"{'they leave' if many else 'that seller leaves'} unsaid: ask, and write it into the offers."
    )
    return (said,)


def dates(plan: OrderPlan) -> tuple[str, ...]:
    """Return when all is there, and what there is to spare."""
    if not plan.parcels:
        return (plan.due.why,)
    if plan.arrives is None:
        silent = "A seller does not say how long delivery takes, so the day of arrival is not known."
        return plan.due.why, silent
    spare, there = plan.days_to_spare, f"Everything is here on {day(plan.arrives)}"
    if spare is None:
        return plan.due.why, f"{there}."
    if spare >= 0:
        before = "the very day it is needed" if spare == 0 else f"{counted(spare, 'day')} before it is needed"
        return plan.due.why, f"{there}, {before}."
    return plan.due.why, f"{there}, {counted(-spare, 'day')} after it is needed."


def saved_list(plan: OrderPlan, title: str) -> Document:
    """Return an order to print and to tick off."""
    parts = [*deliveries(plan, to_tick=True), _items("Incomplete", plan.missing), *rest(plan)]
    return document(title, [*parts, Sentence("Nothing was bought or sent by making this list.")])


def left_out(outcome: Outcome, more: Iterable[str] = ()) -> Section | None:
    """Return what was left out of account."""
    return _items("Not taken into account", (*outcome.notes, *more))


def _left_out(found: Ordered) -> tuple[str, ...]:
    said = list(found.order.outcome.notes)
    names = [one for one in found.guesses if one.kind != "heading"]
    if names:
        are = counted(len(names), "name is", "names are")
        said.append(
            f"{are} only a guess in {found.offers}: planner offers shows them, and --confirm accepts them."
        )
    if found.problems:
        things = counted(len(found.problems), "thing")
        said.append(f"Not understood in {found.offers}: {things}, which planner offers lists.")
    return tuple(said)


def _items(title: str, said: Iterable[str]) -> Section | None:
    return section(title, map(Item, said))
