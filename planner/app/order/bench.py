"""Offers read and orders planned behind the screen, in the second process.

A file of offers may have 50,000 rows. It is kept there; what comes back is what is shown.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final, Literal, TypeAlias

from planner.app.offers_read import offers_of
from planner.app.second_process import unpacked
from planner.catalogue.palette import Palette
from planner.cover.count import needs
from planner.cover.need import Need
from planner.job.model import Job
from planner.order.before import Found, Wearer, lines_read, ordered_lines, samples_of, wearer_of
from planner.order.claims import concerns
from planner.order.columns import Column
from planner.order.compare import Context, against, materials
from planner.order.dates import deadline
from planner.order.landed import Alike, Rates, side_by_side
from planner.order.offer import Offer
from planner.order.offers_file import OfferList
from planner.order.packs import Pairing, key_of
from planner.order.plan import Circumstances, Outcome, plan_order
from planner.order.relaxed import changes_for
from planner.order.stock import StockFile, read_stock
from planner.order.worth import Worth
from planner.reading.concern import Concern
from planner.reading.question import Question
from planner.refusal import Refusal

Which: TypeAlias = Literal["pairing", "job", "all"]
"""Which offers are shown: of the pairing looked at, of all the job takes, or every one."""

MOST_SHOWN: Final = 400
"""Offers put into the table at once; the cheapest of each thing come first."""

MOST_SAID: Final = 200
"""Things not understood that are listed."""


@dataclass(frozen=True, eq=False)
class Wish:
    """What is to be worked out."""

    serial: int
    palette: dict[str, Any]
    """As `planner.app.second_process.parcel` has it."""
    job: Job
    pairing: Pairing
    """The one looked at."""
    offers: Path | None
    stock: Path | None
    today: date
    which: Which
    bands: Path | None = None
    plan: bool = True
    """Whether the order is wanted too; a change of what is listed leaves it as it is."""


@dataclass(frozen=True, eq=False)
class Table:
    """A file of offers, as far as it is shown."""

    path: Path
    count: int
    """Offers in the file."""
    columns: tuple[Column, ...]
    notes: tuple[str, ...]
    problems: tuple[str, ...]
    problem_count: int
    strange: tuple[str, ...]
    """Offers that are no pairing of the palette."""
    strange_count: int
    alike: tuple[Alike, ...]
    """What is shown, grouped."""
    passing: int
    """Offers that pass the filter, shown or not."""
    concerns: dict[int, tuple[Concern, ...]]
    """What to ask, by the row of the offer."""
    without_rate: tuple[str, ...]
    """Currencies of offers that the job has no rate for."""


@dataclass(frozen=True, eq=False)
class Planned:
    """An order, or why there is none."""

    needs: tuple[Need, ...]
    wearer: Wearer
    lines: tuple[tuple[int, Found], ...]
    stock: StockFile | None
    outcome: Outcome | None
    """None where something must be put right first, which `complaint` says."""
    changes: tuple[dict[str, Any], ...] = ()
    """For each way out, the fields of the job that it changes."""
    complaint: str = ""


@dataclass(frozen=True, eq=False)
class Answer:
    """What came of a wish; what is not asked for, or cannot be, is None."""

    table: Table | None = None
    table_complaint: str = ""
    planned: Planned | None = None


def answer(wish: Wish) -> Answer:
    """Return what is to be shown."""
    palette = unpacked(wish.palette)
    table, wrong, found = None, "", None
    if wish.offers is not None:
        try:
            found = offers_of(wish.offers, wish.job, wish.today, palette)
            table = _table(found, wish, palette)
        except Refusal as problem:
            wrong = str(problem)
    return Answer(table, wrong, _planned(found, wish, palette) if wish.plan else None)


def _table(found: OfferList, wish: Wish, palette: Palette) -> Table:
    context = _context(wish, palette)
    wanted = _passing(wish, palette)
    passing = [one for one in found.offers if wanted(one)]
    alike, _ = side_by_side(passing, context.rates)
    order = {(line.stone, line.coating, line.size): at for at, line in enumerate(wish.job.lines)}
    alike = _first(
        sorted(alike, key=lambda one: order.get(one.priced[0].offer.pairing or ("", "", ""), len(order))),
        MOST_SHOWN,
    )
    priced = [one.offer for group in alike for one in group.priced]
    held, more = against(priced, context)
    known = {context.rates.currency, *context.rates.of}
    strange = [one for one in found.offers if one.stone_id is None or one.coating_id is None]
    return Table(
        path=found.path, count=len(found.offers), columns=found.columns, notes=(*found.notes, *more),
        problems=tuple(map(str, found.problems[:MOST_SAID])), problem_count=len(found.problems),
        strange=tuple(_strange(one) for one in strange[:MOST_SAID]), strange_count=len(strange),
        alike=alike, passing=len(passing),
        concerns={one.row: concerns(one, held) for one in priced},
        without_rate=tuple(sorted({one.currency for one in found.offers} - known)),
    )  # fmt: skip


def _context(wish: Wish, palette: Palette) -> Context:
    return Context(palette, Rates.of_job(wish.job), wish.today, wish.job, "", wish.bands)


def _passing(wish: Wish, palette: Palette) -> "Callable[[Offer], bool]":
    if wish.which == "pairing":
        return lambda one: one.pairing == wish.pairing
    if wish.which == "all":
        return lambda _one: True
    pairings = {key_of(one) for one in needs(wish.job, palette)}
    pairings |= {(line.stone, line.coating, line.size) for line in wish.job.lines}
    return lambda one: one.pairing in pairings


def _first(alike: Iterable[Alike], most: int) -> tuple[Alike, ...]:
    """Return the groups with at most so many offers in all, fairly shared out."""
    groups = tuple(alike)
    while sum(len(one.priced) for one in groups) > most:
        each = max(len(one.priced) for one in groups) // 2
        if each < 1:
            return groups[:most]
        groups = tuple(Alike(one.what, one.approximate, one.priced[:each]) for one in groups)
    return groups


def _strange(one: Offer) -> str:
    said = f"{one.colour or one.title or 'no colour'}{f' + {one.coating}' if one.coating else ''}"
    hint = f": is it {', '.join(one.suggestions)}?" if one.suggestions else ""
    return f"row {one.row}, “{said}”{hint}"


def _planned(found: OfferList | None, wish: Wish, palette: Palette) -> Planned:
    """Return the order; what must be put right first is said."""
    job, needed, stock = wish.job, tuple[Need, ...](), None
    wearer: Wearer = ()
    lines: tuple[tuple[int, Found], ...] = ()
    try:
        needed = needs(job, palette)
        wanted = ordered_lines(job, needed)
        wearer = wearer_of(job, palette, wanted)
        stock = None if wish.stock is None else read_stock(wish.stock, palette)
        if found is None or not needed:
            return Planned(needed, wearer, lines, stock, None)
        due = deadline(job, needed, wish.today)
        lines = lines_read(job, palette, wanted)
        samples, straddling = samples_of(job, lines)
        known = Circumstances(
            job, palette, needed, due, () if stock is None else stock.lots, samples, straddling
        )
        outcome = plan_order(found.offers, known)
    except (Refusal, TimeoutError) as problem:
        return Planned(needed, wearer, lines, stock, None, complaint=str(problem))
    return Planned(
        needed, wearer, lines, stock, outcome, tuple(changes_for(one, known) for one in outcome.ways)
    )


def material(wish: Wish) -> tuple[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]], ...]:
    """Return what the material of the pairing looked at buys, beside the offers there are.

    Raises
    ------
    Refusal
        If the offers cannot be read or a colour is no cloth's.

    """
    palette = unpacked(wish.palette)
    path = wish.offers
    offers = () if path is None else offers_of(path, wish.job, wish.today, palette).offers
    mine = [one for one in offers if one.pairing == wish.pairing]
    line = next(
        one for one in wish.job.lines if (one.stone, one.coating, one.size) == wish.pairing
    )  # fmt: skip
    alone = wish.job.model_copy(update={"lines": (line,), "areas": ()})
    context = Context(palette, Rates.of_job(wish.job), wish.today, alone)
    return materials(mine, context, single=True, always=True)
