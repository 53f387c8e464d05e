"""What a person does on the order screen beside looking: choose files, type rates, save, count down."""

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from textual.content import Content

from planner.app.form.entry import Entry
from planner.catalogue.by_hand import figure
from planner.catalogue.money import check_rate
from planner.job.companions import companion, written
from planner.job.model import Job
from planner.order import order_list
from planner.order.order_plan import OrderPlan
from planner.order.stock import StockFile

OFFER_FILES: Final = frozenset({".csv", ".tsv", ".txt", ".xlsx"})
STOCK_FILES: Final = frozenset({".toml"})
CSV_FILES: Final = frozenset({".csv"})


def beginning(named: str, job_file: Path | None) -> str:
    """Return where choosing a file begins: the folder of the one chosen last, or of the job."""
    path = companion(named, job_file) or job_file
    return "" if path is None else f"{path.parent}/"


def chosen(field: str, path: Path, job_file: Path | None) -> dict[str, Any]:
    """Return how a job changes when a file is chosen."""
    return {field: written(path, job_file)}


def rate_entries(job: Job, without: tuple[str, ...]) -> tuple[Entry, ...]:
    """Return a line to fill in for each currency that has a rate or lacks one."""
    rates = dict(job.rates)

    def check(text: str) -> str:
        if text:
            check_rate(figure(text))
        return ""

    return tuple(
        Entry(
            code, code, f"What one {code} costs in {job.currency}; empty leaves offers in {code} out.",
            f"{rates[code]:f}" if code in rates else "", check,
        )
        for code in dict.fromkeys((*without, *rates))
    )  # fmt: skip


def rates_from(job: Job, texts: Mapping[str, str]) -> dict[str, Any]:
    """Return how a job changes by rates typed in."""
    rates: dict[str, Decimal] = {**dict(job.rates)}
    for code, text in texts.items():
        if text:
            rates[code] = check_rate(figure(text))
        else:
            rates.pop(code, None)
    return {"rates": tuple(rates.items())}


def list_name(job: Job) -> str:
    """Return a name for the saved list."""
    words = "".join(one if one.isalnum() else " " for one in job.title.lower()).split()
    return "-".join(words)[:60] + "-order.txt"


def list_text(plan: OrderPlan, title: str, path: Path) -> str:
    """Return the list as its file's ending has it: a table for .csv, else lines to read."""
    if path.suffix.lower() in CSV_FILES:
        return "\N{ZERO WIDTH NO-BREAK SPACE}" + order_list.as_csv(plan)
    return order_list.as_text(plan, title)


def counted_down(stock: StockFile, plan: OrderPlan) -> Content:
    """Return what counting down changes, lot by lot."""
    lines = [
        Content(
            f"{one.lot.stone} + {one.lot.coating}, {one.lot.size}: {one.lot.count:,} → "
            f"{one.lot.count - one.count:,} ({one.count:,} taken)"
        )
        for one in plan.taken
    ]
    return Content("\n").join([
        Content.assemble("These lines of ", (str(stock.path), "bold"), " change:"), *lines, Content(""),
        Content(
            "Do it once you take the stones out of the drawer, and save the order list first: what is taken "
            f"no longer counts towards an order worked out later. As it is now it stays in "
            f"{stock.path.name}.bak."
        ),
    ])  # fmt: skip
