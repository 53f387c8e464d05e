"""What follows from a parcel: which lines of a job still hold with the lot that came, and what to swap to."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.assess.assess import Assessed, assess_question
from planner.catalogue.coating import Coating
from planner.catalogue.palette import Palette
from planner.catalogue.stone import Stone
from planner.job.model import Job
from planner.order.offer import Offer
from planner.reading.instead import Instead, instead
from planner.reading.matter import QUICK, Grade
from planner.reading.of_job import line_question
from planner.reading.question import Question


@dataclass(frozen=True, eq=False)
class Follows:
    """One line of the job, with the lot that came in place of what was ordered."""

    number: int
    """From 1, as it stands in the job."""
    assessed: Assessed
    swaps: tuple[Instead, ...]
    """What to swap to where it fails; the first one is the best."""
    nearest: Instead | None = None
    """What comes nearest, where nothing does what is wished."""

    @property
    def holds(self) -> bool:
        """Whether it still does as wished, if only just."""
        return self.assessed.verdict.holds


@dataclass(frozen=True, eq=False)
class Parcel:
    """What follows from the lot that came."""

    lines: tuple[Follows, ...]
    """Lines of the job that take it."""
    back: tuple[tuple[str, int], ...]
    """Sellers who offered it, with the days in which they take it back; 0 is not at all."""

    @property
    def keep(self) -> bool:
        """Whether every line that takes it still holds."""
        return all(one.holds for one in self.lines)


def parcel(
    job: Job, palette: Palette, ordered: Question, lot: Coating | Stone, offers: Sequence[Offer] = (),
    grade: Grade = QUICK,
) -> Parcel:  # fmt: skip
    """Return what follows for a job.

    Parameters
    ----------
    job, palette
        What was chosen, and from what.
    ordered
        The pairing that was ordered.
    lot
        What came in its place: its coating, or a stone as it is.
    offers
        Those of the job, for what they say of sending back.
    grade
        How finely light is followed.

    """
    coating = ordered.coating.id if ordered.coating else "none"
    found = []
    # What to swap to is hers to have, where she has stones of her own.
    offered = replace(palette, mine=palette.mine or any(kind == "stone" for kind, _ in palette.own))
    for number, line in enumerate(job.lines, 1):
        if (line.stone, line.coating) != (ordered.stone.id, coating):
            continue
        asked = line_question(job, line, palette)
        with_lot = (
            replace(asked, coating=lot)
            if isinstance(lot, Coating)
            else replace(asked, stone=lot, coating=None)
        )
        venues = [palette.venues[name] for name in job.venues[1:]]
        one = Follows(number, assess_question(with_lot, grade, venues=venues), ())
        if not one.holds:
            others = instead(offered, one.assessed.reading, venues=venues, grade=grade)
            swaps = tuple(other for other in others if _serves(other, ordered))
            nearest = None if swaps else next((other for other in others if not other.fits), None)
            one = replace(one, swaps=swaps, nearest=nearest)
        found.append(one)
    days = {
        one.seller: one.returns for one in offers
        if one.returns is not None and one.likely_pairing == (ordered.stone.id, coating, ordered.size)
    }  # fmt: skip
    return Parcel(tuple(found), tuple(days.items()))


def _serves(other: Instead, ordered: Question) -> bool:
    """Return whether a pairing is one to swap to: it does what is wished, and is not more of what came."""
    asked = other.reading.question
    return other.fits and (asked.stone, asked.coating) != (ordered.stone, ordered.coating)
