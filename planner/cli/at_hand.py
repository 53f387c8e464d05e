"""The palette that a command works on; listing one reads nothing, so nothing of readings is imported here."""

from pathlib import Path

from planner.catalogue.palette import Palette, load, sources
from planner.catalogue.settings import as_set
from planner.refusal import Refusal, show

PLURALS = {"stone": "stones", "coating": "coatings", "venue": "venues", "swatch": "swatches", "cut": "cuts"}
"""What ``planner list`` calls each kind of entry."""


def palette_of(palettes: Path | None, job: Path | None = None) -> Palette:
    """Return every entry at hand.

    Raises
    ------
    Refusal
        If a file cannot be used.

    """
    if palettes is not None and not palettes.exists():
        raise Refusal(f"--palettes: found {show(str(palettes))}; there is no such folder or file")
    return as_set(load(*sources(job=job, palettes=palettes)))
