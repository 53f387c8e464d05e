"""The flow of ``planner order``: files read, the order worked out, what was asked for written."""

import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import click

from planner.catalogue.palette import Palette
from planner.cli.ask import GRADES, job_file
from planner.cli.at_hand import palette_of
from planner.cli.text import tell
from planner.cover import Need, needs
from planner.job import JobFile
from planner.job.companions import companion
from planner.job.today import today
from planner.order import order_list
from planner.order.drawer import drawer_beside
from planner.order.export import write_csv
from planner.order.heard import heard_file, read_heard
from planner.order.job_order import job_order
from planner.order.offers_file import read_offers
from planner.order.order_plan import OrderPlan
from planner.order.stock import StockFile, read_stock
from planner.refusal import Refusal
from planner.say.order import Ordered, order_document


def show(
    *, job: Path, offers: Path | None, stock: Path | None, use_stock: bool, mix_sellers: bool,
    out: Path | None, day: date | None, grade: str, palettes: Path | None, as_data: bool,
) -> bool:  # fmt: skip
    """Print a job's order, and return whether it is whole and no severe warning stands."""
    file = job_file(job)
    offers = offers or companion(file.job.offers, job)
    stock = stock or companion(file.job.stock, job) or drawer_beside(palettes)
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
        offers, palette, today=day, currency=file.job.currency, others=[code for code, _ in file.job.rates],
        heard=read_heard(heard_file(palettes)),
    )  # fmt: skip
    if sys.stderr.isatty():
        click.echo(f"Reading {len(file.job.lines)} lines …", err=True)
    try:
        order = job_order(
            file.job, palette, needed, found.offers, day, lots=() if lots is None else lots.lots,
            grade=GRADES[grade], where=str(job),
        )  # fmt: skip
    except TimeoutError as problem:
        raise Refusal(f"{offers}: {problem}; leave out offers that you would not take") from None
    said, counted_down = _done(order.outcome.plan, out, lots, use_stock=use_stock)
    ordered = Ordered(order, file.path, found.path, len(found.offers), found.problems, found.guesses)
    answer = order_document(ordered, palette, said=said, counted_down=counted_down, palettes=palettes)
    tell(answer, as_data=as_data)
    return order.well


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


def _done(
    plan: OrderPlan | None, out: Path | None, stock: StockFile | None, *, use_stock: bool
) -> tuple[list[str], bool]:
    """Write what was asked for; return what is to be said of it, and whether the drawer was counted down."""
    said: list[str] = []
    if plan is None:
        return said, False
    if out is not None:
        write_csv(out, order_list.HEAD, order_list.table(plan))
        said.append(f"Wrote {out}.")
    if stock is None or not plan.taken:
        return said, False
    if not use_stock:
        said.append(
            f"{stock.path} was not changed: add --use-stock once you take these stones from the drawer."
        )
        return said, False
    stock.without(plan.taken).save()
    said.append(f"Counted down in {stock.path}; as it was before it is {stock.path.name}.bak.")
    return said, True
