"""A job's order, for ``planner order``: warnings, the list, money, dates, and what to ask."""

import shlex
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import click

from planner.assess import LineAssessed, assess
from planner.catalogue.palette import Palette
from planner.cli import as_json, telling, text
from planner.cli.ask import GRADES, palette_of
from planner.cli.guard import plain
from planner.cli.next_step import command
from planner.cover import Need, needs
from planner.job import JobFile, read_job_file
from planner.job.companions import companion
from planner.job.today import today
from planner.order import order_list
from planner.order.before import Wearer, ordered_lines, samples_of, wearer_of
from planner.order.dates import deadline
from planner.order.export import write_csv
from planner.order.offers_file import OfferList, read_offers
from planner.order.order_plan import OrderPlan, SellerOrder
from planner.order.plan import Circumstances, Outcome, plan_order
from planner.order.sample import sample_advised
from planner.order.stock import StockFile, read_stock
from planner.reading.concern import Concern
from planner.refusal import Refusal

_NOTHING_BOUGHT = "Nothing was bought or sent: placing the order is yours."


@dataclass(frozen=True, eq=False)
class _Ordered:
    """Everything there is to tell."""

    file: JobFile
    offers: OfferList
    lines: tuple[LineAssessed, ...]
    """Lines of the job that stones are ordered for."""
    wearer: Wearer
    outcome: Outcome
    stock: StockFile | None
    counted_down: bool

    @property
    def standing(self) -> bool:
        """Whether a severe warning stands that nobody accepted."""
        wearer = any(one.severity == "severe" and by is None for one, by in self.wearer)
        return wearer or any(one.standing for one in self.lines)

    @property
    def well(self) -> bool:
        """Whether the order is whole and nothing severe stands."""
        plan = self.outcome.plan
        return plan is not None and not plan.missing and not self.standing


def show(
    *, job: Path, offers: Path | None, stock: Path | None, use_stock: bool, mix_sellers: bool,
    out: Path | None, day: date | None, grade: str, palettes: Path | None, as_data: bool,
) -> bool:  # fmt: skip
    """Print a job's order, and return whether it is whole and no severe warning stands."""
    file = read_job_file(job)
    offers = offers or companion(file.job.offers, job)
    stock = stock or companion(file.job.stock, job)
    if offers is None:
        raise click.UsageError(
            "found no OFFERS, and the job names none; name a CSV file or workbook of offers, or write "
            'offers = "…" into the job'
        )
    if use_stock and stock is None:
        raise click.UsageError("--use-stock: found no --stock; name the file that is to be counted down")
    palette = palette_of(palettes, job)
    if mix_sellers:
        file = replace(file, job=file.job.model_copy(update={"one_seller": False}))
    needed = _needs(file, palette)
    lots = None if stock is None else read_stock(stock, palette)
    day = today() if day is None else day
    found = read_offers(
        offers, palette, today=day, currency=file.job.currency, others=[code for code, _ in file.job.rates]
    )
    known = _circumstances(file, palette, needed, day)
    wanted = ordered_lines(file.job, needed)
    lines = assess(file.job, palette, GRADES[grade], lines=wanted, where=str(file.path)).lines
    samples, straddling = samples_of(file.job, ((one.number, one.concerns) for one in lines))
    known = replace(known, lots=() if lots is None else lots.lots, samples=samples, straddling=straddling)
    try:
        outcome = plan_order(found.offers, known)
    except TimeoutError as problem:
        raise Refusal(f"{offers}: {problem}; leave out offers that you would not take") from None
    counted = _written(outcome, out, lots if use_stock else None)
    wearer = wearer_of(file.job, palette, wanted)
    ordered = _Ordered(file, found, lines, wearer, outcome, lots, counted)
    click.echo(as_json.dumps(_data(ordered)) if as_data else _told(ordered, out, palettes))
    return ordered.well


def _needs(file: JobFile, palette: Palette) -> tuple[Need, ...]:
    """Return what the job needs, or say where counts come from."""
    try:
        found = needs(file.job, palette)
    except Refusal as problem:
        raise Refusal(f"{file.path}, {problem}") from None
    if not found:
        raise Refusal(
            f"{file.path}: found no [[area]] that takes stones, so there is nothing to order; add one for "
            "each part of the garment (planner cover shows the counts), or, for a count by hand, one with "
            'shape = "surface", pattern = "motif", times and mix = { name-of-a-line = stones }'
        )
    return found


def _circumstances(file: JobFile, palette: Palette, needed: tuple[Need, ...], today: date) -> Circumstances:
    try:
        due = deadline(file.job, needed, today)
    except Refusal as problem:
        raise Refusal(f"{file.path}, {problem}") from None
    return Circumstances(file.job, palette, needed, due)


def _written(outcome: Outcome, out: Path | None, stock: StockFile | None) -> bool:
    """Write what was asked for; return whether the drawer was counted down."""
    plan = outcome.plan
    if plan is None:
        return False
    if out is not None:
        write_csv(out, order_list.HEAD, order_list.table(plan))
    if stock is None or not plan.taken:
        return False
    stock.without(plan.taken).save()
    return True


