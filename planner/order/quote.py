"""What a costume is quoted at: the stones as an order comes to, the maker's work, what is on top."""

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from planner.job.model import Job
from planner.job.quote import Quote

_CENT = Decimal("0.01")


@dataclass(frozen=True)
class Quoted:
    """A quote in figures, in the job's currency; the total adds up what is shown."""

    stones: Decimal | None
    """With delivery; None where nobody knows."""
    hours: Decimal
    """Of work."""
    rate: Decimal | None
    """Of an hour; None where the job gives none."""
    charges: tuple[tuple[str, Decimal], ...]
    margin: Decimal
    total: Decimal
    """Of all that is known."""
    deposit: Decimal

    @property
    def work(self) -> Decimal | None:
        """What the work comes to."""
        return None if self.rate is None else _rounded(self.hours * self.rate)


def quoted(job: Job, usual_hours: float, stones: Decimal | None) -> Quoted:
    """Return a job's quote; `usual_hours` are those of setting its stones, for a job that says none."""
    terms = job.quote or Quote()
    hours = Decimal(str(round(usual_hours if terms.hours is None else terms.hours, 1)))
    work = Decimal(0) if job.hourly_rate is None else _rounded(hours * job.hourly_rate)
    known = (stones or Decimal(0)) + work + sum((_rounded(one) for _, one in terms.charges), Decimal(0))
    margin = _rounded(known * Decimal(str(terms.margin)))
    total = _rounded(known + margin)
    return Quoted(
        stones, hours, job.hourly_rate, terms.charges, margin, total,
        _rounded(total * Decimal(str(terms.deposit))),
    )  # fmt: skip


def _rounded(amount: Decimal) -> Decimal:
    return amount.quantize(_CENT, ROUND_HALF_EVEN)
