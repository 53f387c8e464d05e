"""Whether campaigns are run whole: they try many cases and count, and a fifth of those by default."""

import os

WHOLE = os.environ.get("PLANNER_FULL") == "1"
