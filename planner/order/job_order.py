"""The order of a job, worked out once: what stands against it, and the packs to buy."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.assess import Assessment, LineAssessed, assess
from planner.catalogue.palette import Palette
from planner.cover.need import Need
from planner.job.model import Job
from planner.order.dates import deadline
from planner.order.offer import Offer
from planner.order.packs import key_of
from planner.order.plan import Circumstances, Outcome, plan_order
from planner.order.sample import sample_advised
from planner.order.stock import Lot
from planner.reading.concern import Concern
from planner.reading.matter import FINE, Grade
from planner.refusal import Refusal


@dataclass(frozen=True, eq=False)
class JobOrder:
    """What came of ordering for a job."""

    assessment: Assessment
    """The lines that stones are ordered for, and who wears them."""
    known: Circumstances
    """What the order was planned from, beside offers."""
    outcome: Outcome

    @property
    def well(self) -> bool:
        """Whether the order is whole and nothing severe stands against it."""
        plan = self.outcome.plan
        return plan is not None and not plan.missing and self.assessment.well


def ordered_lines(job: Job, needed: Sequence[Need]) -> tuple[int, ...]:
    """Return the numbers, from 1, of the lines that stones are needed for."""
    wanted = {key_of(one) for one in needed}
    return tuple(
        number for number, line in enumerate(job.lines, 1) if (line.stone, line.coating, line.size) in wanted
    )


def heeded(line: LineAssessed) -> tuple[Concern, ...]:
    """Return what is to be heeded before a line is bought: what stands, and what asks for a sample."""
    return tuple(
        one for one, by in line.concerns
        if by is None and (one.severity == "severe" or sample_advised([(one, by)]))
    )  # fmt: skip


def circumstances(
    found: Assessment, palette: Palette, needed: tuple[Need, ...], today: date, *, lots: Sequence[Lot] = (),
    where: str = "",
) -> Circumstances:  # fmt: skip
    """Return what the order of an assessed job is planned from; `where` begins every complaint.

    Raises
    ------
    Refusal
        If a date of the job is past, or its stones would come after the event.

    """
    try:
        due = deadline(found.job, needed, today)
    except Refusal as problem:
        raise Refusal(f"{where}, {problem}" if where else str(problem)) from None
    samples, straddling = set(), set()
    for one in found.lines:
        pairing = one.line.stone, one.line.coating, one.line.size
        if sample_advised(one.concerns):
            samples.add(pairing)
        if one.lots_straddle:
            straddling.add(pairing)
    return Circumstances(
        found.job, palette, needed, due, tuple(lots), frozenset(samples), frozenset(straddling)
    )


def job_order(
    job: Job, palette: Palette, needed: tuple[Need, ...], offers: Sequence[Offer], today: date,
    *, lots: Sequence[Lot] = (), grade: Grade = FINE, where: str = "",
) -> JobOrder:  # fmt: skip
    """Return the order of a job, whoever asks for it.

    Parameters
    ----------
    job, palette
        What was chosen, and from what.
    needed
        What its areas take: at least one need.
    offers
        What is for sale.
    today
        Day of the order.
    lots
        Stones in the drawer, which come first.
    grade
        How finely light is followed for the warnings.
    where
        Begins every complaint: the job's file.

    Raises
    ------
    Refusal
        If the job cannot be read with this palette, or a date of it is past.
    TimeoutError
        If no order was found in the time given.

    """
    found = assess(job, palette, grade, lines=ordered_lines(job, needed), where=where)
    known = circumstances(found, palette, needed, today, lots=lots, where=where)
    return JobOrder(found, known, plan_order(offers, known))
