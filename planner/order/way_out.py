"""A way out, written into the job: which of its fields give, and to what."""

from datetime import timedelta
from decimal import Decimal
from typing import Any, Final

from planner.cover.count import needs
from planner.job.model import Job
from planner.order.packs import key_of
from planner.order.plan import Circumstances
from planner.order.relax import Relaxation
from planner.order.stock import after_taking, take

_STEPS: Final = 20
"""Shares of the spares that are tried."""


def changes_for(way: Relaxation, known: Circumstances) -> dict[str, Any]:
    """Return the fields of the job that change if a way out is taken.

    The budget becomes what the order costs, the day the stones must be there the day they arrive. Spares
    are a share and a number for all pairings in a job, so both are lowered for all, in equal steps, until
    no pairing needs more than the way out buys.
    """
    changes: dict[str, Any] = {}
    if "budget" in way.gives:
        changes["budget"] = way.solution.total.quantize(Decimal("0.01"))
    if "sellers" in way.gives:
        changes["one_seller"] = False
    if "date" in way.gives and way.programme.within is not None:
        changes["stones_by"] = known.due.today + timedelta(days=way.programme.within)
    if "spares" in way.gives:
        changes |= _spares(way, known)
    return changes


def _spares(way: Relaxation, known: Circumstances) -> dict[str, Any]:
    most = {key_of(one): one.count for one in way.programme.needs}
    job = known.job
    for step in range(_STEPS - 1, -1, -1):
        fewer = {"spares": round(job.spares * step / _STEPS, 6), "repair": job.repair * step // _STEPS}
        if _fits(job.model_copy(update=fewer), most, known):
            return fewer
    return {"spares": 0.0, "repair": 0}


def _fits(job: Job, most: dict[tuple[str, str, str], int], known: Circumstances) -> bool:
    wanted = needs(job, known.palette)
    left = after_taking(wanted, take(known.lots, wanted))
    return all(one.count <= most.get(key_of(one), one.count) for one in left)
