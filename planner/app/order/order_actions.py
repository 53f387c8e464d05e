"""What can be done on the order screen: choose files, type rates, save the list, count the drawer down."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from textual.content import Content
from textual.screen import Screen

from planner.app.depth import Depth, depth_of, hex_shown
from planner.app.dialogs import SureScreen, TextScreen
from planner.app.form.entry import Entry
from planner.app.photo.files import path_of
from planner.catalogue.by_hand import figure
from planner.catalogue.files import TextFile, read_text, write_text
from planner.catalogue.money import check_rate
from planner.catalogue.palette import Palette
from planner.job.companions import companion, written
from planner.job.model import Job
from planner.order import order_list
from planner.order.heard import Guess, heard_file, remember
from planner.order.order_plan import OrderPlan
from planner.order.stock import StockFile
from planner.refusal import Refusal
from planner.say.as_text import unstyled
from planner.say.names import cut_short
from planner.say.offers import guess_hex, guess_told
from planner.say.order import saved_list

OFFER_FILES: Final = frozenset({".csv", ".tsv", ".txt", ".xlsx"})
STOCK_FILES: Final = frozenset({".toml"})
CSV_FILES: Final = frozenset({".csv"})
MOST_CONFIRMED: Final = 12
"""Likely meanings that are shown at once when they are confirmed."""


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
    return unstyled(saved_list(plan, title))


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
            "Do this when you take the stones out of the drawer, and save the order list first: what you "
            "take no longer counts towards later orders. The file as it is now is kept in "
            f"{stock.path.name}.bak."
        ),
    ])  # fmt: skip


_ENDINGS = "A name ending in .csv makes a table for a spreadsheet, any other a text."


async def save_list(screen: Screen[None], plan: OrderPlan, job: Job, job_file: Path | None) -> None:
    """Ask for a name and save the order list; what is there is written over only if that is said."""
    folder = "" if job_file is None else f"{job_file.parent}/"
    typed = await screen.app.push_screen_wait(
        TextScreen("Save the order list", _ENDINGS, f"{folder}{list_name(job)}", path=True)
    )
    if typed is None:
        return
    path = path_of(typed)
    try:
        file = TextFile(path, list_text(plan, job.title, path), None)
        if path.is_file():
            text = f"{path} is there already. As it is now it would stay in {path.name}.bak."
            sure = SureScreen("There is such a file", Content(text), "Write over it")
            if not await screen.app.push_screen_wait(sure):
                return
            file = replace(file, digest=read_text(path).digest)
        write_text(file)
    except (Refusal, OSError) as problem:
        screen.notify(str(problem), severity="error")
        return
    screen.notify(f"Saved in {path}.")


async def count_down(screen: Screen[None], plan: OrderPlan, stock: StockFile) -> bool:
    """Show what counting the drawer down changes, and do it if that is wanted; return whether it was done."""
    text = counted_down(stock, plan)
    if not await screen.app.push_screen_wait(SureScreen("Count the drawer down?", text, "Count down")):
        return False
    try:
        saved = stock.without(plan.taken).save()
    except Refusal as problem:
        screen.notify(str(problem), severity="error")
        return False
    screen.notify(f"Counted down in {saved.path}; as it was before it is {saved.path.name}.bak.")
    return True


def _chip(digits: str, depth: Depth) -> Content:
    """Return a patch of a colour and a blank; nothing where there is none."""
    return Content.assemble(("   ", f"on {hex_shown(digits, depth)}"), " ") if digits else Content("")


async def confirm(
    screen: Screen[None], guesses: Sequence[Guess], palette: Palette, words: Path | None
) -> bool:
    """Show what sellers' words are likely to mean, and remember it if that is wanted; say whether it was."""
    depth = depth_of(screen.app.console.color_system, no_color=screen.app.no_color)
    shown, more = cut_short(guesses, MOST_CONFIRMED)
    told = [
        Content.assemble(_chip(guess_hex(one, palette), depth), guess_told(one, palette)) for one in shown
    ]
    text = Content("\n").join([*told, Content(more)])
    if not await screen.app.push_screen_wait(SureScreen("Is all of that right?", text, "Remember it")):
        return False
    try:
        remember(words or heard_file(), guesses)
    except Refusal as problem:
        screen.notify(str(problem), severity="error")
        return False
    screen.notify("Remembered for these sellers.")
    return True
