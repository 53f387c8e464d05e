"""The sentences and estimates on fixing: ``shared/fixing.toml`` and ``shared/regulation_titles.csv``."""

import csv
import tomllib
from functools import cache
from typing import Any, Literal, cast

from planner.data import shared
from planner.job.model import Fibre, Fixing

Suits = Literal["yes", "with care", "no"]
"""Whether a way of fixing suits a cloth."""

SMALL_PARTS_MM = 31.7
"""Inner diameter of the small-parts cylinder, mm (16 CFR 1501.4, figure 1; the figure from memory)."""


@cache
def practice() -> dict[str, Any]:
    """Return ``shared/fixing.toml``."""
    return tomllib.loads(shared("fixing.toml").read_text(encoding="utf-8"))


def suits(fixing: Fixing, fibre: Fibre) -> tuple[Suits, str]:
    """Return whether a way of fixing suits a cloth, and one sentence on it."""
    answer, says = practice()["fibre"][fibre][fixing]
    return cast("Suits", answer), str(says)


@cache
def titles(subject: Literal["lead", "cadmium", "small parts"]) -> str:
    """Return the titles of rules on a subject, as part of a sentence."""
    with shared("regulation_titles.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    return "; ".join(f"{row['jurisdiction']}: {row['title']}" for row in rows if row["for"] == subject)
