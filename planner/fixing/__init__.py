"""How stones go onto the cloth safely: advice for each line, and what to be careful of."""

from planner.fixing.advice import Advice, advice
from planner.fixing.caution import CODES, Caution, accepting, cautions, wearer_cautions

__all__ = ["CODES", "Advice", "Caution", "accepting", "advice", "cautions", "wearer_cautions"]
