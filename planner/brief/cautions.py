"""Cautions that concern whoever wears the costume: which of the message file's sentences apply."""

from typing import Final

from planner.brief.gather import Gathered

_LEAD: Final = "lead crystal"


def cautions(told: Gathered) -> tuple[str, ...]:
    """Return the keys of the cautions that apply, gravest first (common practice, no source).

    Glass that falls on ice or a dance floor, edges against skin, washing, lead glass and small parts near
    children; what exactly is done about each is the product's safety data sheet's and local rules' to say.
    """
    job = told.job
    child = job.wearer != "adult"
    lead = any(one.reading.question.stone.material == _LEAD for one in told.lines)
    found = [
        ("small-parts", job.wearer == "under 3"),
        ("child-lead", child and lead),
        ("child-parts", job.wearer == "under 12" and not lead),
        ("floor", "ice" in job.use or "floor" in job.use),
        ("touch", "touch" in job.use),
        ("wash", "wash" in job.use),
    ]
    return tuple(key for key, applies in found if applies)
