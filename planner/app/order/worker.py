"""Offers read and orders planned behind the screen, in the second process.

A file of offers may have 50,000 rows. It is kept there; what comes back is what is shown.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, Final, Literal, TypeAlias

from planner.app.offers_cache import offers_of
from planner.app.second_process import unpacked
from planner.assess import guarded
from planner.catalogue.palette import Palette
from planner.cover.count import needs
from planner.cover.need import Need
from planner.job.model import Job
from planner.order.claims import concerns
from planner.order.compare import Context, against, materials
from planner.order.heard import Guess
from planner.order.job_order import job_order, ordered_lines
from planner.order.landed import Alike, Rates, side_by_side
from planner.order.offer import Offer
from planner.order.offers_file import OfferList
from planner.order.packs import Pairing, key_of
from planner.order.plan import Outcome
from planner.order.stock import StockFile, read_stock
from planner.order.way_out import changes_for
from planner.reading.concern import Concern
from planner.refusal import Refusal
from planner.say.document import Document, Part, Sentence, document
from planner.say.names import counted
from planner.say.offers import material_section, understood
from planner.say.order import headline, heed
from planner.say.warned import guarded_part

Which: TypeAlias = Literal["pairing", "job", "all"]
"""Which offers are shown: of the pairing looked at, of all the job takes, or every one."""

MOST_SHOWN: Final = 400
"""Offers put into the table at once; the cheapest of each thing come first."""

MOST_SAID: Final = 200
"""Things not understood that are listed."""

_CONFIRM: Final = Sentence(
    "Nothing is ordered under a guessed name until you confirm it. Press y if all of them are right; they "
    "are then remembered."
)


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
    words: Path | None = None
    """Sellers' words that were confirmed; the person's own table when not given."""
    plan: bool = True
    """Whether the order is wanted too; a change of what is listed leaves it as it is."""


@dataclass(frozen=True, eq=False)
class Table:
    """A file of offers, as far as it is shown."""

    count: int
    """Offers in the file."""
    understood: Document
    """How it was read."""
    alike: tuple[Alike, ...]
    """What is shown, grouped."""
    passing: int
    """Offers that pass the filter, shown or not."""
    concerns: dict[int, tuple[Concern, ...]]
    """What to ask, by the row of the offer."""
    without_rate: tuple[str, ...]
    """Currencies of offers that the job has no rate for."""
    guesses: tuple[Guess, ...] = ()
    """What is likely meant, and not ordered by until it is confirmed."""


@dataclass(frozen=True, eq=False)
class Planned:
    """An order, or why there is none, put into words where readings are at hand."""

    needs: tuple[Need, ...]
    heed: tuple[Part, ...]
    """What comes before any price."""
    stock: StockFile | None
    outcome: Outcome | None = None
    """None where something must be put right first, which `complaint` says."""
    headline: Sentence | None = None
    """The order in a line."""
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
            found = offers_of(wish.offers, wish.job, wish.today, palette, wish.words)
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
    read = replace(found, notes=(*found.notes, *more))
    return Table(
        count=len(found.offers),
        understood=document(
            f"{found.path.name}: {counted(len(found.offers), 'offer')}",
            [*understood(read, palette, MOST_SAID), _CONFIRM if found.guesses else None],
        ),
        alike=alike, passing=len(passing),
        concerns={one.row: concerns(one, held) for one in priced},
        without_rate=tuple(sorted({one.currency for one in found.offers} - known)), guesses=found.guesses,
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


def _planned(found: OfferList | None, wish: Wish, palette: Palette) -> Planned:
    """Return the order; what must be put right first is said."""
    job, needed, stock, heed_first = wish.job, tuple[Need, ...](), None, tuple[Part, ...]()
    try:
        needed = needs(job, palette)
        heed_first = tuple(map(guarded_part, guarded(job, palette, ordered_lines(job, needed))))
        stock = None if wish.stock is None else read_stock(wish.stock, palette)
        if found is None or not needed:
            return Planned(needed, heed_first, stock)
        lots = () if stock is None else stock.lots
        order = job_order(job, palette, needed, found.offers, wish.today, lots=lots)
    except (Refusal, TimeoutError) as problem:
        return Planned(needed, heed_first, stock, complaint=str(problem))
    return Planned(
        needed, tuple(heed(order.assessment, palette)), stock, order.outcome, headline(order),
        tuple(changes_for(one, order.known) for one in order.outcome.ways),
    )  # fmt: skip


def material(wish: Wish) -> Document:
    """Return what the material of the pairing looked at buys, beside the offers there are.

    Raises
    ------
    Refusal
        If the offers cannot be read or a colour is no cloth's.

    """
    palette = unpacked(wish.palette)
    path = wish.offers
    offers = () if path is None else offers_of(path, wish.job, wish.today, palette, wish.words).offers
    mine = [one for one in offers if one.pairing == wish.pairing]
    line = next(one for one in wish.job.lines if (one.stone, one.coating, one.size) == wish.pairing)
    alone = wish.job.model_copy(update={"lines": (line,), "areas": ()})
    context = Context(palette, Rates.of_job(wish.job), wish.today, alone)
    found = materials(mine, context, single=True, always=True)
    opaque = Sentence(
        "An opaque stone lets no light into its glass: what it is made of makes no difference here."
    )
    return document("", [material_section(*one) for one in found] or [opaque])
