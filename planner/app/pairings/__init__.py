"""All pairings of a palette for one swatch: a table to sort, to narrow down and to open from.

`ranking` works the pairings out in steps that can be left, and reads single ones in full; `content` says
how they are shown and sorted; `screen` joins the two.
"""

from planner.app.pairings.screen import PairingsScreen

__all__ = ["PairingsScreen"]
