"""One answer to everything a job asks: every line read and judged, what is warned of and who accepts it.

Nothing else decides whether something holds, warns or is accepted; the rooms below only tell it.
"""

from planner.assess.assess import Assessed, Assessment, LineAssessed, assess, assess_question
from planner.assess.wearer import Guarded, guarded

__all__ = ["Assessed", "Assessment", "Guarded", "LineAssessed", "assess", "assess_question", "guarded"]
