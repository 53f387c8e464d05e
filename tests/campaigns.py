"""Whether campaigns are run whole: they try many cases and count, and a fifth of those by default.

What takes longer than a quarter of an hour on two processors is whole only with ``PLANNER_LONG=1``.
"""

import os

WHOLE = os.environ.get("PLANNER_FULL") == "1"
LONG = os.environ.get("PLANNER_LONG") == "1"