def _data(ordered: _Ordered) -> dict[str, Any]:
    job = ordered.file.job
    return {
        "schema": "planner order 1",
        "job": {"file": str(ordered.file.path), "title": job.title,
                "event": None if job.event is None else job.event.isoformat()},
        "offers": {"file": str(ordered.offers.path), "read": len(ordered.offers.offers),
                   "not_understood": [str(one) for one in ordered.offers.problems]},
        "ok": ordered.well,
        "wearer": [
            {
                "code": one.code, "severity": one.severity, "text": one.text, "do": one.do,
                "lines": list(one.lines), "accepted": None if by is None else {"who": by.who, "why": by.why},
            }
            for one, by in ordered.wearer
        ],
        "warnings": [
            {"line": one.number, "warnings": as_json.concerns(one.concerns)}
            for one in ordered.lines
            if one.concerns
        ],
        **order_list.data(ordered.outcome),
        "counted_down": ordered.counted_down,
    }  # fmt: skip


def _told(ordered: _Ordered, out: Path | None, palettes: Path | None) -> str:
    job, outcome, plan = ordered.file.job, ordered.outcome, ordered.outcome.plan
    when = "" if job.event is None else f", first worn on {job.event.isoformat()}"
    parts = [text.heading(text.wrap(f"{job.title}{when}")), _warnings(ordered, palettes)]
    if plan is None:
        parts += [_impossible(outcome, job.currency)]
    else:
        parts += [_bullets("Not whole", plan.missing), *_order(plan)]
    parts.append(_bullets("Left out of account", _left_out(ordered)))
    parts.append(telling.invented(
        basis for one in ordered.lines for basis in as_json.basis(one.reading.question).values() if basis
    ))  # fmt: skip
    parts.append("\n".join(text.wrap(one) for one in _ending(ordered, out)))
    return "\n\n".join(part for part in parts if part)


def _warnings(ordered: _Ordered, palettes: Path | None) -> str:
    """Return what concerns the wearer, severe warnings that stand, and what asks for a sample."""
    parts, shown = [], 0
    if ordered.wearer:
        found = [(Concern(one.code, one.severity, one.text, one.do), by) for one, by in ordered.wearer]
        parts.append(telling.concerns(found, codes=True))
    for one in ordered.lines:
        told = tuple(
            (concern, by) for concern, by in one.concerns
            if by is None and (concern.severity == "severe" or sample_advised([(concern, by)]))
        )  # fmt: skip
        if told:
            line = ordered.file.job.lines[one.number - 1]
            head = text.wrap(f"Line {one.number}: {line.stone}, {line.coating}, {line.size}")
            parts.append(f"{head}\n{telling.concerns(told, codes=True)}")
            shown += len(told)
    rest = sum(len(one.concerns) for one in ordered.lines) - shown
    if rest:
        then = command(f"check {shlex.quote(str(ordered.file.path))}", {"--palettes": palettes})
        parts.append(f"{rest} more {'warnings are' if rest > 1 else 'warning is'} told by\n{then}")
    return telling.block("Before you buy", "\n".join(parts)) if parts else ""


def _impossible(outcome: Outcome, currency: str) -> str:
    parts = [_bullets("This order cannot be made", outcome.reasons)]
    if outcome.ways:
        parts.append(_bullets(
            "What would do, the least first",
            [f"{one.text[:1].upper()}{one.text[1:]}: it then comes to "
             f"{one.solution.total:,.2f} {currency}."
             for one in outcome.ways],
        ))  # fmt: skip
    return "\n\n".join(parts)


def _order(plan: OrderPlan) -> list[str]:
    return [
        *(_parcel(one, plan) for one in plan.parcels),
        _bullets("Covered", [order_list.covered(one) for one in plan.covers]),
        _bullets("From the drawer", order_list.drawer(plan)),
        _bullets("Sample", order_list.sample(plan)),
        _bullets("Money", order_list.cost(plan)),
        _bullets("Dates", order_list.dates(plan)),
    ]


def _parcel(parcel: SellerOrder, plan: OrderPlan) -> str:
    """Return one delivery: its packs, and what to ask."""
    lines = [text.heading(text.wrap(order_list.delivery(parcel)))]
    for one in parcel.lines:
        price = order_list.money(one.price, plan)
        said = text.wrap(order_list.packs(one), 6, "  ")
        *before, last = said.split("\n")
        room = text.columns() - len(price) - 1
        lines += [*before, f"{last.ljust(room)} {price}"] if len(last) <= room else [
            *before, last, price.rjust(text.columns())
        ]  # fmt: skip
    shipping = order_list.money(parcel.shipping, plan)
    lines.append(f"  {parcel.carriage.ljust(text.columns() - len(shipping) - 3)} {shipping}")
    lines += [text.wrap(one, 4, "  ? ") for one in parcel.ask]
    return "\n".join(lines)


def _left_out(ordered: _Ordered) -> list[str]:
    problems = ordered.offers.problems
    said = list(ordered.outcome.notes)
    if problems:
        said.append(
            f"Not understood in {plain(ordered.offers.path)}: {len(problems)} "
            f"thing{'s' if len(problems) > 1 else ''}, which planner offers lists."
        )
    return said


def _ending(ordered: _Ordered, out: Path | None) -> list[str]:
    plan, stock = ordered.outcome.plan, ordered.stock
    drawer = "" if stock is None else plain(stock.path)
    said = [] if plan is None or out is None else [f"Wrote {plain(out)}."]
    if stock is not None and plan is not None and plan.taken:
        said.append(
            f"Counted down in {drawer}; as it was before it is {plain(stock.path.name)}.bak."
            if ordered.counted_down
            else f"{drawer} was not changed: add --use-stock once you take these stones from the drawer."
        )
    return [*said, _NOTHING_BOUGHT]


def _bullets(title: str, said: Sequence[str]) -> str:
    return telling.block(title, "\n".join(text.wrap(one, 4, "  ") for one in said)) if said else ""
