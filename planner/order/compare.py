"""Offers put side by side for a job: which are alike, what to ask of each, what their material buys."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from planner.assess import assess_question
from planner.catalogue.palette import Palette
from planner.cover.count import needs
from planner.job.model import Job
from planner.order.bands import FILE_NAME, Band, confirmed, own_bands, read_bands
from planner.order.claims import Circumstances, by_kind, concerns
from planner.order.landed import Alike, Rates, side_by_side
from planner.order.offer import Offer
from planner.order.offers_file import OfferList
from planner.order.worth import Worth, usual_cuts, worth
from planner.reading.concern import Concern
from planner.reading.matter import QUICK
from planner.reading.of_job import question_of
from planner.reading.question import Question
from planner.refusal import Refusal

MOST_WORTH = 3
"""Pairings whose material is compared when none is named."""


@dataclass(frozen=True)
class Context:
    """What offers are compared for."""

    palette: Palette
    rates: Rates
    today: date
    job: Job | None = None
    """The job that the stones are for."""
    job_file: str = ""
    """Where it is kept, for sentences about it."""
    bands: Path | None = None
    """Table of usual prices; the person's own when not given."""


@dataclass(frozen=True, eq=False)
class Compared:
    """Offers side by side, and what is to be said of them."""

    read: OfferList
    rates: Rates
    alike: tuple[Alike, ...]
    concerns: tuple[tuple[Offer, tuple[Concern, ...]], ...]
    """Offers about which something is to be asked."""
    worth: tuple[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]], ...]
    """Pairings with their materials in one cut, and in the cut usual for each material."""
    notes: tuple[str, ...]


def compare(found: OfferList, chosen: Sequence[Offer], known: Context) -> Compared:
    """Return chosen offers of a file side by side, the job's pairings first, with what to ask about each.

    Raises
    ------
    Refusal
        If none of them has a rate, or a table of usual prices or the job has a fault.

    """
    alike, without = side_by_side(chosen, known.rates)
    if not alike:
        raise Refusal(f"{found.path} {without[0]}; no offer is left")
    if known.job is not None:
        lines = [(line.stone, line.coating, line.size) for line in known.job.lines]
        alike = tuple(sorted(alike, key=lambda one: one.priced[0].offer.pairing not in lines))
    priced = [one.offer for group in alike for one in group.priced]
    held, more = against(priced, known)
    asked = ((one, concerns(one, held)) for one in sorted(priced, key=lambda one: one.row))
    return Compared(
        found, known.rates, alike, tuple((one, some) for one, some in asked if some),
        materials(priced, known, single=len(alike) == 1),
        (*(f"{found.path} {one}." for one in without), *more),
    )  # fmt: skip


def beside(palettes: Path | None) -> Path | None:
    """Return the table of usual prices in a folder of palettes, if it is there."""
    path = None if palettes is None else palettes / FILE_NAME
    return path if path is not None and path.is_file() else None


def _bands(known: Context) -> tuple[tuple[Band, ...], tuple[str, ...]]:
    """Return the bands that count, and what is to be said of the others."""
    path, rates = known.bands, known.rates
    if path is None and not own_bands().exists():
        note = f"Prices were not compared with usual ones: keep a table of those in {own_bands()}."
        return (), (note,)
    good, notes = confirmed(read_bands(own_bands() if path is None else path), known.today)
    usable = tuple(one for one in good if one.currency == rates.currency or one.currency in rates.of)
    if len(usable) < len(good):
        codes = ", ".join(sorted({one.currency for one in good} - {one.currency for one in usable}))
        notes = (*notes, f"Usual prices in {codes} are not used, since no rate is given for them.")
    return usable, notes


def against(offers: Sequence[Offer], known: Context) -> tuple[Circumstances, tuple[str, ...]]:
    """Return what offers are held against, and what is to be said of it."""
    job, palette, rates, today = known.job, known.palette, known.rates, known.today
    bands, said = _bands(known)
    if job is None:
        return Circumstances(rates, today, by_kind(bands), palette.stones), (
            *said, "Dates, counts and batches were not looked at: name the job with --job.",
        )  # fmt: skip
    needed, field = (job.event, "event") if job.stones_by is None else (job.stones_by, "stones_by")
    notes = list(said)
    if needed is not None and needed < today:
        where = f"{known.job_file}, field {field}" if known.job_file else f"The job's {field}"
        notes.append(
            f"{where}: found {needed}, which is past; late deliveries go unnoticed until it is corrected."
        )
    wanted = {(one.stone, one.coating, one.size): one.count for one in needs(job, palette)}
    doubtful = {one.pairing for one in offers if not one.returns}
    return Circumstances(
        rates, today, by_kind(bands), palette.stones, needed, wanted, _straddling(known, job, doubtful)
    ), tuple(notes)


def _straddling(
    known: Context, job: Job, doubtful: Collection[tuple[str, str, str] | None]
) -> frozenset[tuple[str, str, str]]:
    """Return those of the job's pairings whose lots disagree, of the ones that could not go back."""
    found = set()
    for number, line in enumerate(job.lines):
        pairing = line.stone, line.coating, line.size
        if pairing in found or pairing not in doubtful:
            continue
        if assess_question(_question(known, job, number), QUICK).lots_straddle:
            found.add(pairing)
    return frozenset(found)


def _question(known: Context, job: Job, number: int) -> Question:
    return question_of(job, number, known.palette, f"{known.job_file}, " if known.job_file else "")


def materials(
    offers: Sequence[Offer], known: Context, *, single: bool, always: bool = False
) -> tuple[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]], ...]:
    """Return what materials buy, for the job's pairings that are on offer in several of them.

    A `single` pairing that is on offer at all is compared too, and with `always` one that nobody offers.
    """
    job, rates = known.job, known.rates
    if job is None:
        return ()
    made_of: dict[tuple[str, str, str], set[str | None]] = {}
    for one in offers:
        if one.pairing is not None:
            made_of.setdefault(one.pairing, set()).add(one.material)
    found: list[tuple[Question, tuple[Worth, ...], tuple[Worth, ...]]] = []
    seen: set[tuple[str, str, str]] = set()
    for number, line in enumerate(job.lines):
        pairing = line.stone, line.coating, line.size
        several = len(made_of.get(pairing, set()) - {None}) > 1
        if (
            pairing in seen
            or not (always or several or (single and pairing in made_of))
            or len(found) == MOST_WORTH
        ):
            continue
        seen.add(pairing)
        question = _question(known, job, number)
        if not question.stone.opaque:
            usual = worth(question, offers, rates, usual_cuts(known.palette))
            found.append((question, worth(question, offers, rates), usual))
    return tuple(found)
