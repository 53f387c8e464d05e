"""One answer to everything a job asks: every line read and judged, what is warned of and who accepts it.

Nothing else decides whether something holds, warns or is accepted; the rooms below only tell it.
"""

from planner.assess.assess import (
    Assessed,
    Assessment,
    LineAssessed,
    assess,
    assess_question,
)
from planner.assess.wearer import Guarded, guarded
from planner.reading.warn import accepted

__all__ = [
    "Assessed",
    "Assessment",
    "Guarded",
    "LineAssessed",
    "accepted",
    "assess",
    "assess_question",
    "guarded",
]  # fmt: skip
